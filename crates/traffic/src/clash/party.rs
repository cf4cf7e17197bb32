//! One closure as the search for clashes sees it, and whether two of them clash.

use gangday_ground::Ring;
use gangday_model::{ClashKind, PlanePoint};

use super::key;
use crate::rules::Rules;

/// Where along its street a closure stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Along {
    /// The street.
    pub street: u32,
    /// From the beginning of its line, m.
    pub chainage_m: f64,
    /// How long the line is, m.
    pub length_m: f64,
}

/// One closure.
///
/// # Units
/// Seconds on any one clock; metres on the working plane.
#[derive(Clone, Debug)]
pub struct Party {
    /// It stands from.
    pub from: i64,
    /// It stands until; a closure that ends as another begins doesn't meet it.
    pub until: i64,
    /// Which gang has it.
    pub gang: u32,
    /// Whether it takes carriageway.
    pub takes_carriageway: bool,
    /// Where along its street it stands, if it is known.
    pub along: Option<Along>,
    /// Which road its street is part of, by name.
    pub road: Option<u32>,
    /// Where the works are.
    pub at: PlanePoint,
    /// How near to other sites on its road the code lets it be, m.
    pub apart_m: f64,
    /// The ground it takes.
    pub ground: Option<Ring>,
    /// The ways round it.
    pub ways: Vec<Vec<PlanePoint>>,
}

/// The figures that two parties are held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClashLimits {
    /// Works of one gang on one street no farther apart are one set-up, m.
    pub one_set_up_m: f64,
    /// Works farther apart than this part of their street are at both ends.
    pub ends: f64,
}

impl Rules {
    /// The figures that clashes are found by.
    #[must_use]
    pub fn clash_limits(&self) -> ClashLimits {
        ClashLimits {
            one_set_up_m: self.value(key::ONE_SET_UP),
            ends: self.value(key::ENDS),
        }
    }
}

/// How two closures clash, the gravest way first; nothing where they don't.
///
/// # Source
/// Diversions, ends and single streets: common practice, no source. Distance between sites on one
/// road: Traffic Signs Manual chapter 8 part 1 (2009), table 3.3.
#[must_use]
pub fn clash_between(a: &Party, b: &Party, limits: &ClashLimits) -> Option<ClashKind> {
    if a.until <= b.from || b.until <= a.from {
        return None;
    }
    if is_on_way(a, b) || is_on_way(b, a) {
        return Some(ClashKind::OnDiversion);
    }
    if !a.takes_carriageway || !b.takes_carriageway {
        return None;
    }
    let apart_m = a.at.distance_m(b.at);
    match (a.along, b.along) {
        (Some(one), Some(other)) if one.street == other.street => {
            on_one_street(one, other, a.gang == b.gang, apart_m, limits)
        }
        _ => {
            let is_one_road = a.road.is_some() && a.road == b.road;
            let is_near = apart_m < a.apart_m.max(b.apart_m);
            (is_one_road && is_near).then_some(ClashKind::Near)
        }
    }
}

fn on_one_street(
    a: Along,
    b: Along,
    is_one_gang: bool,
    apart_m: f64,
    limits: &ClashLimits,
) -> Option<ClashKind> {
    let along_m = (a.chainage_m - b.chainage_m).abs().max(apart_m);
    let is_one_set_up = along_m <= limits.one_set_up_m;
    if !is_one_set_up && along_m > limits.ends * a.length_m.max(b.length_m) {
        return Some(ClashKind::BothEnds);
    }
    (!is_one_gang || !is_one_set_up).then_some(ClashKind::OneStreet)
}

/// Whether one closure's ground lies on a way round the other.
fn is_on_way(closed: &Party, diverted: &Party) -> bool {
    let Some(ground) = closed.ground.as_ref().filter(|_| closed.takes_carriageway) else {
        return false;
    };
    let mut stretches = diverted.ways.iter().flat_map(|way| way.windows(2));
    stretches.any(|stretch| ground.meets(stretch[0], stretch[1]))
}
