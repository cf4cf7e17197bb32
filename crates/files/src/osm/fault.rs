//! Why nothing of an extract can be used.

use std::io;

use gangday_model::Finding;

use crate::codes;

/// What is wrong with an extract as a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Fault {
    code: &'static str,
    text: String,
    remedy: &'static str,
}

const AGAIN: &str = "Fetch or cut the extract again, and compare its size with the source's.";

impl Fault {
    fn damaged(text: String) -> Self {
        Self {
            code: codes::PBF,
            text,
            remedy: AGAIN,
        }
    }

    pub(super) fn broken(blob: usize) -> Self {
        Self::damaged(format!(
            "Block {} is not what a block of an OpenStreetMap extract must be.",
            blob + 1
        ))
    }

    pub(super) fn ends(blob: usize) -> Self {
        Self::damaged(format!("The file ends inside block {}.", blob + 1))
    }

    pub(super) fn unreadable(blob: usize, error: &io::Error) -> Self {
        Self::damaged(format!("Block {} can't be read: {error}.", blob + 1))
    }

    pub(super) fn no_extract() -> Self {
        Self {
            code: codes::PBF,
            text: "The file is not an OpenStreetMap extract in the PBF format.".to_owned(),
            remedy: "Choose a file whose name ends in .osm.pbf.",
        }
    }

    pub(super) fn header_size(blob: usize, size: u64) -> Self {
        Self::damaged(format!(
            "Block {} claims a heading of {size} bytes; less than 64 KiB is allowed.",
            blob + 1
        ))
    }

    pub(super) fn blob_size(blob: usize, size: u64) -> Self {
        Self::damaged(format!(
            "Block {} is {size} bytes or more; 32 MiB is the most that is allowed.",
            blob + 1
        ))
    }

    pub(super) fn packing(blob: usize) -> Self {
        Self {
            code: codes::PBF_PACKING,
            text: format!(
                "Block {} is packed in a way that Gangday does not read; it reads zlib and plain.",
                blob + 1
            ),
            remedy: "Write the extract again with zlib, the usual packing.",
        }
    }

    pub(super) fn feature(name: &str) -> Self {
        let name = crate::words::shorten(name);
        Self {
            code: codes::PBF_PACKING,
            text: format!("Readers of this extract must know `{name}`, which Gangday does not."),
            remedy: "Use an extract of the present state of the map, without history.",
        }
    }

    pub(super) fn too_big() -> Self {
        Self {
            code: codes::PBF_BIG,
            text: "The extract holds more roads than Gangday keeps in memory.".to_owned(),
            remedy: "Cut a smaller area round the works: a town or a county.",
        }
    }

    pub(super) fn no_roads() -> Self {
        Self {
            code: codes::OSM_NONE,
            text: "There is no road in the extract that a vehicle may use.".to_owned(),
            remedy: "Check that the extract covers the works and was not filtered.",
        }
    }

    pub(super) fn finding(self, file: &str) -> Finding {
        Finding::fault(self.code, self.text, self.remedy).in_file(file)
    }
}
