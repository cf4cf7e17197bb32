//! What reading could not turn into a noun but saving must not lose.

use std::collections::BTreeMap;

use serde_json::{Map, Value};

/// Whether a file was there and could be read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FileState {
    /// It was not there.
    #[default]
    Absent,
    /// It was there, but nothing could be made of it; writing over it would destroy it.
    Unreadable,
    /// It was read.
    Read,
}

/// What one file holds beyond the nouns.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KeptFile {
    /// Whether it was there and could be read.
    pub state: FileState,
    /// Members of the file's outermost object that Gangday does not know.
    pub members: Map<String, Value>,
    /// Members of features, by the feature's id, that stand beside `properties`.
    pub beside: BTreeMap<String, Map<String, Value>>,
    /// The named table that a parameter's row stands in, by the row's key; none for a plain list.
    pub tables: BTreeMap<String, String>,
    /// Features, gangs, tips or rows with a fault, word for word, by the list they stand in.
    pub set_aside: BTreeMap<String, Vec<Value>>,
    /// What findings call those of `set_aside` that are features, gangs or tips, in the same order.
    pub called: BTreeMap<String, Vec<String>>,
}

impl KeptFile {
    pub(crate) fn in_state(state: FileState) -> Self {
        Self {
            state,
            ..Self::default()
        }
    }

    pub(crate) fn put_aside(&mut self, list: &str, value: Value) {
        self.set_aside
            .entry(list.to_owned())
            .or_default()
            .push(value);
    }

    /// The same for what findings call by this name.
    pub(crate) fn put_aside_called(&mut self, list: &str, name: String, value: Value) {
        self.put_aside(list, value);
        self.called.entry(list.to_owned()).or_default().push(name);
    }

    pub(crate) fn aside(&self, list: &str) -> &[Value] {
        self.set_aside.get(list).map_or(&[], Vec::as_slice)
    }
}

/// What a programme's files hold beyond the nouns.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Kept {
    /// Beyond the jobs.
    pub jobs: KeptFile,
    /// Beyond the streets.
    pub streets: KeptFile,
    /// Beyond gangs and tips.
    pub gangs: KeptFile,
    /// Beyond the method table.
    pub method: KeptFile,
    /// Beyond the materials table.
    pub materials: KeptFile,
    /// Beyond the week.
    pub week: KeptFile,
}
