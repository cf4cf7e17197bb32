//! The codes of this room's findings, each with its meaning.

pub(crate) const FOLDER: &str = "F-FOLDER";
pub(crate) const OPEN: &str = "F-OPEN";
pub(crate) const SAVE: &str = "F-SAVE";
pub(crate) const FULL: &str = "F-FULL";
/// What lies there may only be read.
pub const READONLY: &str = "F-READONLY";
pub(crate) const FILENAME: &str = "F-FILENAME";
pub(crate) const LEFTOVER: &str = "F-LEFTOVER";
pub(crate) const NOPROGRAMME: &str = "F-NOPROGRAMME";
pub(crate) const NEWER: &str = "F-NEWER";
pub(crate) const INUSE: &str = "F-INUSE";
pub(crate) const MOVED: &str = "F-MOVED";
pub(crate) const CHANGED: &str = "F-CHANGED";
pub(crate) const DAMAGED: &str = "F-DAMAGED";
/// Something can't be read any more.
pub const LOST: &str = "F-LOST";

/// Every code that opening or saving a programme can give, with its meaning.
pub const CODES: &[(&str, &str)] = &[
    (
        FOLDER,
        "The programme folder or file is not there, or is no folder.",
    ),
    (OPEN, "A file of the programme is there but can't be read."),
    (
        SAVE,
        "A file can't be written; the one on disk is as it was.",
    ),
    (
        FULL,
        "The disk is full; the files on disk are as they were.",
    ),
    (
        READONLY,
        "The folder may not be written to; the files on disk are as they were.",
    ),
    (FILENAME, "A name is not that of a file in the folder."),
    (
        LEFTOVER,
        "A save that was broken off is complete on disk but can't be put in place.",
    ),
    (NOPROGRAMME, "The file is no programme file of Gangday."),
    (
        NEWER,
        "The programme file was saved by a newer Gangday and is left alone.",
    ),
    (
        INUSE,
        "Another window or program has the programme file open.",
    ),
    (
        MOVED,
        "The programme file was moved, renamed or replaced while it was open.",
    ),
    (
        CHANGED,
        "Another program has written to the programme since it was opened; nothing is written over that.",
    ),
    (
        DAMAGED,
        "The programme file is damaged; what can be read is opened from a copy.",
    ),
    (
        LOST,
        "Something in a damaged programme file, or a picture, can't be read.",
    ),
];

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;

    #[test]
    fn every_code_is_listed_once_and_has_a_meaning() {
        let codes: HashSet<&str> = CODES.iter().map(|(code, _)| *code).collect();
        assert_eq!(codes.len(), CODES.len());
        assert!(
            CODES
                .iter()
                .all(|(code, meaning)| code.starts_with("F-") && meaning.ends_with('.'))
        );
    }
}
