//! The programme on disk, a folder or one file: read whole, written whole or not at all.
//!
//! A save into a folder writes every file beside its target, syncs it, states on disk that all are
//! ready, and only then puts each in its place. A program killed before that statement leaves the
//! old files; killed after it, the next open puts the rest in place. A programme file is a database
//! in which every edit is one transaction. Nobody ever reads half a programme.

mod attachments;
mod change;
mod codes;
mod error;
mod folder;
mod gpkg;
mod home;
mod lock;
mod past;
mod pending;
mod seen;
mod together;
mod whole;

pub use attachments::{
    attachment_name, attachment_of, attachments_of, is_attachment_name, keep_attachments,
};
pub use change::{Change, FeatureChange, FileChange, Placed};
pub use codes::CODES;
pub use codes::{LOST, READONLY};
pub use error::StoreError;
pub use folder::{FILES, Folder};
pub use gpkg::{
    Along, ProgrammeFile, Rescued, Stamp, Step, is_programme_file, is_same_place, read_history,
    read_programme_file, read_remembered, rescue,
};
pub use home::Home;
pub use past::{History, PastEdit};
pub use seen::Seen;
pub use together::Together;
pub use whole::write_whole;
