//! Gangs and tips put to a programme and taken from it.

use gangday_files::GANGS;
use serde_json::{Map, Value, json};

use crate::changes::State;
use crate::edits::Edited;
use crate::tables::{Place, find, parsed, replaced, rows_of, take_out};
use crate::view::{Refusal, Yard};
use crate::words;

/// The shift that a new gang begins with, to be changed. Common practice, no source.
const SHIFT: [&str; 2] = ["07:30", "16:30"];

/// The people that a new gang begins with. Common practice, no source.
const PEOPLE: u32 = 2;

impl Yard {
    /// Its list in the file, its letter, what it is called, and where its place stands.
    const fn words(self) -> (&'static str, &'static str, &'static str, &'static str) {
        match self {
            Self::Gang => ("gangs", "G", "gang", "depot"),
            Self::Tip => ("tips", "T", "tip", "at"),
        }
    }
}

/// Adds a gang whose depot, or a tip that, is at this place (longitude, latitude, degrees), with an
/// id that is free and what a new one begins with.
///
/// # Errors
/// Where the file can't be read, or would be at fault; nothing is changed then.
pub fn add(state: &State, yard: Yard, at: [f64; 2]) -> Result<Edited, Refusal> {
    let mut file = parsed(&state.opened, GANGS)?;
    let (list, letter, called, stands) = yard.words();
    let id = free_id(&file, letter);
    let mut row = Map::new();
    row.insert("id".to_owned(), json!(id));
    row.insert("name".to_owned(), json!(format!("New {called} {id}")));
    row.insert(stands.to_owned(), json!(at));
    if matches!(yard, Yard::Gang) {
        row.insert("people".to_owned(), json!(PEOPLE));
        row.insert("tickets".to_owned(), json!([]));
        row.insert("shift".to_owned(), json!(SHIFT));
    }
    // A file that is a list itself has gangs, and no place for tips.
    if file.is_array() {
        file = json!({ "gangs": file });
    }
    rows_of(&mut file, list).push(Value::Object(row));
    let edited = replaced(state, format!("add {called} {id}"), GANGS, &file)?;
    Ok(Edited {
        jobs: vec![id],
        ..edited
    })
}

/// Takes a gang or a tip out of the programme.
///
/// # Errors
/// Where there is none of this id, where the plan gives the gang work, or where the file would be at
/// fault; nothing is changed then.
pub fn remove(state: &State, yard: Yard, id: &str) -> Result<Edited, Refusal> {
    let mut file = parsed(&state.opened, GANGS)?;
    take_out(&mut file, place(Some(yard), id))?;
    let days = match yard {
        Yard::Gang => working_days(state, id),
        Yard::Tip => 0,
    };
    if days > 0 {
        let days = words::count(days, "day", "days");
        return Err(Refusal::coded(
            "D-WORKS",
            &format!(
                "{id} has work on {days} of the plan. Give its jobs to other gangs or leave them out; then it can be taken away."
            ),
        ));
    }
    replaced(state, format!("take {id} away"), GANGS, &file)
}

/// Where a gang or a tip stands in the file; either where it isn't said which.
const fn place(yard: Option<Yard>, id: &str) -> Place<'_> {
    Place {
        file: GANGS,
        row: Some(id),
        yard,
    }
}

fn working_days(state: &State, id: &str) -> usize {
    let routes = state.plan.iter().flat_map(|plan| &plan.routes);
    routes.filter(|route| route.gang.as_str() == id).count()
}

fn free_id(file: &Value, letter: &str) -> String {
    let taken = |id: &str| find(file, place(None, id)).is_some();
    let mut ids = (1_u32..).map(|n| format!("{letter}{n}"));
    ids.find(|id| !taken(id)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::demo;
    use crate::edits::edit;
    use crate::trial::planned;
    use crate::view::{DemoWeek, Edit};

    /// The small demo week, with a plan or without.
    fn state(planned_too: bool) -> State {
        let opened = demo::open(DemoWeek::Small);
        let plan = planned_too.then(|| Arc::new(planned(&opened, 200)));
        State { opened, plan }
    }

    #[test]
    fn a_gang_is_added_with_a_free_id_and_works() {
        let before = state(false);
        let known = before.opened.prepared.programme.gangs.len();
        let depot = [-3.53, 54.01];
        let adding = Edit::AddYard {
            yard: Yard::Gang,
            at: depot,
        };
        let after = edit(&before, &adding).unwrap();
        let gangs = &after.state.opened.prepared.programme.gangs;
        assert_eq!(gangs.len(), known + 1);
        let new = gangs.last().unwrap();
        assert_eq!(new.id.as_str(), after.jobs[0]);
        assert!(
            (new.depot.lon() - depot[0]).abs() < 1e-9 && (new.depot.lat() - depot[1]).abs() < 1e-9
        );
        assert_eq!(after.what, format!("add gang {}", new.id.as_str()));
    }

    #[test]
    fn a_tip_is_added_and_taken_away() {
        let before = state(false);
        let adding = Edit::AddYard {
            yard: Yard::Tip,
            at: [-3.53, 54.01],
        };
        let after = edit(&before, &adding).unwrap();
        let known = before.opened.prepared.programme.tips.len();
        assert_eq!(after.state.opened.prepared.programme.tips.len(), known + 1);
        let removing = Edit::RemoveYard {
            yard: Yard::Tip,
            id: after.jobs[0].clone(),
        };
        let gone = edit(&after.state, &removing).unwrap();
        assert_eq!(gone.state.opened.prepared.programme.tips.len(), known);
    }

    #[test]
    fn a_gang_with_work_in_the_plan_stays_and_the_refusal_says_why() {
        let before = state(true);
        let busy = before.plan.as_ref().unwrap().routes[0]
            .gang
            .as_str()
            .to_owned();
        let removing = |id: &str| Edit::RemoveYard {
            yard: Yard::Gang,
            id: id.to_owned(),
        };
        let refused = edit(&before, &removing(&busy)).err().unwrap();
        assert!(
            refused.text.starts_with(&format!("{busy} has work on ")),
            "{}",
            refused.text
        );
        let none = edit(&before, &removing("G99")).err().unwrap();
        assert_eq!(none.text, "There is no G99 in gangs.json.");
    }

    #[test]
    fn a_place_that_is_none_is_refused_and_nothing_is_changed() {
        let before = state(false);
        let adding = Edit::AddYard {
            yard: Yard::Gang,
            at: [200.0, 95.0],
        };
        let refused = edit(&before, &adding).err().unwrap();
        assert!(!refused.findings.is_empty());
    }
}
