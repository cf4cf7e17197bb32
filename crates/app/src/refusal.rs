//! Findings as the doors show them, and requests refused.

use gangday_model::{Finding, Severity};

use crate::view::{FindingView, Refusal};

impl Refusal {
    /// A refusal in one line, with no findings.
    #[must_use]
    pub fn plain(text: &str) -> Self {
        Self {
            text: text.to_owned(),
            findings: Vec::new(),
        }
    }

    /// A refusal in one line, with the code that says what it means and what can be done.
    #[must_use]
    pub fn coded(code: &str, text: &str) -> Self {
        Self::because(text, &[Finding::fault(code, text, "")])
    }

    /// A refusal because of these findings.
    #[must_use]
    pub fn because(text: &str, findings: &[Finding]) -> Self {
        Self {
            text: text.to_owned(),
            findings: views(findings),
        }
    }
}

/// Findings as the doors show them, the gravest first, otherwise in the order given.
#[must_use]
pub fn views(findings: &[Finding]) -> Vec<FindingView> {
    let mut gravest_first: Vec<&Finding> = findings.iter().collect();
    gravest_first.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    gravest_first.into_iter().map(view).collect()
}

fn view(finding: &Finding) -> FindingView {
    FindingView {
        code: finding.code.clone(),
        severity: severity(finding.severity).to_owned(),
        place: place(finding),
        row: finding.place.row,
        job: job(finding),
        text: finding.text.clone(),
        remedy: finding.remedy.clone(),
    }
}

const fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "note",
        Severity::Warning => "warning",
        Severity::Fault => "fault",
    }
}

/// `jobs.geojson, J-014, sections, line 3 column 7`.
fn place(finding: &Finding) -> String {
    let at = &finding.place;
    let line = at.line.map(|line| match at.column {
        Some(column) => format!("line {line} column {column}"),
        None => format!("line {line}"),
    });
    let parts = [
        at.file.clone(),
        at.feature.clone(),
        at.property.clone(),
        line,
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The job that a finding is about: a feature of the jobs' own file.
fn job(finding: &Finding) -> Option<String> {
    let in_jobs = finding
        .place
        .file
        .as_deref()
        .is_none_or(|file| file == gangday_files::JOBS);
    finding.place.feature.clone().filter(|_| in_jobs)
}
