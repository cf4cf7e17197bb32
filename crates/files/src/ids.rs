//! Ids as texts, each used once.

use std::collections::HashSet;

use gangday_model::Finding;
use serde_json::Value;

use crate::features::stated_id;
use crate::fields::{Fields, LONGEST_ID};
use crate::ledger::Ledger;

/// The id of something that stands in a list of this file, as it is read: a text, whether it is written as
/// one or as a number; of a feature that beside its properties, else that among them.
#[must_use]
pub fn id_in(file: &str, thing: &Value) -> Option<String> {
    let among = thing.get("properties").and_then(|own| own.get("id"));
    let is_feature = [crate::JOBS, crate::STREETS].contains(&file);
    let read = stated_id(thing.get("id"), among.filter(|_| is_feature));
    read.map(|(id, _)| id)
}

/// Ids met so far, so that each is used once.
#[derive(Default)]
pub(crate) struct Ids {
    seen: HashSet<String>,
    numbers: usize,
}

impl Ids {
    /// Takes an id for a thing, or says why it can't have it.
    pub(crate) fn claim(
        &mut self,
        id: Option<String>,
        number: bool,
        fields: &mut Fields<'_>,
    ) -> Option<String> {
        let codes = fields.codes();
        let Some(id) = id else {
            let text = format!("The {} has no `id`.", codes.noun);
            fields.fault(
                codes.id,
                "id",
                text,
                "Give it an `id`: a text that no other has.",
            );
            return None;
        };
        fields.refuse_longer("id", id.len(), LONGEST_ID);
        self.numbers += usize::from(number);
        if !self.seen.insert(id.clone()) {
            let text = format!("An earlier {} has the same `id`.", codes.noun);
            fields.fault(codes.dup, "id", text, "Give one of the two another `id`.");
            return None;
        }
        Some(id)
    }

    /// One note for all ids that were written as numbers.
    pub(crate) fn note_numbers(&self, code: &str, ledger: &mut Ledger) {
        if self.numbers > 0 {
            let text = format!(
                "{} of the ids are numbers; they were read as text.",
                self.numbers
            );
            let remedy = "Nothing needs to be done: a number does as an id.";
            ledger.enter(Finding::note(code, text, remedy).of("id"));
        }
    }
}
