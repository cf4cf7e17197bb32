//! Where the open programme is kept: nowhere yet, in a folder, or in a file that takes every edit.

use std::path::{Path, PathBuf};

use gangday_store::{
    Change, Folder, Home, PastEdit, ProgrammeFile, Seen, Stamp, Step, StoreError,
    is_programme_file, is_same_place, read_history, read_remembered, rescue,
};

use super::memory::CLIENT;

use crate::diary::{self, Diary};
use crate::opened::{ISSUES, Opened, refused};
use crate::saving::CLOSURES;
use crate::view::Refusal;

/// How edits get to the disk.
#[derive(Default)]
pub enum Keeping {
    /// By saving, nowhere yet.
    #[default]
    Apart,
    /// By saving into the folder that it is of, and that others may write to as well.
    InFolder(Seen),
    /// Each by itself, before it is answered.
    InFile(Box<ProgrammeFile>),
    /// By saving, for the file could not take one.
    Left(Box<Left>),
    /// Not at all: the file can only be read.
    Barred(Refusal, Box<Left>),
}

/// A programme file that takes no edits, and what of it is to go into one that is written in its place.
pub struct Left {
    /// Where it lay when it was opened.
    pub path: PathBuf,
    /// Which file it is, as far as the desk knows what is in it; no other is ever written over.
    pub stamp: Option<Stamp>,
    /// How clients' lists are laid out, by client; none where that can't be read.
    pub mappings: Option<Vec<(String, String)>>,
    /// Pictures in it that could not be taken along, by what they are kept under.
    pub lost: Vec<String>,
}

/// A programme with how it is kept, and the names of the edits that its file holds.
pub struct Found {
    /// The programme.
    pub opened: Opened,
    /// How it is kept.
    pub keeping: Keeping,
    /// What undo and redo go to.
    pub edits: (Vec<String>, Vec<String>),
    /// The edits themselves, where the file that holds them takes no step.
    pub history: Vec<PastEdit>,
}

impl Found {
    /// A programme that no file takes edits of.
    pub fn apart(opened: Opened) -> Self {
        Self {
            opened,
            keeping: Keeping::Apart,
            edits: Default::default(),
            history: Vec::new(),
        }
    }
}

/// Opens a folder, or claims a programme file, unless it is claimed already; a damaged one is opened
/// into a copy.
///
/// # Errors
/// Where it can't be read, or another window has it.
pub fn open(path: &Path, own: &mut Keeping) -> Result<Found, Refusal> {
    if !is_programme_file(path) {
        return open_folder(path);
    }
    let claimed = match own.file().filter(|file| file.is_called(path)) {
        None => ProgrammeFile::claim(path),
        Some(file) if file.check().is_err() => file.claim_anew(),
        Some(_) => match std::mem::take(own) {
            Keeping::InFile(file) => return in_file(*file),
            _ => ProgrammeFile::claim(path),
        },
    };
    match claimed {
        Ok(file) => in_file(file),
        Err(StoreError::Damaged { .. }) => {
            let rescued = rescue(path).map_err(|error| refused(&error))?;
            let mut found = in_file(rescued.file)?;
            found.opened.also_found(rescued.lost);
            Ok(found)
        }
        Err(error @ StoreError::ReadOnly { .. }) => {
            let stamp = Stamp::of(path);
            let mut found = Found::apart(Opened::from_path(path)?);
            found.opened.also_found(vec![(&error).into()]);
            let left = Left {
                path: path.to_owned(),
                stamp,
                mappings: read_remembered(path, CLIENT).ok(),
                lost: Vec::new(),
            };
            found.keeping = Keeping::Barred(refused(&error), Box::new(left));
            let history = read_history(path);
            found.opened.also_found(history.lost);
            found.history = history.edits;
            let named = |of_undone: bool| {
                let edits = found.history.iter();
                let edits = edits.filter(|edit| edit.undone == of_undone);
                edits.map(|edit| edit.what.clone()).collect()
            };
            found.edits = (named(false), named(true));
            Ok(found)
        }
        Err(error) => Err(refused(&error)),
    }
}

fn open_folder(path: &Path) -> Result<Found, Refusal> {
    let folder = Folder::open(path).map_err(|error| refused(&error))?;
    let seen = folder.seen();
    let home = Home::Folder(folder);
    Ok(Found {
        keeping: Keeping::InFolder(seen),
        ..Found::apart(Opened::from_home(path, &home))
    })
}

fn in_file(mut file: ProgrammeFile) -> Result<Found, Refusal> {
    let files = file.files().map_err(|error| refused(&error))?;
    let opened = Opened::from_files(file.path(), &files);
    let diary = &opened.diary;
    if !diary.lost && diary::is_issues_due(diary, files.get(ISSUES).map(Vec::as_slice)) {
        // Before any step that an earlier version wrote can take them away.
        let put = file.put(&[(ISSUES, diary::write_issues(diary))]);
        put.map_err(|error| refused(&error))?;
    }
    Ok(Found {
        opened,
        edits: file.edits().map_err(|error| refused(&error))?,
        history: Vec::new(),
        keeping: Keeping::InFile(Box::new(file)),
    })
}

impl Keeping {
    /// Takes an edit; what is worked out from the plan is then due.
    pub fn commit(&mut self, change: &Change) -> Result<(), Refusal> {
        self.write(|file| file.commit(change, &[]))
    }

    /// Takes what was issued, with no place in the history: at once, in the file or the folder. Whether there
    /// is either.
    pub fn put_issues(&mut self, diary: &Diary) -> Result<bool, Refusal> {
        let bytes = diary::write_issues(diary);
        if let (Self::InFolder(seen), Some(bytes)) = (&mut *self, &bytes) {
            let kept = seen.put(ISSUES, bytes);
            return kept.map(|()| true).map_err(|error| refused(&error));
        }
        self.write(|file| file.put(&[(ISSUES, bytes)]))?;
        Ok(self.is_file())
    }

    /// Takes a step in the history; what is worked out from the plan is then due.
    pub fn walk(&mut self, step: Step) -> Result<(), Refusal> {
        self.write(|file| file.walk(step, &[]))
    }

    /// Gives the file its closures, if they are due there.
    pub fn put_closures(&mut self, closures: impl FnOnce() -> Option<Vec<u8>>) {
        let Self::InFile(file) = self else { return };
        if file.is_due(CLOSURES).unwrap_or(false) {
            // They are worked out again from what is there; until then they stay due.
            let _ = file.put(&[(CLOSURES, closures())]);
        }
    }

    fn write(
        &mut self,
        how: impl FnOnce(&mut ProgrammeFile) -> Result<(), StoreError>,
    ) -> Result<(), Refusal> {
        match self {
            Self::Apart | Self::InFolder(_) | Self::Left(_) => Ok(()),
            Self::Barred(refusal, _) => Err(refusal.clone()),
            Self::InFile(file) => how(file).map_err(|error| refused(&error)),
        }
    }

    /// The edit that a step would take, as the file holds it.
    pub fn next(&self, step: Step) -> Result<Option<Change>, Refusal> {
        match self {
            Self::InFile(file) => file.next(step).map_err(|error| refused(&error)),
            Self::Apart | Self::InFolder(_) | Self::Left(_) | Self::Barred(..) => Ok(None),
        }
    }

    /// Whether every edit is on the disk as soon as it is done.
    pub fn is_file(&self) -> bool {
        matches!(self, Self::InFile(_))
    }

    /// The file, if there is one.
    pub fn file(&mut self) -> Option<&mut ProgrammeFile> {
        match self {
            Self::InFile(file) => Some(file),
            Self::Apart | Self::InFolder(_) | Self::Left(_) | Self::Barred(..) => None,
        }
    }

    /// What was seen of this folder, if it is the one that the programme is of.
    pub fn seen(&self, folder: &Path) -> Option<&Seen> {
        match self {
            Self::InFolder(seen) => Some(seen).filter(|seen| is_same_place(seen.folder(), folder)),
            _ => None,
        }
    }

    /// The file that was opened and takes no edits, if there is one.
    pub fn left(&self) -> Option<&Left> {
        match self {
            Self::Left(left) | Self::Barred(_, left) => Some(left),
            Self::Apart | Self::InFolder(_) | Self::InFile(_) => None,
        }
    }

    /// How clients' lists are laid out, as the file remembers it; none where that can't be read.
    pub fn mappings(&self) -> Option<Vec<(String, String)>> {
        match self {
            Self::InFile(file) => file.all_remembered(CLIENT).ok(),
            _ => self
                .left()
                .map_or(Some(Vec::new()), |left| left.mappings.clone()),
        }
    }
}
