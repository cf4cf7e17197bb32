//! Data to standard output, messages to standard error.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "this is where the command prints"
)]

use std::io::{IsTerminal as _, Write as _, stderr, stdout};

use gangday_app::view::{FindingView, ProgressView};
use gangday_app::{Refusal, Serialize};

/// A line of data. A reader that has gone away ends the program quietly.
pub fn line(text: &str) {
    if writeln!(stdout(), "{text}").is_err() {
        std::process::exit(0);
    }
}

/// A message.
pub fn message(text: &str) {
    writeln!(stderr(), "{text}").ok();
}

/// Machine-readable data.
pub fn json(value: &impl Serialize) {
    match serde_json::to_string_pretty(value) {
        Ok(text) => line(&text),
        Err(error) => message(&format!("The answer could not be written as JSON: {error}")),
    }
}

/// Findings as data, one a line with its remedy below.
pub fn findings(findings: &[FindingView]) {
    for finding in findings {
        line(&in_words(finding));
    }
}

/// Findings as messages.
pub fn messages(findings: &[FindingView]) {
    for finding in findings {
        message(&in_words(finding));
    }
}

/// Why the command did nothing; of a finding whose words it says itself, only the code follows.
pub fn refusal(refusal: &Refusal) {
    message(&refusal.text);
    for finding in &refusal.findings {
        if refusal.text.contains(&finding.text) {
            message(&format!("{} {}", finding.severity, finding.code));
        } else {
            message(&in_words(finding));
        }
    }
}

fn in_words(finding: &FindingView) -> String {
    let FindingView {
        code,
        severity,
        place,
        text,
        remedy,
        ..
    } = finding;
    let place = if place.is_empty() {
        String::new()
    } else {
        format!("{place}: ")
    };
    format!("{severity} {code} {place}{text}\n    {remedy}")
}

/// A table with its first column left and all others right; a column with nothing in it is left out.
pub fn table<const N: usize>(heads: &[&str; N], rows: impl Iterator<Item = [String; N]>) {
    let rows: Vec<[String; N]> = rows.collect();
    let mut widths = [0; N];
    for row in &rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    for (width, head) in widths
        .iter_mut()
        .zip(heads)
        .filter(|(width, _)| **width > 0)
    {
        *width = (*width).max(head.chars().count());
    }
    line(&row_of(&heads.map(str::to_owned), &widths));
    rows.iter().for_each(|row| line(&row_of(row, &widths)));
}

fn row_of(cells: &[String], widths: &[usize]) -> String {
    let mut text = String::new();
    let shown = cells.iter().zip(widths).enumerate();
    for (place, (cell, width)) in shown.filter(|(_, (_, width))| **width > 0) {
        let gap = " ".repeat(width - cell.chars().count());
        let (before, after) = if place == 0 {
            ("", gap.as_str())
        } else {
            (gap.as_str(), "")
        };
        text.push_str(&format!("  {before}{cell}{after}"));
    }
    text.trim_end().to_owned()
}

/// Progress on one line of a terminal, or now and then where there is none.
#[derive(Default)]
pub struct Meter {
    shown: u32,
    begun: bool,
}

impl Meter {
    /// Shows how far it is.
    pub fn show(&mut self, progress: &ProgressView) {
        let percent = (progress.fraction * 100.0) as u32;
        if stderr().is_terminal() {
            write!(stderr(), "\r\x1b[2K{percent:3} % {}", progress.words).ok();
            stderr().flush().ok();
            self.begun = true;
        } else if percent >= self.shown + 25 {
            message(&format!("{percent} % {}", progress.words));
            self.shown = percent;
        }
    }

    /// Leaves the line.
    pub fn end(&self) {
        if self.begun {
            message("");
        }
    }
}
