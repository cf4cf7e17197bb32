//! What a list did not say or was not used for: nothing is assumed, made or left aside in silence.

use std::collections::BTreeMap;

use gangday_model::Finding;
use serde_json::Value;

use super::mapping::PointMapping;
use super::table::Table;
use crate::codes;
use crate::jobs::NAMES;
use crate::ledger::Ledger;
use crate::words::{NearNames, listed, shorten, thousands};

/// A message names so many and counts the rest.
const MOST_NAMED: usize = 12;

/// What was assumed and made while the points were read.
#[derive(Default)]
pub(super) struct Tally {
    assumed: BTreeMap<String, usize>,
    repeated: Vec<String>,
    empty: usize,
    made: Vec<String>,
}

impl Tally {
    /// A constant stands in for what a point does not say.
    pub(super) fn assume(&mut self, name: &str) {
        *self.assumed.entry(name.to_owned()).or_default() += 1;
    }

    /// An id was made for a point whose own is repeated, or empty if none.
    pub(super) fn make(&mut self, stated: Option<&str>, made: &str) {
        match stated {
            Some(id) => self.repeated.push(id.to_owned()),
            None => self.empty += 1,
        }
        self.made.push(made.to_owned());
    }

    /// Enters what there is to say about the list as a whole.
    pub(super) fn enter(&self, mapping: &PointMapping, points: usize, ledger: &mut Ledger) {
        if !self.made.is_empty() {
            ledger.enter(match &mapping.id {
                Some(column) => self.repeats(column),
                None => self.makes(),
            });
        }
        for (name, count) in &self.assumed {
            ledger.enter(assumed(mapping, name, *count, points));
        }
    }

    fn makes(&self) -> Finding {
        let text = format!(
            "Ids are made ({}), since no column gives them.",
            some(self.made.iter().map(|id| shorten(id)))
        );
        let remedy = "Name the column of ids if there is one, so that importing twice is noticed.";
        Finding::note(codes::JOB_ASSUMED, text, remedy).of("id")
    }

    fn repeats(&self, column: &str) -> Finding {
        let mut ids: Vec<&String> = self.repeated.iter().collect();
        ids.sort_unstable();
        ids.dedup();
        let repeats = (!ids.is_empty()).then(|| {
            let ids = some(ids.iter().map(|id| format!("\"{}\"", shorten(id))));
            format!("repeats {ids}")
        });
        let empty = (self.empty > 0).then(|| match self.empty {
            1 => "is empty for 1 point".to_owned(),
            count => format!("is empty for {} points", thousands(count as u64)),
        });
        let what: Vec<String> = repeats.into_iter().chain(empty).collect();
        let text = format!(
            "The column of ids, `{}`, {}; made instead: {}.",
            shorten(column),
            what.join(" and "),
            some(self.made.iter().map(|id| shorten(id)))
        );
        let remedy = "Look whether a point is there twice; give each an id of its own in the list.";
        Finding::warning(codes::JOB_REPEAT, text, remedy).of(shorten(column))
    }
}

fn assumed(mapping: &PointMapping, name: &str, count: usize, points: usize) -> Finding {
    let value = match mapping.constants.get(name) {
        Some(Value::String(text)) => shorten(text),
        Some(other) => shorten(&other.to_string()),
        None => String::new(),
    };
    let whose = match (count, points) {
        (1, 1) => "the only point".to_owned(),
        _ if count == points => format!("all {} points", thousands(points as u64)),
        _ => format!(
            "{} of {} points",
            thousands(count as u64),
            thousands(points as u64)
        ),
    };
    let why = mapping.columns.get(name).map_or_else(
        || "no column says it".to_owned(),
        |column| format!("`{}` is empty there", shorten(column)),
    );
    let text = format!("`{name}` is taken as `{value}` for {whose}, since {why}.");
    let remedy = format!("Correct it in the jobs, or add a column `{name}` to the list.");
    Finding::note(codes::JOB_ASSUMED, text, remedy).of(name)
}

/// Notes for columns that are kept but not used, and for members that are not kept.
pub(super) fn unused(table: &Table, mapping: &PointMapping, ledger: &mut Ledger) {
    let is_id = |column: &str| mapping.id.as_deref() == Some(column);
    let mut columns: Vec<&str> = table
        .columns
        .iter()
        .map(String::as_str)
        .filter(|column| !column.is_empty() && !mapping.uses(column) && !is_id(column))
        .collect();
    columns.sort_unstable();
    if !columns.is_empty() {
        let named = columns.iter().map(|column| kept_as(column, mapping));
        let text = format!("Columns kept but not used: {}.", some(named));
        let remedy = rename(&columns, mapping);
        ledger.enter(Finding::note(codes::JOB_IGNORED, text, remedy));
    }
    if !table.dropped.is_empty() {
        let named = table.dropped.iter().map(|name| shorten(name));
        let text = format!(
            "Not taken over, since no job has a place for it: {}.",
            some(named)
        );
        let remedy = "Keep the file if that matters, or move it into the points' properties.";
        ledger.enter(Finding::note(codes::JOB_DROPPED, text, remedy));
    }
}

fn kept_as(column: &str, mapping: &PointMapping) -> String {
    let kept = mapping.kept_name(column);
    if kept == column {
        shorten(column)
    } else {
        format!("{column} (as {kept})")
    }
}

/// What to do about columns, the more so where a heading is nearly a job's property.
fn rename(columns: &[&str], mapping: &PointMapping) -> String {
    let mut names = NearNames::to(NAMES);
    let near: Vec<String> = columns
        .iter()
        .filter_map(|column| Some((column, names.meant(column)?)))
        .filter(|(_, meant)| !mapping.columns.contains_key(*meant))
        .map(|(column, meant)| format!("`{}` to `{meant}`", shorten(column)))
        .take(MOST_NAMED)
        .collect();
    if near.is_empty() {
        "Map a column to one of a job's properties if it says something about the job.".to_owned()
    } else {
        let near = listed(near.iter().map(String::as_str));
        format!("Rename {near} if that is meant, and import the list again.")
    }
}

/// The first of some names, and how many more there are.
fn some(names: impl Iterator<Item = String>) -> String {
    let all: Vec<String> = names.collect();
    let first = listed(all.iter().take(MOST_NAMED).map(String::as_str));
    match all.len().saturating_sub(MOST_NAMED) {
        0 => first,
        more => format!("{first} and {more} more"),
    }
}
