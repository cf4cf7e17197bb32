//! What is let go over the window: told to the page by path, so that the desk reads it where it lies.
//!
//! What lies there is looked at on threads of its own: a share whose machine is gone may never answer, and
//! the window goes on meanwhile.

use std::fs::File;
use std::io::{self, Read as _, Seek as _, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError, mpsc};
use std::thread;
use std::time::{Duration, Instant};

use gangday_app::view::Refusal;
use serde::Serialize;
use tauri::ipc::{Channel, Response};
use tauri::{DragDropEvent, Manager as _, State, Window, WindowEvent};

/// What the ending of a map is that the page reads itself, piece by piece as it is drawn.
const MAP: &str = "pmtiles";

/// The most of a map that the page is given at once, in bytes; a tile or a directory of tiles is far smaller.
const PIECE: u64 = 64 * 1024 * 1024;

/// So long the file system has to say what lies at the paths; what it doesn't say by then is taken for nothing.
const PATIENCE: Duration = Duration::from_secs(10);

/// What is held over the window, or was let go over it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Drop {
    /// Files or folders are held over it; which, is nobody's business yet.
    Over,
    /// They were taken away again, or let go and are looked at.
    Away,
    /// They were let go.
    Here {
        /// All of them, in the order of the program that they come from.
        things: Vec<Thing>,
    },
}

/// One thing that was let go.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Thing {
    path: String,
    is: Kind,
}

/// What lies at a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
enum Kind {
    File,
    Folder,
    /// Neither: an address of another machine, a device, something that is gone or doesn't answer, or something
    /// whose name is no text, for the page could only name it by another one.
    Nothing,
}

impl Kind {
    fn at(path: &Path) -> Self {
        // What is no path comes as it was sent, and must not be looked for below where the program runs.
        if !path.is_absolute() || path.to_str().is_none() {
            return Self::Nothing;
        }
        match path.metadata() {
            Ok(about) if about.is_dir() => Self::Folder,
            Ok(about) if about.is_file() => Self::File,
            _ => Self::Nothing,
        }
    }
}

/// Says what lies at a path, however long that takes.
type Look = Arc<dyn Fn(&Path) -> Kind + Send + Sync>;

/// What lies at these paths. Each is looked at on a thread of its own, so that one which doesn't answer
/// keeps none of the others.
fn look_at(paths: &[PathBuf], look: &Look, patience: Duration) -> Vec<Thing> {
    let until = Instant::now() + patience;
    let (tell, told) = mpsc::channel();
    for (which, path) in paths.iter().cloned().enumerate() {
        let (tell, look) = (tell.clone(), Arc::clone(look));
        let work = move || tell.send((which, look(&path))).ok();
        thread::Builder::new().spawn(work).ok();
    }
    drop(tell);
    let mut kinds = vec![Kind::Nothing; paths.len()];
    let left = || until.saturating_duration_since(Instant::now());
    while let Ok((which, is)) = told.recv_timeout(left()) {
        kinds[which] = is;
    }
    let named = |path: &PathBuf| path.to_string_lossy().into_owned();
    let things = paths.iter().map(named).zip(kinds);
    things.map(|(path, is)| Thing { path, is }).collect()
}

/// Who is told, and which maps were let go since the window was opened: the page may read those and no
/// other file.
#[derive(Default)]
pub struct Drops {
    told: Mutex<Option<Channel<Drop>>>,
    maps: Mutex<Vec<PathBuf>>,
    /// Whether files have come over the window, and the page is not told yet.
    fresh: AtomicBool,
}

impl Drops {
    /// Tells the page of an event, and of what was let go once it was looked at.
    fn hear(self: &Arc<Self>, event: &DragDropEvent, look: &Look, patience: Duration) {
        if let Some(drop) = self.said(event) {
            self.tell(drop);
        }
        if let DragDropEvent::Drop { paths, .. } = event {
            let (own, paths, look) = (Arc::clone(self), paths.clone(), Arc::clone(look));
            let work = move || own.take(look_at(&paths, &look, patience));
            thread::Builder::new().spawn(work).ok();
        }
    }

    /// What an event says to the page at once.
    ///
    /// The names of what is held may come when it is gone again already, where it is only swept over the
    /// window; so the page is told at the next movement, which there is then none of.
    fn said(&self, event: &DragDropEvent) -> Option<Drop> {
        // A link that is held over the window is nothing that it would take.
        if let DragDropEvent::Enter { paths, .. } = event {
            let files = paths.iter().any(|path| path.is_absolute());
            self.fresh.store(files, Ordering::Relaxed);
            return None;
        }
        let fresh = self.fresh.swap(false, Ordering::Relaxed);
        match event {
            DragDropEvent::Over { .. } => fresh.then_some(Drop::Over),
            DragDropEvent::Leave | DragDropEvent::Drop { .. } => Some(Drop::Away),
            _ => None,
        }
    }

    /// Takes what was let go: the page may read the maps among it from now on.
    fn take(&self, things: Vec<Thing>) {
        let mut maps = self.maps.lock().unwrap_or_else(PoisonError::into_inner);
        for thing in things.iter().filter(|thing| thing.is == Kind::File) {
            let path = PathBuf::from(&thing.path);
            if is_map(&path) && !maps.contains(&path) {
                maps.push(path);
            }
        }
        drop(maps);
        self.tell(Drop::Here { things });
    }

    fn tell(&self, drop: Drop) {
        let told = self.told.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(channel) = &*told {
            channel.send(drop).ok();
        }
    }

    /// Bytes of a map that was let go over the window: so many from there on, or fewer where it ends.
    fn read(&self, path: &Path, from: u64, length: u64) -> Result<Vec<u8>, Refusal> {
        let maps = self.maps.lock().unwrap_or_else(PoisonError::into_inner);
        if !maps.iter().any(|map| map == path) {
            return Err(refusal(path, "was not dropped here as a map"));
        }
        drop(maps);
        if length > PIECE {
            return Err(refusal(path, "is asked for more than 64 MB at once"));
        }
        piece(path, from, length)
            .map_err(|error| refusal(path, &format!("can\u{2019}t be read: {error}")))
    }
}

fn is_map(path: &Path) -> bool {
    let ending = path.extension().unwrap_or_default();
    ending.eq_ignore_ascii_case(MAP)
}

fn piece(path: &Path, from: u64, length: u64) -> io::Result<Vec<u8>> {
    let mut file = File::open(path)?;
    file.seek(SeekFrom::Start(from))?;
    let mut bytes = Vec::new();
    file.take(length).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn refusal(path: &Path, why: &str) -> Refusal {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    Refusal {
        text: format!("{name} {why}."),
        findings: Vec::new(),
    }
}

/// Tells the page of what is dropped on the window.
pub fn tell(window: &Window, event: &WindowEvent) {
    let WindowEvent::DragDrop(event) = event else {
        return;
    };
    let look: Look = Arc::new(Kind::at);
    window.state::<Arc<Drops>>().hear(event, &look, PATIENCE);
}

/// From now on the page is told of what is dropped on the window.
#[tauri::command]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn watch_drops(drops: State<'_, Arc<Drops>>, channel: Channel<Drop>) {
    *drops.told.lock().unwrap_or_else(PoisonError::into_inner) = Some(channel);
}

/// Bytes of a map that was dropped on the window: so many from there on, or fewer where it ends.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn read_dropped(
    drops: State<'_, Arc<Drops>>,
    path: PathBuf,
    from: u64,
    length: u64,
) -> Result<Response, Refusal> {
    drops.read(&path, from, length).map(Response::new)
}

#[cfg(test)]
mod tests {
    use super::*;
    use tauri::PhysicalPosition;
    use tauri::ipc::InvokeResponseBody;

    /// A folder of this test with these files in it, each of which holds its own name.
    fn folder(name: &str, files: &[&str]) -> PathBuf {
        let place = format!("gangday-{name}-{}", std::process::id());
        let folder = std::env::temp_dir().join(place);
        std::fs::create_dir_all(&folder).unwrap();
        for file in files {
            std::fs::write(folder.join(file), file).unwrap();
        }
        folder
    }

    /// What is told to the page.
    type Told = mpsc::Receiver<serde_json::Value>;

    fn watched() -> (Arc<Drops>, Told) {
        let (drops, (tell, told)) = (Arc::<Drops>::default(), mpsc::channel());
        let channel = Channel::new(move |body: InvokeResponseBody| {
            tell.send(body.deserialize().unwrap()).unwrap();
            Ok(())
        });
        *drops.told.lock().unwrap() = Some(channel);
        (drops, told)
    }

    fn let_go(drops: &Arc<Drops>, paths: &[PathBuf], look: &Look, patience: Duration) {
        let position = PhysicalPosition::new(1.0, 2.0);
        let paths = paths.to_vec();
        drops.hear(&DragDropEvent::Drop { paths, position }, look, patience);
    }

    fn dropped(paths: &[PathBuf]) -> Vec<Thing> {
        let look: Look = Arc::new(Kind::at);
        look_at(paths, &look, PATIENCE)
    }

    #[test]
    fn what_is_let_go_is_told_by_its_path_and_by_what_lies_there() {
        let folder = folder("told", &["a list.csv"]);
        let (list, gone) = (folder.join("a list.csv"), folder.join("gone.csv"));
        let link = PathBuf::from("https://example.org/list.csv");
        let paths = vec![list.clone(), folder.clone(), gone.clone(), link];
        let (drops, told) = watched();
        let look: Look = Arc::new(Kind::at);
        let_go(&drops, &paths, &look, PATIENCE);
        assert_eq!(told.recv().unwrap(), serde_json::json!({"is": "away"}));
        let expected = serde_json::json!({"is": "here", "things": [
            {"path": list, "is": "file"},
            {"path": folder, "is": "folder"},
            {"path": gone, "is": "nothing"},
            {"path": "https://example.org/list.csv", "is": "nothing"},
        ]});
        assert_eq!(told.recv().unwrap(), expected);
        std::fs::remove_dir_all(folder).unwrap();
    }

    /// A file manager may give any bytes as a name; told as text it would be the name of another file.
    #[cfg(target_os = "linux")]
    #[test]
    fn what_has_a_name_that_is_no_text_is_told_as_nothing_that_could_be_read() {
        use std::os::unix::ffi::OsStrExt as _;
        let folder = folder("unnamed", &["map\u{fffd}.pmtiles"]);
        let map = folder.join(std::ffi::OsStr::from_bytes(b"map\xe9.pmtiles"));
        std::fs::write(&map, "a map").unwrap();
        let things = dropped(std::slice::from_ref(&map));
        assert_eq!(things[0].is, Kind::Nothing);
        assert!(things[0].path.ends_with("map\u{fffd}.pmtiles"));
        let drops = Drops::default();
        let (shown, own) = (PathBuf::from(&things[0].path), map);
        drops.take(things);
        assert!(drops.read(&shown, 0, 1).is_err() && drops.read(&own, 0, 1).is_err());
        std::fs::remove_dir_all(folder).unwrap();
    }

    /// A share whose machine is gone: whoever looks there waits until it is there again.
    #[test]
    fn what_does_not_answer_holds_neither_the_window_nor_what_was_dropped_beside_it() {
        let (dead, here) = (PathBuf::from("/dead/a.csv"), PathBuf::from("/here/b.csv"));
        let (wake, sleep) = mpsc::channel::<()>();
        let (sleep, gone) = (Mutex::new(sleep), dead.clone());
        let look: Look = Arc::new(move |path| {
            if path == gone {
                sleep.lock().unwrap().recv().ok();
            }
            Kind::File
        });
        let (drops, told) = watched();
        // Whoever tells of the drop, the window's own thread, comes back though nobody has answered yet.
        let paths = [dead.clone(), here.clone()];
        let_go(&drops, &paths, &look, Duration::from_secs(3));
        assert_eq!(told.recv().unwrap(), serde_json::json!({"is": "away"}));
        let beside = serde_json::json!({"is": "here", "things": [
            {"path": dead, "is": "nothing"},
            {"path": here, "is": "file"},
        ]});
        assert_eq!(told.recv().unwrap(), beside);
        // The first look, which nobody waits for any more, and that of a second drop, which somebody does.
        wake.send(()).unwrap();
        wake.send(()).unwrap();
        let_go(&drops, std::slice::from_ref(&dead), &look, PATIENCE);
        assert_eq!(told.recv().unwrap(), serde_json::json!({"is": "away"}));
        let late = serde_json::json!({"is": "here", "things": [{"path": dead, "is": "file"}]});
        assert_eq!(told.recv().unwrap(), late);
    }

    #[test]
    fn what_is_only_held_over_the_window_is_told_once_and_not_named() {
        let (position, drops) = (PhysicalPosition::new(1.0, 2.0), Drops::default());
        let enter = |path: PathBuf| DragDropEvent::Enter {
            paths: vec![path],
            position,
        };
        let over = DragDropEvent::Over { position };
        assert_eq!(drops.said(&enter(std::env::temp_dir())), None);
        assert_eq!(drops.said(&over), Some(Drop::Over));
        assert_eq!(drops.said(&over), None);
        assert_eq!(drops.said(&DragDropEvent::Leave), Some(Drop::Away));
        assert_eq!(drops.said(&enter("https://example.org/a.csv".into())), None);
        assert_eq!(drops.said(&over), None);
    }

    #[test]
    fn the_page_reads_maps_that_were_dropped_and_nothing_else() {
        let folder = folder("read", &["under.PMTiles", "other.pmtiles", "secret.txt"]);
        let (map, secret) = (folder.join("under.PMTiles"), folder.join("secret.txt"));
        let drops = Drops::default();
        assert!(drops.read(&map, 0, 5).is_err(), "nothing was dropped yet");
        drops.take(dropped(&[map.clone(), secret.clone(), folder.clone()]));
        assert_eq!(drops.read(&map, 0, 5).ok(), Some(b"under".to_vec()));
        assert_eq!(drops.read(&map, 6, 100).ok(), Some(b"PMTiles".to_vec()));
        assert_eq!(drops.read(&map, 100, 1).ok(), Some(Vec::new()));
        assert!(drops.read(&map, 0, PIECE + 1).is_err());
        for other in [
            folder.join("other.pmtiles"),
            folder.join("sub/../under.PMTiles"),
            secret,
        ] {
            let refused = drops.read(&other, 0, 5).unwrap_err();
            assert!(refused.text.contains("was not dropped"), "{}", refused.text);
        }
        std::fs::remove_dir_all(folder).unwrap();
    }
}
