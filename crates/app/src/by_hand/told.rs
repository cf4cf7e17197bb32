//! What a change by hand would do, in words.

use gangday_model::Route;
use gangday_planner::{Broken, CostParts, DaySolution, Outcome};

use super::board::Board;
use super::takes;
use crate::columns::column_without_way;
use crate::planning;
use crate::reasons::{gang_day_name, lasting, named};
use crate::view::{BrokenView, Column, CostChange, TakesChange, WhatIfView};
use crate::{sheet, words};

/// The outcome as a door shows it.
pub fn view(
    board: &Board<'_>,
    change: &str,
    outcome: &Outcome,
    (costs, left_out): (CostParts, usize),
) -> WhatIfView {
    let (worked, emptied): (Vec<&DaySolution>, Vec<&DaySolution>) =
        outcome.days.iter().partition(|day| !day.steps.is_empty());
    let route = |day: &DaySolution| planning::route(board.prepared, &board.posed, day);
    let routes: Vec<Route> = worked.iter().map(|day| route(day)).collect();
    let keys: Vec<String> = worked.iter().map(|day| key(board, day.gang_day)).collect();
    let emptied: Vec<String> = emptied.iter().map(|day| key(board, day.gang_day)).collect();
    let mut takes: Vec<TakesChange> = Vec::new();
    let then = keys.iter().zip(routes.iter().map(Some));
    for (key, then) in then.chain(emptied.iter().map(|key| (key, None))) {
        takes.extend(takes::change(board, key, then));
    }
    let columns = routes.iter().zip(&keys).filter_map(|(route, key)| {
        let column = column_without_way(board.prepared, route)?;
        let key = key.clone();
        Some(Column { key, ..column })
    });
    WhatIfView {
        words: in_one_line(change, outcome),
        sound: outcome.broken.is_empty(),
        broken: outcome
            .broken
            .iter()
            .map(|one| broken(board, one))
            .collect(),
        added_pence: outcome.added as f64,
        added: signed(outcome.added),
        costs: cost_changes(&costs, &outcome.costs),
        columns: columns.collect(),
        emptied,
        takes,
        left_out: outcome.left_out as u32,
        left_out_now: left_out as u32,
    }
}

/// `gang@date`; a gang that is not there is named by the one that it is like, with a plus before it.
fn key(board: &Board<'_>, gang_day: u32) -> String {
    let own = board.posed.problem.gang_days[gang_day as usize].gang as usize;
    let gangs = &board.prepared.programme.gangs;
    let mark = if gang_day < board.spare { "" } else { "+" };
    format!(
        "{mark}{}@{}",
        gangs[own % gangs.len()].id,
        board.date(gang_day)
    )
}

/// `Move J014 to Oak on Wed 3 Mar: £12.40 more, breaks 1 rule`.
fn in_one_line(change: &str, outcome: &Outcome) -> String {
    let change = words::sentence(change);
    let change = change.trim_end_matches('.');
    let cost = match outcome.added {
        0 => "costs the same".to_owned(),
        more @ 1.. => format!("{} more", words::money(more)),
        less => format!("{} less", words::money(-less)),
    };
    let broken = match outcome.broken.len() {
        0 => String::new(),
        many => format!(", breaks {}", words::count(many, "rule", "rules")),
    };
    format!("{change}: {cost}{broken}")
}

/// `+£12.40`, `−£3.00`, or nothing.
fn signed(pence: i64) -> String {
    match pence {
        0 => String::new(),
        1.. => format!("+{}", words::money(pence)),
        _ => words::money(pence),
    }
}

fn cost_changes(now: &CostParts, then: &CostParts) -> Vec<CostChange> {
    let both = sheet::costs(&planning::costs(now))
        .into_iter()
        .zip(sheet::costs(&planning::costs(then)));
    both.map(|(now, then)| {
        let added = then.pence - now.pence;
        CostChange {
            label: now.label,
            now: now.amount,
            then: then.amount,
            added: signed(added as i64),
            added_pence: added,
        }
    })
    .collect()
}

fn broken(board: &Board<'_>, broken: &Broken) -> BrokenView {
    let job = broken.task.map(|task| board.posed.jobs[task as usize]);
    let job = job.map(|at| board.prepared.programme.jobs[at].id.to_string());
    let (code, text) = rule(board, broken, job.as_deref().unwrap_or_default());
    BrokenView {
        code,
        key: key(board, broken.gang_day),
        job,
        text,
    }
}

fn rule(board: &Board<'_>, broken: &Broken, job: &str) -> (String, String) {
    let on = gang_day_name(board.prepared, &board.posed, broken.gang_day);
    let text = match broken.code {
        "R-SHIFTEND" => format!("{on} ends {} later than it may.", lasting(broken.by)),
        "R-DRIVE" => format!("{on} drives {} more than it may.", lasting(broken.by)),
        "R-SHAKE" => format!(
            "{on} is past the limit value of vibration, by {} points.",
            broken.by.div_ceil(100)
        ),
        "R-LOAD" if broken.by > 0 => {
            format!("{on} bears {} kg less than it would have to.", broken.by)
        }
        "R-LOAD" => format!(
            "{on} would have to go by a tip or the depot between jobs, and has no time for that."
        ),
        "R-TICKET" => format!("Nobody in {on} holds {}.", lacking(board, broken)),
        "R-DATES" => return barred_date(board, broken, job),
        "R-HOURS" => format!("{job} would not be within the hours in which it may be worked."),
        "R-LOCKED" => format!("{job} is done or locked, and would not be where it is."),
        "R-NIGHTS" => format!("{job} would be left over more nights, or other ones, than it may."),
        "R-ORDER" => format!("The stages of {job} would not come in their order."),
        "R-GAP" => format!("More time than may be would pass between two stages of {job}."),
        _ => format!("The closure of {job} would be there at once with one that it clashes with."),
    };
    (broken.code.to_owned(), text)
}

/// The tickets that a job needs and the gang lacks.
fn lacking(board: &Board<'_>, broken: &Broken) -> String {
    let problem = &board.posed.problem;
    let held = problem.gang_days[broken.gang_day as usize].tickets;
    let needed = broken
        .task
        .map_or(0, |task| problem.tasks[task as usize].tickets);
    named(&board.posed, needed & !held)
}

/// Why a job may not be worked on a date.
fn barred_date(board: &Board<'_>, broken: &Broken, job: &str) -> (String, String) {
    let date = board.date(broken.gang_day);
    let day = words::day(date);
    let at = broken
        .task
        .map_or(0, |task| board.posed.jobs[task as usize]);
    if board.prepared.programme.jobs[at].allows(date) && !board.prepared.is_warm_enough(at, date) {
        let text = format!("{day} is too cold for the concrete or mortar of {job}.");
        return ("R-COLD".to_owned(), text);
    }
    let text = format!("{job} may not be worked on {day}.");
    ("R-DATES".to_owned(), text)
}
