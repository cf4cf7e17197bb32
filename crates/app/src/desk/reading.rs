//! The reading of a map extract on a thread of its own, watched and stopped from elsewhere.

use std::fs::File;
use std::io::{self, BufReader, Cursor, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread::{JoinHandle, spawn};

use base64::Engine as _;

use super::doing::Doing;
use super::{Desk, Inner};
use crate::changes::State;
use crate::extracts;
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::view::{Answer, ProgressView, Refusal};

/// A reading under way.
pub struct Reading {
    doing: Arc<Doing>,
    /// What the streets are for.
    prepared: Arc<Prepared>,
    name: String,
    thread: JoinHandle<Result<Opened, Refusal>>,
}

/// What came of a reading.
pub struct Finished {
    /// The programme that the streets are for, as it was.
    pub before: Arc<Prepared>,
    /// The same with them.
    pub after: Opened,
    /// The file's name.
    pub name: String,
}

/// Where an extract comes from.
pub enum Source {
    /// A file on this machine.
    At(PathBuf),
    /// Bytes that came along with a request.
    Sent(Vec<u8>),
}

impl Reading {
    /// Begins.
    pub fn begin(opened: Opened, name: String, source: Source) -> Self {
        let prepared = Arc::clone(&opened.prepared);
        let doing = Doing::begin(extracts::progress(0.0));
        let (seen, called) = (Arc::clone(&doing), name.clone());
        let thread = spawn(move || match source {
            Source::At(path) => read(&opened, &called, BufReader::new(file_at(&path)?), &seen),
            Source::Sent(bytes) => read(&opened, &called, Cursor::new(bytes), &seen),
        });
        Self {
            doing,
            prepared,
            name,
            thread,
        }
    }

    /// How far it is.
    pub fn progress(&self) -> ProgressView {
        self.doing.progress()
    }

    /// Has it end with nothing, which nobody waits for: its thread ends at the next step that hears of it,
    /// and what was read whole before is let go too, for it was not wanted.
    pub fn stop(self) {
        self.doing.stop();
    }

    /// Whether it is over.
    pub fn has_ended(&self) -> bool {
        self.thread.is_finished()
    }

    /// What came of it; waits for it.
    pub fn finish(self) -> Result<Finished, Refusal> {
        let after = self.thread.join().map_err(|_| {
            Refusal::coded(
                "D-FAULT",
                "Reading ended in a fault of the program; the programme is as it was.",
            )
        })?;
        Ok(Finished {
            before: self.prepared,
            after: after?,
            name: self.name,
        })
    }
}

fn file_at(path: &Path) -> Result<File, Refusal> {
    File::open(path).map_err(|error| {
        let path = path.display();
        Refusal::coded(
            "F-READ",
            &format!("{path} can't be read: {error}. Check the path and its permissions."),
        )
    })
}

fn read<R: Read + Seek>(
    opened: &Opened,
    name: &str,
    source: R,
    seen: &Doing,
) -> Result<Opened, Refusal> {
    let mut source = Stoppable {
        inner: source,
        doing: seen,
    };
    let read = seen.watched(|watch| extracts::into_watched(opened, name, &mut source, watch));
    if seen.is_stopped() {
        return Err(stopped());
    }
    read.map(|(opened, _)| opened)
}

/// Said where a reading was stopped.
pub fn stopped() -> Refusal {
    Refusal::plain("The import was stopped; nothing was changed.")
}

/// A source that can be read no further once somebody wants it stopped.
struct Stoppable<'s, R> {
    inner: R,
    doing: &'s Doing,
}

impl<R> Stoppable<'_, R> {
    fn check(&self) -> io::Result<()> {
        if self.doing.is_stopped() {
            return Err(io::Error::other("stopped"));
        }
        Ok(())
    }
}

impl<R: Read> Read for Stoppable<'_, R> {
    fn read(&mut self, bytes: &mut [u8]) -> io::Result<usize> {
        self.check()?;
        self.inner.read(bytes)
    }
}

impl<R: Seek> Seek for Stoppable<'_, R> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.check()?;
        self.inner.seek(to)
    }
}

impl Desk {
    /// Begins to add the streets and the network of an extract that came along as bytes.
    pub(super) fn import_extract(&self, name: &str, base64: &str) -> Result<Answer, Refusal> {
        let bytes = base64::engine::general_purpose::STANDARD.decode(base64);
        let bytes =
            bytes.map_err(|_| Refusal::coded("F-CUT", &format!("{name} did not arrive whole.")))?;
        self.begin_reading(name.to_owned(), Source::Sent(bytes))
    }

    /// Begins to add those of an extract that lies on this machine.
    pub(super) fn read_extract(&self, path: &str) -> Result<Answer, Refusal> {
        let path = PathBuf::from(path);
        let name = path.file_name().unwrap_or_default();
        let name = name.to_string_lossy().into_owned();
        self.begin_reading(name, Source::At(path))
    }

    fn begin_reading(&self, name: String, source: Source) -> Result<Answer, Refusal> {
        let mut inner = self.collected()?;
        inner.refuse_while_planning()?;
        let opened = inner.table.opened()?.clone();
        inner.reading = Some(Reading::begin(opened, name, source));
        Ok(inner.progress())
    }
}

impl Inner {
    /// The plan stays; its findings say what no longer holds.
    fn bring_in(&mut self, name: &str, opened: Opened) -> Result<(), Refusal> {
        let plan = self.table.state().and_then(|state| state.plan.clone());
        let what = format!("import the streets of {name}");
        self.change(&what, State { opened, plan })?;
        self.table.is_no_demo();
        Ok(())
    }

    /// Puts what was read on the table, if that is still what it was read for.
    pub(super) fn take_extract(&mut self, finished: Finished) -> Result<(), Refusal> {
        let Finished {
            before,
            after,
            name,
        } = finished;
        let is_same = |opened: &Opened| Arc::ptr_eq(&opened.prepared, &before);
        if self.table.opened().is_ok_and(is_same) {
            return self.bring_in(&name, after);
        }
        Ok(())
    }
}
