//! Each thing that is the matter is told once.

use std::collections::HashSet;

use gangday_model::Finding;

/// The same findings, each once, in the order in which they first came.
///
/// A row of a table that is a fault by itself is told by its row alone, not again by whoever would
/// have read it; and where a gang has no plant at all, one lift of a job says so for all of them.
pub(super) fn each_once<'a>(findings: impl Iterator<Item = &'a Finding>) -> Vec<Finding> {
    let mut seen = HashSet::new();
    let mut rows: HashSet<String> = HashSet::new();
    let mut idle = HashSet::new();
    let first = |finding: &&'a Finding| {
        let place = &finding.place;
        if finding.is_fault() && finding.code.starts_with("P-") {
            let row = place.feature.clone().unwrap_or_default();
            let again = finding.code == "P-RANGE" && rows.contains(&row);
            rows.insert(row);
            return !again && seen.insert(*finding);
        }
        if finding.code == "T-RULE" && named_row(finding).is_some_and(|row| rows.contains(row)) {
            return false;
        }
        if finding.code == "C-LIFT" && finding.text.ends_with("with no plant") {
            return idle.insert(place.feature.clone()) && seen.insert(*finding);
        }
        seen.insert(*finding)
    };
    findings.filter(first).cloned().collect()
}

/// The row that a finding is about, wherever it names it.
fn named_row(finding: &Finding) -> Option<&str> {
    let place = &finding.place;
    place.feature.as_deref().or(place.property.as_deref())
}
