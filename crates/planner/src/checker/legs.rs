//! The way from one visit to the next, with the halts between.

use chrono::{NaiveDateTime, TimeDelta};
use gangday_model::{Gang, Halt, HaltKind, LonLat, Route};

use super::case::Case;

/// A way from somewhere to somewhere: when the gang may leave and is there.
pub(super) struct Leg<'a> {
    pub(super) route: &'a Route,
    pub(super) gang: &'a Gang,
    pub(super) from: (LonLat, NaiveDateTime),
    pub(super) to: (LonLat, NaiveDateTime),
}

impl<'a> Leg<'a> {
    /// The halts that lie between.
    pub(super) fn halts(&self) -> impl Iterator<Item = &'a Halt> {
        let (from, to) = (self.from.1, self.to.1);
        let halts = self.route.halts.iter();
        halts.filter(move |halt| halt.arrive >= from && halt.leave <= to)
    }

    /// The earliest to be there by way of the halts, and the driving that takes.
    fn way(&self, case: &Case<'_>) -> (NaiveDateTime, TimeDelta) {
        let (mut at, mut now, mut drive) = (self.from.0, self.from.1, TimeDelta::zero());
        for halt in self.halts() {
            if let Some(place) = place(case, self.gang, halt) {
                let (there, lasts) = case.drive(self.gang, (at, place), now);
                (at, now, drive) = (place, there, drive + lasts);
            }
            now += halt.leave - halt.arrive;
        }
        let (there, lasts) = case.drive(self.gang, (at, self.to.0), now);
        (there, drive + lasts)
    }

    /// How long the driving takes, by way of the halts.
    pub(super) fn drive(&self, case: &Case<'_>) -> TimeDelta {
        self.way(case).1
    }

    /// How long it takes, and how long it is given.
    pub(super) fn takes_and_given(&self, case: &Case<'_>) -> (TimeDelta, TimeDelta) {
        let from = self.from.1;
        (self.way(case).0 - from, self.to.1 - from)
    }
}

/// Where a halt is; none for a break, or a tip that nobody knows.
pub(super) fn place(case: &Case<'_>, gang: &Gang, halt: &Halt) -> Option<LonLat> {
    match (halt.kind, &halt.tip) {
        (HaltKind::Break, _) => None,
        (HaltKind::Tip, Some(id)) => {
            let tips = &case.programme.tips;
            tips.iter().find(|tip| tip.id == *id).map(|tip| tip.at)
        }
        (HaltKind::Tip, None) | (HaltKind::Reload, _) => Some(gang.depot),
    }
}

/// All ways of a route, from the depot and back to it, as far as its jobs are known.
pub(super) fn legs<'a>(case: &Case<'a>, route: &'a Route, gang: &'a Gang) -> Vec<Leg<'a>> {
    let mut from = (gang.depot, route.depart);
    let mut legs = Vec::new();
    for visit in &route.visits {
        let Some(job) = case.job(&visit.job) else {
            continue;
        };
        legs.push(Leg {
            route,
            gang,
            from,
            to: (job.at, visit.arrive),
        });
        from = (job.at, visit.finish);
    }
    legs.push(Leg {
        route,
        gang,
        from,
        to: (gang.depot, route.back),
    });
    legs
}
