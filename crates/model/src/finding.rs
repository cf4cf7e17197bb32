//! What is wrong or needs a look: what happened, to what, what to do.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How much a finding weighs.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// The answer stands, but somebody should look.
    Warning,
    /// The thing it is about can't be used as it is.
    Fault,
}

/// Where a finding is.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct Place {
    /// The file, by its name in the programme.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub file: Option<String>,
    /// The feature, gang, row or route in it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub feature: Option<String>,
    /// The property of it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub property: Option<String>,
    /// Line, from 1.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub line: Option<u32>,
    /// Column, from 1.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub column: Option<u32>,
    /// The row of a list under its headings, from 0: whatever line of a file that is, for a cell may hold several
    /// lines. Known while a list is looked at, and kept in no file.
    #[serde(skip)]
    pub row: Option<u32>,
}

/// One finding, with a stable code that `docs/codes.md` lists.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct Finding {
    /// Stable code, for example `J-SIZE`.
    pub code: String,
    /// How much it weighs.
    pub severity: Severity,
    /// Where it is.
    pub place: Place,
    /// What is the matter, in a short sentence.
    pub text: String,
    /// What to do about it, in a short sentence.
    pub remedy: String,
}

impl Finding {
    /// A finding nowhere in particular yet.
    #[must_use]
    pub fn new(
        code: &str,
        severity: Severity,
        text: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            code: code.to_owned(),
            severity,
            place: Place::default(),
            text: text.into(),
            remedy: remedy.into(),
        }
    }

    /// A fault: the thing can't be used as it is.
    #[must_use]
    pub fn fault(code: &str, text: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(code, Severity::Fault, text, remedy)
    }

    /// A warning: the answer stands, but somebody should look.
    #[must_use]
    pub fn warning(code: &str, text: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(code, Severity::Warning, text, remedy)
    }

    /// A note: worth knowing.
    #[must_use]
    pub fn note(code: &str, text: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(code, Severity::Note, text, remedy)
    }

    /// The same, in this file.
    #[must_use]
    pub fn in_file(mut self, file: impl Into<String>) -> Self {
        self.place.file = Some(file.into());
        self
    }

    /// The same, at this feature.
    #[must_use]
    pub fn at(mut self, feature: impl Into<String>) -> Self {
        self.place.feature = Some(feature.into());
        self
    }

    /// The same, at this property.
    #[must_use]
    pub fn of(mut self, property: impl Into<String>) -> Self {
        self.place.property = Some(property.into());
        self
    }

    /// The same, at this line and column.
    #[must_use]
    pub fn on_line(mut self, line: u32, column: u32) -> Self {
        self.place.line = Some(line);
        self.place.column = Some(column);
        self
    }

    /// The same, at this row of a list, from 0.
    #[must_use]
    pub fn in_row(mut self, row: usize) -> Self {
        self.place.row = u32::try_from(row).ok();
        self
    }

    /// The same, at the line on which its row would stand if no cell held more than one: headings are on line 1. What
    /// is in no line of a file, and what is about no row, stays as it is.
    #[must_use]
    pub fn line_of_row(mut self) -> Self {
        let line = self.place.row.map(|row| row.saturating_add(2));
        self.place.line = self.place.line.and(line).or(self.place.line);
        self
    }

    /// Whether the thing can't be used as it is.
    #[must_use]
    pub fn is_fault(&self) -> bool {
        self.severity == Severity::Fault
    }
}
