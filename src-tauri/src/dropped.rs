//! What is let go over the window: told to the page by path, so that the desk reads it where it lies.

use std::fs::File;
use std::io::{self, Read as _, Seek as _, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};

use gangday_app::view::Refusal;
use serde::Serialize;
use tauri::ipc::{Channel, Response};
use tauri::{DragDropEvent, Manager as _, State, Window, WindowEvent};

/// What the ending of a map is that the page reads itself, piece by piece as it is drawn.
const MAP: &str = "pmtiles";

/// The most of a map that the page is given at once, in bytes; a tile or a directory of tiles is far smaller.
const PIECE: u64 = 64 * 1024 * 1024;

/// What is held over the window, or was let go over it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Drop {
    /// Files or folders are held over it; which, is nobody's business yet.
    Over,
    /// They were taken away again.
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
    /// Neither: an address of another machine, a device, something that is gone, or something whose name is no
    /// text, for the page could only name it by another one.
    Nothing,
}

impl Thing {
    fn at(path: &Path) -> Self {
        let is = match path.metadata() {
            // What is no path comes as it was sent, and must not be looked for below where the program runs.
            _ if !path.is_absolute() || path.to_str().is_none() => Kind::Nothing,
            Ok(about) if about.is_dir() => Kind::Folder,
            Ok(about) if about.is_file() => Kind::File,
            _ => Kind::Nothing,
        };
        let path = path.to_string_lossy().into_owned();
        Self { path, is }
    }
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
    /// What an event says to the page.
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
            DragDropEvent::Leave => Some(Drop::Away),
            DragDropEvent::Drop { paths, .. } => Some(Drop::Here {
                things: paths.iter().map(|path| Thing::at(path)).collect(),
            }),
            _ => None,
        }
    }

    fn take(&self, drop: Drop) {
        if let Drop::Here { things } = &drop {
            let mut maps = self.maps.lock().unwrap_or_else(PoisonError::into_inner);
            for thing in things.iter().filter(|thing| thing.is == Kind::File) {
                let path = PathBuf::from(&thing.path);
                if is_map(&path) && !maps.contains(&path) {
                    maps.push(path);
                }
            }
        }
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
    let drops = window.state::<Drops>();
    if let Some(drop) = drops.said(event) {
        drops.take(drop);
    }
}

/// From now on the page is told of what is dropped on the window.
#[tauri::command]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn watch_drops(drops: State<'_, Drops>, channel: Channel<Drop>) {
    *drops.told.lock().unwrap_or_else(PoisonError::into_inner) = Some(channel);
}

/// Bytes of a map that was dropped on the window: so many from there on, or fewer where it ends.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn read_dropped(
    drops: State<'_, Drops>,
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

    fn dropped(paths: Vec<PathBuf>) -> Drop {
        let position = PhysicalPosition::new(1.0, 2.0);
        let drops = Drops::default();
        drops
            .said(&DragDropEvent::Drop { paths, position })
            .unwrap()
    }

    #[test]
    fn what_is_let_go_is_told_by_its_path_and_by_what_lies_there() {
        let folder = folder("told", &["a list.csv"]);
        let (list, gone) = (folder.join("a list.csv"), folder.join("gone.csv"));
        let link = PathBuf::from("https://example.org/list.csv");
        let paths = vec![list.clone(), folder.clone(), gone.clone(), link];
        let told = serde_json::to_value(dropped(paths)).unwrap();
        let expected = serde_json::json!({"is": "here", "things": [
            {"path": list, "is": "file"},
            {"path": folder, "is": "folder"},
            {"path": gone, "is": "nothing"},
            {"path": "https://example.org/list.csv", "is": "nothing"},
        ]});
        assert_eq!(told, expected);
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
        let told = dropped(vec![map.clone()]);
        let Drop::Here { things } = &told else {
            unreachable!("{told:?}")
        };
        assert_eq!(things[0].is, Kind::Nothing);
        assert!(things[0].path.ends_with("map\u{fffd}.pmtiles"));
        let drops = Drops::default();
        let (shown, own) = (PathBuf::from(&things[0].path), map);
        drops.take(told.clone());
        assert!(drops.read(&shown, 0, 1).is_err() && drops.read(&own, 0, 1).is_err());
        std::fs::remove_dir_all(folder).unwrap();
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
        drops.take(dropped(vec![map.clone(), secret.clone(), folder.clone()]));
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
