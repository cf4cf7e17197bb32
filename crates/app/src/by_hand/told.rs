//! What a change by hand would do, in words.

use gangday_model::Route;
use gangday_planner::{CostParts, DaySolution, Outcome};

use super::board::Board;
use super::{made, rules, takes};
use crate::columns::column_without_way;
use crate::planning;
use crate::view::{Column, CostChange, WhatIfView};
use crate::{over, sheet, words};

/// The outcome as a door shows it.
pub fn view(
    board: &Board<'_>,
    change: &str,
    outcome: &Outcome,
    (costs, absent): (CostParts, usize),
) -> WhatIfView {
    let (worked, emptied): (Vec<&DaySolution>, Vec<&DaySolution>) =
        outcome.days.iter().partition(|day| !day.steps.is_empty());
    let route = |day: &DaySolution| {
        let mut route = planning::route(board.prepared, &board.posed, day);
        made::mark(&mut route, board.route(day.gang_day));
        route
    };
    let routes: Vec<Route> = worked.iter().map(|day| route(day)).collect();
    let then = worked.iter().zip(routes.iter().map(Some));
    let then = then.chain(emptied.iter().map(|day| (day, None)));
    let takes = then.filter_map(|(day, then)| takes::change(board, day.gang_day, then));
    let columns = worked.iter().zip(&routes).filter_map(|(day, route)| {
        let column = column_without_way(board.prepared, route)?;
        let key = board.key(day.gang_day);
        Some(Column { key, ..column })
    });
    let broken = rules::view(board, &outcome.broken);
    // What is done or stands as issued is in no gang-day either, now or then, and nobody leaves it out.
    let left_out = over::how_many_left_out(board.plan);
    WhatIfView {
        words: in_one_line(change, outcome, broken.len()),
        sound: outcome.broken.is_empty(),
        broken,
        added_pence: outcome.added as f64,
        added: signed(outcome.added),
        costs: cost_changes(&costs, &outcome.costs),
        columns: columns.collect(),
        emptied: emptied.iter().map(|day| board.key(day.gang_day)).collect(),
        takes: takes.collect(),
        left_out: (left_out + outcome.left_out).saturating_sub(absent) as u32,
        left_out_now: left_out as u32,
        alike: None,
    }
}

/// `Move J014 to Oak on Wed 3 Mar: £12.40 more, breaks 1 rule`.
fn in_one_line(change: &str, outcome: &Outcome, broken: usize) -> String {
    let change = words::sentence(change);
    let change = change.trim_end_matches('.');
    let cost = match outcome.added {
        0 => "costs the same".to_owned(),
        more @ 1.. => format!("{} more", words::money(more)),
        less => format!("{} less", words::money(-less)),
    };
    let broken = match broken {
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
