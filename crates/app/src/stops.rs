//! What a gang stops for on its way, in order of time: visits, and the halts between them.

use chrono::NaiveDateTime;
use gangday_model::{Gang, Halt, HaltKind, LonLat, Route, Visit};

use crate::prepared::Prepared;

/// A stop.
#[derive(Clone, Copy, Debug)]
pub struct Stop<'a> {
    /// Where; a break is where the gang was before.
    pub at: LonLat,
    /// When the gang is there.
    pub arrive: NaiveDateTime,
    /// What for.
    pub what: What<'a>,
}

/// What a stop is for.
#[derive(Clone, Copy, Debug)]
pub enum What<'a> {
    /// A stage of a job.
    Visit(&'a Visit),
    /// A tip, the depot in the day, or a break.
    Halt(&'a Halt),
}

impl Stop<'_> {
    /// When the gang is free to go on.
    #[must_use]
    pub fn leave(&self) -> NaiveDateTime {
        match self.what {
            What::Visit(visit) => visit.finish,
            What::Halt(halt) => halt.leave,
        }
    }
}

/// The stops of a route, depots at its ends left out.
#[must_use]
pub fn stops<'a>(prepared: &Prepared, route: &'a Route, gang: &Gang) -> Vec<Stop<'a>> {
    let visits = route.visits.iter().map(|visit| Stop {
        at: prepared.place_of(&visit.job).unwrap_or(gang.depot),
        arrive: visit.arrive,
        what: What::Visit(visit),
    });
    let halts = route.halts.iter().map(|halt| Stop {
        at: place(prepared, halt, gang),
        arrive: halt.arrive,
        what: What::Halt(halt),
    });
    let mut stops: Vec<Stop<'_>> = visits.chain(halts).collect();
    stops.sort_by_key(|stop| stop.arrive);
    let mut here = gang.depot;
    for stop in &mut stops {
        if matches!(stop.what, What::Halt(halt) if halt.kind == HaltKind::Break) {
            stop.at = here;
        }
        here = stop.at;
    }
    stops
}

fn place(prepared: &Prepared, halt: &Halt, gang: &Gang) -> LonLat {
    let mut tips = prepared.programme.tips.iter();
    let tip = tips.find(|tip| Some(&tip.id) == halt.tip.as_ref());
    tip.map_or(gang.depot, |tip| tip.at)
}
