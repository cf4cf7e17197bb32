//! What a gang-day takes and carries, now and after a change by hand.

use gangday_model::{MaterialLine, Route};

use super::board::Board;
use crate::gang_days::masses;
use crate::prepared::Prepared;
use crate::totals::of_route;
use crate::view::{Becomes, TakesChange};
use crate::words;

/// One figure: of what, how much as it is told, and in which unit.
struct Told {
    label: String,
    amount: String,
    unit: String,
}

/// What differs in a gang-day; nothing where it takes and carries the same.
pub fn change(board: &Board<'_>, gang_day: u32, then: Option<&Route>) -> Option<TakesChange> {
    let now = board.route(gang_day);
    let both = |told: fn(&Prepared, &Route) -> Vec<Told>| {
        let told =
            |route: Option<&Route>| route.map_or_else(Vec::new, |one| told(board.prepared, one));
        differing(&told(now), &told(then))
    };
    let (carried, materials) = (both(carried), both(materials));
    (!carried.is_empty() || !materials.is_empty()).then(|| TakesChange {
        key: board.key(gang_day),
        carried,
        materials,
    })
}

fn carried(prepared: &Prepared, route: &Route) -> Vec<Told> {
    let told = |(label, tonnes): (&str, f64)| Told {
        label: label.to_owned(),
        amount: words::rounded(tonnes, "t"),
        unit: words::unit("t"),
    };
    masses(prepared, route).into_iter().map(told).collect()
}

fn materials(prepared: &Prepared, route: &Route) -> Vec<Told> {
    let told = |line: MaterialLine| Told {
        amount: words::rounded(line.measured, &line.unit),
        unit: words::unit(&line.unit),
        label: line.name,
    };
    of_route(prepared, route)
        .materials
        .into_iter()
        .map(told)
        .collect()
}

/// Those that are told otherwise, in the order of then; what is no more comes last.
fn differing(now: &[Told], then: &[Told]) -> Vec<Becomes> {
    let amount_in = |all: &[Told], of: &Told| {
        let own = all
            .iter()
            .find(|one| (&one.label, &one.unit) == (&of.label, &of.unit));
        own.map_or_else(String::new, |own| own.amount.clone())
    };
    let gone = now.iter().filter(|one| amount_in(then, one).is_empty());
    let all = then.iter().chain(gone).map(|one| Becomes {
        now: amount_in(now, one),
        then: amount_in(then, one),
        label: one.label.clone(),
        unit: one.unit.clone(),
    });
    all.filter(|one| one.now != one.then).collect()
}
