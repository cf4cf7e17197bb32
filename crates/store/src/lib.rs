//! The programme folder on disk: read whole, written whole or not at all.
//!
//! A save writes every file beside its target, syncs it, states on disk that all are ready, and
//! only then puts each in its place. A program killed before that statement leaves the old files;
//! killed after it, the next open puts the rest in place. Nobody ever reads half a file.

mod codes;
mod error;
mod folder;
mod lock;
mod pending;
mod whole;

pub use codes::CODES;
pub use error::StoreError;
pub use folder::{FILES, Folder};
pub use whole::write_whole;
