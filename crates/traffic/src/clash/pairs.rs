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
        let both_closed = a.closes_road && b.closes_road;
        if kind == ClashKind::OnDiversion && !both_closed {
            return Some(weight.min(ClashWeight::Priced));
        }
        Some(weight)
    }

    /// When a closure of this kind may not stand in a street, and when only at a price, where the
    /// terms bar or price it and don't only warn.
    ///
    /// A street that is restricted after earlier works is barred by either: consent has no price.
    #[must_use]
    pub fn barred(&self, street: &Street, kind: ClosureKind) -> Barred {
        let takes_carriageway = matches!(kind, ClosureKind::Lane | ClosureKind::Road);
        let sensitive = self.weight(key::SENSITIVE).filter(|_| takes_carriageway);
        let hours = |weight| {
            let hours = sensitive.filter(|own| *own == weight);
            hours.map_or_else(Vec::new, |_| street.traffic_sensitive.clone())
        };
        let restricted = self.weight(key::RESTRICTED);
        Barred {
            hours: hours(ClashWeight::Barred),
            before: street
                .restricted_until
                .filter(|_| restricted >= Some(ClashWeight::Priced)),
            priced: hours(ClashWeight::Priced),
            pence_an_hour: self.value(key::SENSITIVE_HOUR) as i64,
        }
    }

    /// How much the terms of a street weigh; none where they are not looked for.
    fn weight(&self, key: &'static str) -> Option<ClashWeight> {
        key::weight_of(self.value(key))
    }

    /// Whether closures are held against a street's busy hours and against its restriction at all.
    pub(crate) fn looks_for(&self) -> (bool, bool) {
        let looks = |key| self.weight(key).is_some();
        (looks(key::SENSITIVE), looks(key::RESTRICTED))
    }
}
