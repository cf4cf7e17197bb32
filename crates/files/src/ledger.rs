//! The findings of one file, put in the order of the file whatever order they were found in.

use gangday_model::Finding;

/// Findings of one file with the feature each belongs to.
pub(crate) struct Ledger {
    file: &'static str,
    rows: Vec<(usize, Finding)>,
}

/// Findings about a file as a whole come before those about its first feature.
pub(crate) const WHOLE_FILE: usize = 0;

impl Ledger {
    /// An empty ledger of this file.
    pub(crate) fn of(file: &'static str) -> Self {
        Self {
            file,
            rows: Vec::new(),
        }
    }

    /// Enters a finding about the whole file.
    pub(crate) fn enter(&mut self, finding: Finding) {
        self.rows.push((WHOLE_FILE, finding.in_file(self.file)));
    }

    /// Enters a finding about the feature at this index, from 0.
    pub(crate) fn enter_at(&mut self, index: usize, finding: Finding) {
        self.rows.push((index + 1, finding.in_file(self.file)));
    }

    /// Enters all findings about the feature at this index.
    pub(crate) fn enter_all(&mut self, index: usize, findings: Vec<Finding>) {
        for finding in findings {
            self.enter_at(index, finding);
        }
    }

    /// All findings, by feature; within a feature in the order in which they were entered.
    pub(crate) fn close(mut self) -> Vec<Finding> {
        self.rows.sort_by_key(|(order, _)| *order);
        self.rows.into_iter().map(|(_, finding)| finding).collect()
    }
}
