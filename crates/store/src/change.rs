//! An edit as it is kept: what was there before, and what is there after.

use serde::{Deserialize, Serialize};
use serde_json::Value;

/// One named edit of a programme, which can be taken back.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Change {
    /// What the edit is called: `move J001`.
    pub what: String,
    /// Features that are changed, added or taken out, in the order of their places before.
    pub features: Vec<FeatureChange>,
    /// Files that are replaced as a whole.
    pub files: Vec<FileChange>,
}

/// A feature before and after; none where it is not there.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FeatureChange {
    /// The file it stands in.
    pub file: String,
    /// Before the edit.
    pub before: Option<Placed>,
    /// After the edit.
    pub after: Option<Placed>,
}

/// A feature with its place among those of its file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Placed {
    /// Its id.
    pub id: String,
    /// Its place, from 0, among the features that have no fault.
    pub index: usize,
    /// The feature, as RFC 7946 writes it.
    pub feature: Value,
}

/// A file before and after; none where it is not there.
#[derive(Clone, Debug, PartialEq)]
pub struct FileChange {
    /// Its name.
    pub name: String,
    /// Before the edit.
    pub before: Option<Vec<u8>>,
    /// After the edit.
    pub after: Option<Vec<u8>>,
}

impl Change {
    /// The edit that takes this one back.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let feature = |one: &FeatureChange| FeatureChange {
            file: one.file.clone(),
            before: one.after.clone(),
            after: one.before.clone(),
        };
        let file = |one: &FileChange| FileChange {
            name: one.name.clone(),
            before: one.after.clone(),
            after: one.before.clone(),
        };
        Self {
            what: self.what.clone(),
            features: self.features.iter().map(feature).collect(),
            files: self.files.iter().map(file).collect(),
        }
    }

    /// Whether it changes nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.features.is_empty() && self.files.is_empty()
    }
}
