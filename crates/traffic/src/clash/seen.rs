//! Closures as parties, by the streets that they stand in.

use gangday_ground::{Plane, Ring};
use gangday_model::{Closure, ClosureKind, Job, PlanePoint};

use super::{key, on_plane};
use crate::clash::party::{Along, Party};
use crate::rules::Rules;
use crate::street::Streets;

/// What closures are seen by.
pub(super) struct Seen<'a> {
    pub rules: &'a Rules,
    pub plane: &'a Plane,
    pub streets: &'a Streets<'a>,
}

impl Seen<'_> {
    /// The closure of a job with the ways round it; texts are told apart by the `number` that each has.
    pub(super) fn party(
        &self,
        (closure, job): (&Closure, Option<&Job>),
        ways: Vec<Vec<PlanePoint>>,
        number: &mut impl FnMut(&str) -> u32,
    ) -> Party {
        let at = job.and_then(|job| self.plane.to_plane(job.at));
        let at = at.unwrap_or(PlanePoint::from_metres(f64::MAX, f64::MAX));
        let in_street = job.and_then(|job| self.streets.of(job, Some(at)));
        let street = in_street.map(|place| place.street);
        let (mph, _) = self.rules.speed(street);
        let along = in_street.and_then(|place| {
            let (line, snap) = place.line?;
            Some(Along {
                street: number(place.street.id.as_str()),
                chainage_m: snap.station.chainage_m,
                length_m: line.length_m(),
            })
        });
        let name = street.and_then(|street| street.name.as_deref());
        Party {
            from: closure.start.and_utc().timestamp(),
            until: closure.end.and_utc().timestamp(),
            // Where nobody works no gang looks after two of them.
            gang: number(
                closure
                    .worked
                    .map_or(closure.job.as_str(), |_| closure.gang.as_str()),
            ),
            takes_carriageway: matches!(closure.kind, ClosureKind::Lane | ClosureKind::Road),
            along,
            road: name.map(number),
            at,
            apart_m: self.rules.banded(key::APART, mph) * 1e3,
            ground: Ring::new(on_plane(self.plane, &closure.footprint)),
            ways,
        }
    }
}
