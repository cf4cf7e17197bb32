//! A save of several files as one: all of them, or none.
//!
//! While a save is under way the folder holds each new file under a name of its own, and then one
//! more file, the promise, which lists where each belongs and which files go. The promise appears by
//! one rename, and that is the moment at which the save has happened.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::error::StoreError;
use crate::lock::Lock;
use crate::whole::{PREFIX, SUFFIX, replace, sync_folder, write_beside};

/// The name of the promise.
const PROMISE: &str = ".gangday-save";

/// Whether the name is one that only saving itself uses.
pub(crate) fn is_own(name: &str) -> bool {
    name == PROMISE || (name.starts_with(PREFIX) && name.ends_with(SUFFIX))
}

/// Writes all files beside their targets, promises them, and puts them in place; those that are to be gone
/// are taken away by the same promise.
pub(crate) fn save(
    folder: &Path,
    files: &[(&str, Vec<u8>)],
    gone: &[&str],
) -> Result<(), StoreError> {
    if let Some(name) = gone.iter().find(|name| folder.join(name).is_dir()) {
        return Err(a_folder(folder.join(name)));
    }
    let moves = write_all_beside(folder, files)?;
    let gone = gone.iter().map(|name| (*name).to_owned()).collect();
    let promised = Promised { moves, gone };
    promise(folder, &promised).inspect_err(|_| discard(folder, &promised.moves))?;
    fulfil(folder, &promised)
}

fn a_folder(path: PathBuf) -> StoreError {
    let cause = io::Error::from(io::ErrorKind::IsADirectory);
    StoreError::Unwritable { path, cause }
}

/// A new file's present name and the name it is to have.
type Move = (String, String);

/// What a save comes to.
struct Promised {
    moves: Vec<Move>,
    /// The names of files that are there no more.
    gone: Vec<String>,
}

/// What stands before the name of a file that goes, where the present name of a new one stands.
const GONE: &str = "-";

fn write_all_beside(folder: &Path, files: &[(&str, Vec<u8>)]) -> Result<Vec<Move>, StoreError> {
    let mut beside = Vec::new();
    for (name, bytes) in files {
        let target = folder.join(name);
        if target.is_dir() {
            return Err(a_folder(target));
        }
        let file = write_beside(folder, &target, bytes);
        beside.push((
            file.map_err(|cause| StoreError::writing(&target, cause))?,
            *name,
        ));
    }
    // Until here each file goes when it is dropped; from here on they stay.
    let mut moves = Vec::new();
    for (file, name) in beside {
        let kept = file.into_temp_path().keep();
        let kept = kept.map_err(|error| StoreError::writing(&folder.join(name), error.error))?;
        let own = kept
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        moves.push((own, name.to_owned()));
    }
    sync_folder(folder).map_err(|cause| StoreError::writing(folder, cause))?;
    Ok(moves)
}

fn promise(folder: &Path, promised: &Promised) -> Result<(), StoreError> {
    let moves = promised.moves.iter();
    let moves = moves.map(|(from, to)| format!("{from} {to}\n"));
    let gone = promised.gone.iter().map(|name| format!("{GONE} {name}\n"));
    let lines = moves.chain(gone);
    replace(&folder.join(PROMISE), lines.collect::<String>().as_bytes())
}

fn discard(folder: &Path, moves: &[Move]) {
    for (from, _) in moves {
        // What stays is swept when the folder is next opened.
        let _ = fs::remove_file(folder.join(from));
    }
}

/// Puts promised files in place and takes away those that go; what is so already counts as done.
fn fulfil(folder: &Path, promised: &Promised) -> Result<(), StoreError> {
    for name in &promised.gone {
        let path = folder.join(name);
        match fs::remove_file(&path) {
            Err(cause) if cause.kind() != io::ErrorKind::NotFound => {
                return Err(StoreError::Leftover { path, cause });
            }
            _ => {}
        }
    }
    for (from, to) in &promised.moves {
        let (from, to) = (folder.join(from), folder.join(to));
        match fs::rename(&from, &to) {
            Ok(()) => {}
            Err(cause) if cause.kind() == io::ErrorKind::NotFound && !from.exists() => {}
            Err(cause) => return Err(StoreError::Leftover { path: to, cause }),
        }
    }
    let done = sync_folder(folder).and_then(|()| fs::remove_file(folder.join(PROMISE)));
    done.map_err(|cause| StoreError::Leftover {
        path: folder.to_owned(),
        cause,
    })
}

/// Completes a promised save, and sweeps away the files of one that was never promised.
///
/// # Errors
/// A promised save can't be completed: the files in place may be of two versions.
pub(crate) fn settle(folder: &Path) -> Result<(), StoreError> {
    if left_over(folder).is_empty() {
        return Ok(());
    }
    let _lock = Lock::to_write(folder);
    let at_promise = folder.join(PROMISE);
    match fs::read_to_string(&at_promise) {
        Ok(lines) => fulfil(folder, &Promised::read(&lines))?,
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => {}
        Err(cause) => {
            let path = at_promise;
            return Err(StoreError::Leftover { path, cause });
        }
    }
    for stray in left_over(folder) {
        // A folder that can only be read keeps its strays; they do no harm.
        let _ = fs::remove_file(stray);
    }
    Ok(())
}

impl Promised {
    fn read(lines: &str) -> Self {
        let pairs = lines.lines().filter_map(|line| line.split_once(' '));
        let (gone, moves): (Vec<_>, Vec<_>) = pairs
            .filter(|(from, to)| (*from == GONE || is_own(from)) && is_plain(to))
            .map(|(from, to)| (from.to_owned(), to.to_owned()))
            .partition(|(from, _)| from == GONE);
        Self {
            moves,
            gone: gone.into_iter().map(|(_, name)| name).collect(),
        }
    }
}

/// Whether the name is that of a file in the folder itself.
pub(crate) fn is_plain(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    let plain =
        matches!(parts.next(), Some(std::path::Component::Normal(_))) && parts.next().is_none();
    plain && !name.contains(['\n', '\r', '/', '\\', '\0']) && !is_own(name)
}

fn left_over(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(Result::ok);
    let own = entries.filter(|entry| entry.file_name().to_str().is_some_and(is_own));
    own.map(|entry| entry.path()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(folder: &Path, name: &str) -> String {
        fs::read_to_string(folder.join(name)).unwrap()
    }

    /// A folder with old files, and new ones written beside them but not in place.
    fn halfway() -> (tempfile::TempDir, Promised) {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("jobs.geojson"), "old").unwrap();
        fs::write(folder.path().join("gangs.json"), "old").unwrap();
        let files = [
            ("jobs.geojson", b"new".to_vec()),
            ("gangs.json", b"new".to_vec()),
        ];
        let moves = write_all_beside(folder.path(), &files).unwrap();
        let gone = Vec::new();
        (folder, Promised { moves, gone })
    }

    fn after_settling(folder: &Path) -> [String; 2] {
        settle(folder).unwrap();
        assert_eq!(
            fs::read_dir(folder).unwrap().count(),
            2,
            "nothing is left beside"
        );
        [read(folder, "jobs.geojson"), read(folder, "gangs.json")]
    }

    #[test]
    fn broken_off_before_the_promise_all_is_as_it_was() {
        let (folder, _) = halfway();
        assert_eq!(after_settling(folder.path()), ["old", "old"]);
    }

    #[test]
    fn broken_off_after_the_promise_all_is_new() {
        let (folder, promised) = halfway();
        promise(folder.path(), &promised).unwrap();
        assert_eq!(after_settling(folder.path()), ["new", "new"]);
    }

    #[test]
    fn broken_off_between_two_files_all_is_new() {
        let (folder, promised) = halfway();
        promise(folder.path(), &promised).unwrap();
        let (from, to) = &promised.moves[0];
        fs::rename(folder.path().join(from), folder.path().join(to)).unwrap();
        assert_eq!(after_settling(folder.path()), ["new", "new"]);
    }

    #[test]
    fn a_promise_leads_nowhere_out_of_the_folder() {
        let (folder, promised) = halfway();
        let outside = folder.path().parent().unwrap().join("escaped.json");
        fs::write(
            folder.path().join(PROMISE),
            format!("{} ../escaped.json\n", promised.moves[0].0),
        )
        .unwrap();
        assert_eq!(after_settling(folder.path()), ["old", "old"]);
        assert!(!outside.exists());
    }

    #[test]
    fn what_is_promised_to_be_gone_goes_with_the_rest_and_nothing_outside_does() {
        for is_promised in [false, true] {
            let (folder, mut promised) = halfway();
            let place = folder.path();
            let outside = place.parent().unwrap().join("gangday-stays.json");
            fs::write(&outside, "stays").unwrap();
            fs::write(place.join("week.json"), "old").unwrap();
            promised.gone = vec!["week.json".to_owned(), "../gangday-stays.json".to_owned()];
            if is_promised {
                promise(place, &promised).unwrap();
            }
            settle(place).unwrap();
            let now = if is_promised { "new" } else { "old" };
            assert_eq!(read(place, "jobs.geojson"), now);
            assert_eq!(place.join("week.json").exists(), !is_promised);
            assert!(outside.exists());
            fs::remove_file(outside).unwrap();
        }
    }

    #[test]
    fn only_plain_names_are_taken() {
        assert!(is_plain("jobs.geojson"));
        for name in [
            "",
            ".",
            "..",
            "a/b",
            "/a",
            "a\\b",
            "a\nb",
            ".gangday-save",
            ".gangday-x.tmp",
        ] {
            assert!(!is_plain(name), "{name:?}");
        }
    }
}
