//! Jobs that may not stand at the same time, whenever they are planned; and when the street's
//! authority keeps a job off its street.

use gangday_model::{Barred, ClashKind, ClashPair, ClashWeight, Closure, ClosureKind, Street};

use super::{Asked, key, parties};
use crate::clash::index::find_clashes;
use crate::rules::Rules;

impl Rules {
    /// Which two jobs must not stand at the same time: closures are taken to stand always, so that
    /// a planner can be told before anything is planned.
    ///
    /// Two jobs that one gang may have at once under one set-up are held apart only for two gangs.
    #[must_use]
    pub fn clash_pairs(&self, asked: &Asked<'_>) -> Vec<ClashPair> {
        let mut parties = parties(self, asked);
        for (at, party) in (0..).zip(&mut parties) {
            // Each with a gang of its own: who has which job is not known yet.
            (party.from, party.until, party.gang) = (0, i64::from(u32::MAX), at);
        }
        let limits = self.clash_limits();
        let found = find_clashes(&parties, &limits);
        let pair = |(a, b, kind): (usize, usize, ClashKind)| {
            let weight = self.clash_weight(kind, &asked.closures[a], &asked.closures[b])?;
            let apart_m = parties[a].at.distance_m(parties[b].at);
            Some(ClashPair {
                job: asked.closures[a].job.clone(),
                other: asked.closures[b].job.clone(),
                kind,
                weight,
                pence: self.value(key::PENCE) as i64,
                one_gang_may: kind == ClashKind::OneStreet && apart_m <= limits.one_set_up_m,
            })
        };
        found.into_iter().filter_map(pair).collect()
    }

    /// How much a clash weighs; a lane taken from a diversion never bars, for traffic still passes.
    pub(super) fn clash_weight(
        &self,
        kind: ClashKind,
        a: &Closure,
        b: &Closure,
    ) -> Option<ClashWeight> {
        let weight = key::weight_of(self.value(key::weight(kind)))?;
        let both_closed = a.kind == ClosureKind::Road && b.kind == ClosureKind::Road;
        if kind == ClashKind::OnDiversion && !both_closed {
            return Some(weight.min(ClashWeight::Priced));
        }
        Some(weight)
    }

    /// When a closure of this kind may not stand in a street, where the terms bar it and don't only
    /// warn.
    #[must_use]
    pub fn barred(&self, street: &Street, kind: ClosureKind) -> Barred {
        let bars = |key| key::weight_of(self.value(key)) == Some(ClashWeight::Barred);
        let takes_carriageway = matches!(kind, ClosureKind::Lane | ClosureKind::Road);
        Barred {
            hours: if takes_carriageway && bars(key::SENSITIVE) {
                street.traffic_sensitive.clone()
            } else {
                Vec::new()
            },
            before: street.restricted_until.filter(|_| bars(key::RESTRICTED)),
        }
    }
}
