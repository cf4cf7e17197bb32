//! What the page is shown of a list before it is taken in: all of it counted, and of its rows as many as can be looked through.

use std::collections::{HashMap, HashSet};

use gangday_files::{JOB_FIELDS, JobFieldKind, List, PointMapping};

use super::{Taken, TakenRow, number, object};
use crate::refusal::views;
use crate::view::{ForeignWord, PreviewRow, PreviewView};

/// How many rows are shown from the first one on.
const FIRST: usize = 2_000;
/// How many rows of each kind are shown wherever they stand.
const OF_EACH_KIND: usize = 500;
/// How many words of one property that mean nothing yet are asked about; more are no words.
const MOST_WORDS: usize = 12;

impl Taken {
    /// What taking it in would do; the rows in `also` are shown wherever they stand.
    #[must_use]
    pub fn preview(&self, also: &[u32]) -> PreviewView {
        let by_row: HashMap<usize, &TakenRow> =
            self.rows.iter().map(|row| (row.row, row)).collect();
        let count =
            |is: fn(&TakenRow) -> bool| number(self.rows.iter().filter(|row| is(row)).count());
        let shown = self.shown(&by_row, also);
        let list = self.list.as_ref();
        PreviewView {
            columns: list.map(|list| list.columns.clone()).unwrap_or_default(),
            mapping: object(&self.mapping),
            remembered: self.remembered,
            rows: shown.into_iter().map(|at| self.row(at, &by_row)).collect(),
            of: number(self.points),
            fresh: count(|row| row.status() == "new"),
            changed: count(|row| row.status() == "changed"),
            same: count(|row| row.status() == "same"),
            at_fault: number(self.points - self.rows.len()),
            near: count(|row| row.near.is_some()),
            words: list.map_or_else(Vec::new, |list| foreign_words(list, &self.mapping)),
            gone: self.gone.clone(),
            staying: Vec::new(),
            findings: views(&self.findings),
            digest: self.digest.clone(),
        }
    }

    /// Which rows are shown: those that were asked for, the first ones, and the first of each kind beside them.
    fn shown(&self, by_row: &HashMap<usize, &TakenRow>, also: &[u32]) -> Vec<usize> {
        let also: HashSet<u32> = also.iter().copied().collect();
        let mut met: HashMap<&str, usize> = HashMap::new();
        let is_shown = |at: &usize| {
            // What is asked for takes no place of the others.
            if also.contains(&number(*at)) {
                return true;
            }
            let row = by_row.get(at);
            let status = row.map_or("fault", |row| row.status());
            let near = row.and_then(|row| row.near.as_ref()).map(|_| "near");
            let mut is_shown = *at < FIRST;
            for kind in std::iter::once(status).chain(near) {
                let met = met.entry(kind).or_default();
                *met += 1;
                is_shown |= *met <= OF_EACH_KIND;
            }
            is_shown
        };
        (0..self.points).filter(is_shown).collect()
    }

    fn row(&self, at: usize, by_row: &HashMap<usize, &TakenRow>) -> PreviewRow {
        let taken = by_row.get(&at).copied();
        let cells = self.list.as_ref().and_then(|list| list.rows.get(at));
        PreviewRow {
            row: number(at),
            cells: cells.cloned().unwrap_or_default(),
            job: taken.map(|row| row.id().to_owned()),
            at: taken.map(|row| [row.job.at.lon(), row.job.at.lat()]),
            status: taken.map_or("fault", TakenRow::status).to_owned(),
            changes: taken.map(|row| row.changes.clone()).unwrap_or_default(),
            near: taken.and_then(|row| row.near.clone()),
        }
    }
}

/// The words in columns of choices that are none of the choices, over all rows, as the list writes them:
/// of each property those that mean something already, and the first that mean nothing yet.
fn foreign_words(list: &List, mapping: &PointMapping) -> Vec<ForeignWord> {
    let own = |(property, kind): (&'static str, JobFieldKind)| match kind {
        JobFieldKind::Choice(choices) => Some((property, choices())),
        _ => None,
    };
    let choices = JOB_FIELDS.into_iter().filter_map(own);
    let of = |(property, choices): (&'static str, Vec<&'static str>)| {
        let column = mapping.columns.get(property);
        let column = column.and_then(|column| list.column(column));
        let words = column.map(|column| words_in(list, column, &choices));
        let meant = mapping.words.get(property);
        let mut unsaid = 0;
        let mut words = words.unwrap_or_default();
        words.retain(|word| {
            let is_said = meant.is_some_and(|meant| meant.contains_key(*word));
            unsaid += usize::from(!is_said);
            is_said || unsaid <= MOST_WORDS
        });
        words.into_iter().map(move |word| ForeignWord {
            property: property.to_owned(),
            word: word.to_owned(),
        })
    };
    choices.flat_map(of).collect()
}

/// Every word of a column but these choices, once, in the order in which they are met.
fn words_in<'l>(list: &'l List, column: usize, choices: &[&str]) -> Vec<&'l str> {
    let own: HashSet<String> = choices.iter().map(|word| plain(word)).collect();
    let mut met = HashSet::new();
    let cells = list.rows.iter().filter_map(|row| row.get(column));
    let words = cells
        .map(|cell| cell.trim())
        .filter(|word| !word.is_empty());
    words
        .filter(|word| met.insert(*word) && !own.contains(&plain(word)))
        .collect()
}

/// A word but for how it is written.
fn plain(word: &str) -> String {
    let letters = word.chars().filter(|one| !one.is_whitespace());
    let letters = letters.filter(|one| !matches!(one, '_' | '-'));
    letters.flat_map(char::to_lowercase).collect()
}
