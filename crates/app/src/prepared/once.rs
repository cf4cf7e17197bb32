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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;
    use crate::prepared::Prepared;
    use crate::view::DemoWeek;

    #[test]
    fn a_job_without_any_plant_says_so_once_and_not_for_every_lift() {
        let opened = demo::open(DemoWeek::Small);
        let mut programme = opened.prepared.programme.as_ref().clone();
        let mut rows: Vec<_> = opened.prepared.method.rows().cloned().collect();
        for row in rows
            .iter_mut()
            .filter(|row| row.key.starts_with("lift.use"))
        {
            row.value = 0.0;
        }
        programme.method = gangday_model::ParameterTable::new(rows);
        let prepared = Prepared::new(programme);
        let lifts = |found: &[Finding]| {
            let idle =
                |found: &&Finding| found.code == "C-LIFT" && found.text.ends_with("with no plant");
            let of = |found: &Finding| found.place.feature.clone();
            found.iter().filter(idle).map(of).collect::<Vec<_>>()
        };
        let told = lifts(prepared.findings());
        let once: HashSet<_> = told.iter().cloned().collect();
        assert!(!told.is_empty() && told.len() == once.len(), "{told:?}");
        let all: Vec<Finding> = prepared
            .of_jobs
            .iter()
            .flat_map(|found| found.to_vec())
            .collect();
        let every = lifts(&all);
        assert!(
            every.len() > told.len(),
            "{} lifts, {} jobs",
            every.len(),
            told.len()
        );
        assert_eq!(every.into_iter().collect::<HashSet<_>>(), once);
    }
}
