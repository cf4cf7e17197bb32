//! How much clashes weigh, and when the street's authority keeps a job off its street.

use gangday_model::{Barred, ClashKind, ClashWeight, Closure, ClosureKind, Street};

use super::key;
use crate::rules::Rules;

impl Rules {
    /// How much a clash weighs; a lane taken from a diversion never bars, for traffic still passes.
    pub(super) fn clash_weight(
        &self,
        kind: ClashKind,
        a: &Closure,
        b: &Closure,
    ) -> Option<ClashWeight> {
        self.weight_of_clash(kind, a.closes_road && b.closes_road)
    }

    /// The same of two closures, each of which closes its road, or not.
    pub(super) fn weight_of_clash(
        &self,
        kind: ClashKind,
        both_closed: bool,
    ) -> Option<ClashWeight> {
        let weight = key::weight_of(self.value(key::weight(kind)))?;
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
