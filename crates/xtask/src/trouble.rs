//! What went wrong with a chore, and what to do about it.

use std::fmt;

/// A chore that could not be done, in two sentences: the matter and the remedy.
#[derive(Debug)]
pub struct Trouble {
    matter: String,
    remedy: String,
}

/// Makes a trouble from its two sentences.
pub fn trouble(matter: impl Into<String>, remedy: impl Into<String>) -> Trouble {
    Trouble {
        matter: matter.into(),
        remedy: remedy.into(),
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}\n  what to do: {}", self.matter, self.remedy)
    }
}
