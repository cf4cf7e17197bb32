//! A programme folder, opened.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::error::StoreError;
use crate::lock::Lock;
use crate::pending;
use crate::seen::Seen;

/// The files that a programme folder may hold.
pub const FILES: [&str; 14] = [
    "jobs.geojson",
    "streets.geojson",
    "gangs.json",
    "method.json",
    "materials.json",
    "week.json",
    "backdrop.geojson",
    "plan.json",
    "plan-unread.json",
    "diary.json",
    "issues.json",
    "page.json",
    "network.json",
    "network.prepared",
];

/// A programme folder and the bytes of its files as they were when it was opened or last saved.
#[derive(Clone, Debug)]
pub struct Folder {
    path: PathBuf,
    files: BTreeMap<String, Vec<u8>>,
}

impl Folder {
    /// Opens a folder: completes a save that was broken off, then reads every file whole.
    ///
    /// A file that is not there is none of an error here; whether the programme needs it is for
    /// the reader of its bytes to say.
    ///
    /// # Errors
    /// There is no such folder, a file in it can't be read, or a save can't be completed.
    pub fn open(path: impl Into<PathBuf>) -> Result<Self, StoreError> {
        let path = path.into();
        match fs::metadata(&path) {
            Ok(metadata) if metadata.is_dir() => {}
            Ok(_) => return Err(StoreError::NotAFolder(path)),
            Err(cause) if cause.kind() == io::ErrorKind::NotFound => {
                return Err(StoreError::NoFolder(path));
            }
            Err(cause) => return Err(StoreError::Unreadable { path, cause }),
        }
        pending::settle(&path)?;
        let _lock = Lock::to_read(&path);
        let mut files = BTreeMap::new();
        for name in FILES {
            if let Some(bytes) = read(&path.join(name))? {
                files.insert(name.to_owned(), bytes);
            }
        }
        Ok(Self { path, files })
    }

    /// Makes a folder, with those above it, and opens it; one that is there is opened as it is.
    ///
    /// # Errors
    /// The folder can't be made or can't be opened.
    pub fn create(path: impl Into<PathBuf>) -> Result<Self, StoreError> {
        let path = path.into();
        match fs::create_dir_all(&path) {
            Ok(()) => Self::open(path),
            Err(_) if path.is_file() => Err(StoreError::NotAFolder(path)),
            Err(cause) => Err(StoreError::writing(&path, cause)),
        }
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// What it is called: the last part of its path.
    #[must_use]
    pub fn name(&self) -> String {
        let whole = fs::canonicalize(&self.path).unwrap_or_else(|_| self.path.clone());
        let name = whole.file_name().unwrap_or(whole.as_os_str());
        name.to_string_lossy().into_owned()
    }

    /// The sums of its files, as they were read or last saved.
    #[must_use]
    pub fn seen(&self) -> Seen {
        Seen::of(&self.path, &self.files)
    }

    /// The bytes of one of its files, if it was there.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&[u8]> {
        self.files.get(name).map(Vec::as_slice)
    }

    /// Saves several files as one: a kill at any moment leaves all of them old or all of them new,
    /// as the next [`open`](Self::open) sees them, and never a half-written one.
    ///
    /// Files that are not named stay as they are.
    ///
    /// # Errors
    /// A name is not that of a file in the folder, the folder is gone or may not be written to, or
    /// the disk is full: all files are then as they were. If the files were ready but could not be
    /// put in place, opening the folder again completes the save.
    pub fn save(&mut self, files: &[(&str, Vec<u8>)]) -> Result<(), StoreError> {
        if let Some((name, _)) = files.iter().find(|(name, _)| !pending::is_plain(name)) {
            return Err(StoreError::Name((*name).to_owned()));
        }
        if files.is_empty() {
            return Ok(());
        }
        pending::settle(&self.path)?;
        let lock = Lock::to_write(&self.path);
        pending::save(&self.path, files, &[])?;
        drop(lock);
        self.note(files);
        Ok(())
    }

    /// Saves a whole programme as one: of the files that a programme folder may hold ([`FILES`]) none is there
    /// then but these and those that `stay`. What is no such file is nobody's business here.
    ///
    /// With `seen`, what another program has written since is not written over.
    ///
    /// # Errors
    /// As of [`save`](Self::save), or another program has changed a file that was seen.
    pub fn save_whole(
        &mut self,
        files: &[(&str, Vec<u8>)],
        stay: &[&str],
        seen: Option<&Seen>,
    ) -> Result<(), StoreError> {
        if let Some((name, _)) = files.iter().find(|(name, _)| !pending::is_plain(name)) {
            return Err(StoreError::Name((*name).to_owned()));
        }
        pending::settle(&self.path)?;
        let lock = Lock::to_write(&self.path);
        seen.map_or(Ok(()), Seen::check)?;
        let goes = |name: &&str| {
            let is_new = files.iter().any(|(new, _)| new == name);
            !is_new && !stay.contains(name) && self.path.join(name).exists()
        };
        let gone: Vec<&str> = FILES.into_iter().filter(goes).collect();
        pending::save(&self.path, files, &gone)?;
        drop(lock);
        self.files.retain(|name, _| !gone.contains(&name.as_str()));
        self.note(files);
        Ok(())
    }

    fn note(&mut self, files: &[(&str, Vec<u8>)]) {
        let new = files.iter();
        self.files
            .extend(new.map(|(name, bytes)| ((*name).to_owned(), bytes.clone())));
    }

    /// Takes a file out of the folder; one that is not there is no error.
    ///
    /// # Errors
    /// The name is not that of a file in the folder, or the system does not let it be removed.
    pub fn remove(&mut self, name: &str) -> Result<(), StoreError> {
        if !pending::is_plain(name) {
            return Err(StoreError::Name(name.to_owned()));
        }
        pending::settle(&self.path)?;
        let path = self.path.join(name);
        let _lock = Lock::to_write(&self.path);
        match fs::remove_file(&path) {
            Err(cause) if cause.kind() != io::ErrorKind::NotFound => {
                Err(StoreError::writing(&path, cause))
            }
            _ => {
                self.files.remove(name);
                Ok(())
            }
        }
    }
}

fn read(path: &Path) -> Result<Option<Vec<u8>>, StoreError> {
    match fs::read(path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(cause) => {
            let path = path.to_owned();
            Err(StoreError::Unreadable { path, cause })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_saved_is_there_when_opened_again() {
        let place = tempfile::tempdir().unwrap();
        let mut folder = Folder::create(place.path().join("weeks").join("first")).unwrap();
        assert_eq!(
            (folder.name().as_str(), folder.get("jobs.geojson")),
            ("first", None)
        );
        let files = [
            ("jobs.geojson", b"jobs".to_vec()),
            ("plan.json", b"plan".to_vec()),
        ];
        folder.save(&files).unwrap();
        let again = Folder::open(folder.path()).unwrap();
        assert_eq!(again.get("jobs.geojson"), Some(&b"jobs"[..]));
        assert_eq!(fs::read(folder.path().join("plan.json")).unwrap(), b"plan");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    }

    #[test]
    fn what_is_removed_is_gone_and_removing_it_again_is_no_error() {
        let place = tempfile::tempdir().unwrap();
        let mut folder = Folder::create(place.path()).unwrap();
        folder.save(&[("plan.json", b"plan".to_vec())]).unwrap();
        folder.remove("plan.json").unwrap();
        folder.remove("plan.json").unwrap();
        assert_eq!(Folder::open(place.path()).unwrap().get("plan.json"), None);
        assert!(matches!(
            folder.remove("../plan.json"),
            Err(StoreError::Name(_))
        ));
    }

    #[test]
    fn a_programme_saved_whole_leaves_no_file_of_an_earlier_one_and_every_stranger_s() {
        let place = tempfile::tempdir().unwrap();
        let mut folder = Folder::create(place.path()).unwrap();
        let old = FILES.map(|name| (name, b"old".to_vec()));
        folder.save_whole(&old, &[], None).unwrap();
        fs::write(place.path().join("theirs.json"), b"theirs").unwrap();
        let new = [("jobs.geojson", b"new".to_vec())];
        folder.save_whole(&new, &["diary.json"], None).unwrap();
        let mut names: Vec<_> = fs::read_dir(place.path())
            .unwrap()
            .map(|one| one.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        assert_eq!(names, ["diary.json", "jobs.geojson", "theirs.json"]);
        assert_eq!(
            (folder.get("week.json"), folder.get("diary.json")),
            (None, Some(&b"old"[..]))
        );
        assert_eq!(fs::read(place.path().join("jobs.geojson")).unwrap(), b"new");
    }

    #[test]
    fn one_file_that_can_t_be_taken_away_keeps_all_as_they_were() {
        let place = tempfile::tempdir().unwrap();
        let mut folder = Folder::create(place.path()).unwrap();
        folder.save(&[("jobs.geojson", b"old".to_vec())]).unwrap();
        fs::create_dir(place.path().join("week.json")).unwrap();
        let new = [("jobs.geojson", b"new".to_vec())];
        let refused = folder.save_whole(&new, &[], None);
        assert!(matches!(refused, Err(StoreError::Unwritable { .. })));
        assert_eq!(fs::read(place.path().join("jobs.geojson")).unwrap(), b"old");
        assert_eq!(fs::read_dir(place.path()).unwrap().count(), 2);
    }

    #[test]
    fn what_is_no_folder_is_named() {
        let place = tempfile::tempdir().unwrap();
        let missing = place.path().join("missing");
        assert!(
            matches!(Folder::open(&missing), Err(StoreError::NoFolder(path)) if path == missing)
        );
        let file = place.path().join("file");
        fs::write(&file, b"").unwrap();
        assert!(matches!(
            Folder::open(&file),
            Err(StoreError::NotAFolder(_))
        ));
        assert!(matches!(
            Folder::create(&file),
            Err(StoreError::NotAFolder(_))
        ));
    }

    #[test]
    fn a_file_that_is_there_but_unreadable_is_an_error_that_names_it() {
        let place = tempfile::tempdir().unwrap();
        fs::create_dir(place.path().join("gangs.json")).unwrap();
        let error = Folder::open(place.path()).unwrap_err();
        assert!(error.to_string().contains("gangs.json"), "{error}");
    }

    #[test]
    fn one_file_that_can_t_be_saved_keeps_all_as_they_were() {
        let place = tempfile::tempdir().unwrap();
        let mut folder = Folder::create(place.path().join("week")).unwrap();
        folder.save(&[("jobs.geojson", b"old".to_vec())]).unwrap();
        fs::create_dir(folder.path().join("week.json")).unwrap();
        let files = [
            ("jobs.geojson", b"new".to_vec()),
            ("week.json", b"new".to_vec()),
        ];
        assert!(matches!(
            folder.save(&files),
            Err(StoreError::Unwritable { .. })
        ));
        assert_eq!(
            fs::read(folder.path().join("jobs.geojson")).unwrap(),
            b"old"
        );
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    }

    #[test]
    fn a_name_that_leads_out_is_refused_before_anything_is_written() {
        let place = tempfile::tempdir().unwrap();
        let mut folder = Folder::create(place.path().join("week")).unwrap();
        let files = [
            ("jobs.geojson", b"new".to_vec()),
            ("../out.json", b"new".to_vec()),
        ];
        assert!(
            matches!(folder.save(&files), Err(StoreError::Name(name)) if name == "../out.json")
        );
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    }
}
