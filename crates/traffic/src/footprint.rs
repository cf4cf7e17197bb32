//! The ground that a closure takes, along its street.

use gangday_ground::{Polyline, Ring, Snap, rectangle, strip};
use gangday_model::{ClosureKind, PlanePoint, Street};

use crate::control::key::BOTH_WAYS;
use crate::key;
use crate::rules::{Rules, stated_width};

/// The works that a closure is drawn round.
#[derive(Clone, Copy)]
pub(crate) struct Site<'a> {
    pub kind: ClosureKind,
    pub at: PlanePoint,
    /// The dig along and across the street, m.
    pub dig: (f64, f64),
    pub street: Option<&'a Street>,
    pub line: Option<(&'a Polyline, Snap)>,
}

/// The ground taken, and what had to be said about it.
pub(crate) struct Footprint {
    pub ring: Ring,
    /// Lengths before and behind the works as traffic meets them, m.
    pub lengths: Option<(f64, f64)>,
    /// What is left of the carriageway beside a lane closure as drawn, m.
    pub left: Option<f64>,
    /// What lies where across the street, where there is a line to follow.
    pub across: Option<Taken>,
    /// The guarded works along and across the street, m.
    pub works: (f64, f64),
}

/// What a closure takes across its street, from its line, negative to the right, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Taken {
    /// The guarded works.
    pub works: (f64, f64),
    /// All that is taken, the sideways clearance with it.
    pub all: (f64, f64),
    /// How much of the carriageway that is.
    pub of_carriageway: f64,
}

/// Ground across a street: offsets from its line, positive to the left.
#[derive(Clone, Copy)]
struct Across {
    right: f64,
    left: f64,
}

impl Rules {
    /// The ground that a closure takes: the guarded works and, along the street's line, what the
    /// kind of closure adds before and behind them.
    ///
    /// Tapers are drawn as if as wide as the works, which takes a little more than they do.
    pub(crate) fn footprint(&self, site: Site<'_>) -> Option<Footprint> {
        let space = 2.0 * self.value(key::WORKS_SPACE);
        let (length, width) = (site.dig.0 + space, site.dig.1 + space);
        let bearing = site.line.map_or(0.0, |(_, snap)| snap.bearing_deg);
        let guarded = rectangle(site.at, bearing, length, width)?;
        let drawn = match site.line {
            Some((line, snap)) if site.kind != ClosureKind::None => {
                self.along_street(site, (line, snap), (length, width))?
            }
            _ => self.about_point(site, bearing, (length, width))?,
        };
        let holds_works = drawn.ring.holds_corners_of(&guarded);
        let ring = if holds_works {
            drawn.ring
        } else {
            drawn.ring.with(&guarded)?
        };
        Some(Footprint {
            ring,
            works: (length, width),
            ..drawn
        })
    }

    /// With no line to follow: the works, as wide as the closure; no approaches are drawn.
    fn about_point(
        &self,
        site: Site<'_>,
        bearing: f64,
        (length, width): (f64, f64),
    ) -> Option<Footprint> {
        let road = self.width(site.street);
        let width = match site.kind {
            ClosureKind::None => width,
            ClosureKind::Footway => width.max(self.value(key::ASSUMED_FOOTWAY)),
            ClosureKind::Lane => width.max(road / 2.0),
            ClosureKind::Road => width.max(road),
        };
        let ring = rectangle(site.at, bearing, length, width)?;
        Some(Footprint {
            ring,
            lengths: None,
            left: None,
            across: None,
            works: (length, width),
        })
    }

    fn along_street(
        &self,
        site: Site<'_>,
        (line, snap): (&Polyline, Snap),
        works: (f64, f64),
    ) -> Option<Footprint> {
        let across = self.across(site, snap.station.offset_m, works.1);
        let lengths = self.lengths(site, across);
        let is_forward = site.street.is_some_and(|street| street.one_way) || across.is_left();
        let (before, after) = if is_forward {
            lengths
        } else {
            (lengths.1, lengths.0)
        };
        let (chainage, half) = (snap.station.chainage_m, works.0 / 2.0);
        // Approaches end with the street's line; the works themselves never do.
        let from = (chainage - half - before).max((chainage - half).min(0.0));
        let to = (chainage + half + after).min((chainage + half).max(line.length_m()));
        let ring = strip(line, from..to, across.right..across.left)?;
        let is_traffic = matches!(site.kind, ClosureKind::Lane | ClosureKind::Road);
        let guarded = Across::about(snap.station.offset_m, works.1);
        Some(Footprint {
            ring,
            lengths: is_traffic.then_some(lengths),
            left: self.left_as_drawn(site, across),
            across: Some(Taken {
                works: (guarded.right, guarded.left),
                all: (across.right, across.left),
                of_carriageway: across.within(self.width(site.street) / 2.0),
            }),
            works,
        })
    }

    /// The ground taken across the street.
    fn across(&self, site: Site<'_>, offset: f64, width: f64) -> Across {
        let half = self.width(site.street) / 2.0;
        match site.kind {
            ClosureKind::None => Across::about(offset, width),
            ClosureKind::Footway => {
                Across::about(offset, width.max(self.value(key::ASSUMED_FOOTWAY)))
            }
            ClosureKind::Lane => {
                let (mph, _) = self.speed(site.street);
                let clearance = self.value(self.clearance_key(mph));
                Across::from_kerb(offset, width, half).and_clear(offset, clearance)
            }
            ClosureKind::Road => Across::about(0.0, 2.0 * half).and(Across::about(offset, width)),
        }
    }

    /// Lengths before and behind the works, as traffic meets them.
    ///
    /// A lane has a lead-in taper, the run-in to the first barrier and an exit taper; a road has
    /// the run-in on both sides.
    fn lengths(&self, site: Site<'_>, across: Across) -> (f64, f64) {
        let (mph, _) = self.speed(site.street);
        let run_in = self.banded(key::RUN_INS, mph);
        let exit_taper = self.value(key::TAPER_CONTROLLED);
        match site.kind {
            ClosureKind::None => (0.0, 0.0),
            ClosureKind::Footway => (self.value(key::FOOTWAY_RAMP), self.value(key::FOOTWAY_RAMP)),
            ClosureKind::Lane => {
                let hazard = across.within(self.width(site.street) / 2.0);
                let taper = if self.is_long_taper(site, across) {
                    self.banded(key::TAPERS, mph)
                } else {
                    exit_taper
                };
                (hazard * taper + run_in, hazard * exit_taper)
            }
            ClosureKind::Road => (run_in, run_in),
        }
    }

    /// Whether the lead-in taper is a long one: traffic is not stopped in turn, because it goes one
    /// way only or because both ways still pass.
    fn is_long_taper(&self, site: Site<'_>, across: Across) -> bool {
        let one_way = site.street.is_some_and(|street| street.one_way);
        let left = self.left_as_drawn(site, across);
        one_way || left.is_some_and(|left| left >= self.value(BOTH_WAYS))
    }

    /// What is left beside a lane closure as drawn, where the street states its width; the sideways
    /// clearance is taken.
    fn left_as_drawn(&self, site: Site<'_>, across: Across) -> Option<f64> {
        let width = stated_width(site.street).filter(|_| site.kind == ClosureKind::Lane)?;
        Some(width - across.within(width / 2.0))
    }

    fn width(&self, street: Option<&Street>) -> f64 {
        stated_width(street).unwrap_or(self.value(key::ASSUMED_CARRIAGEWAY))
    }
}

impl Across {
    fn about(offset: f64, width: f64) -> Self {
        Self {
            right: offset - width / 2.0,
            left: offset + width / 2.0,
        }
    }

    fn and(self, other: Self) -> Self {
        Self {
            right: self.right.min(other.right),
            left: self.left.max(other.left),
        }
    }

    /// From the kerb on the works' side to their far edge.
    ///
    /// Works drawn outside the carriageway are taken to lie in the middle of its half.
    fn from_kerb(offset: f64, width: f64, half: f64) -> Self {
        let side = 1.0f64.copysign(offset);
        let is_outside = offset.abs() > half;
        let middle = if is_outside {
            side * half / 2.0
        } else {
            offset
        };
        let kerb = Self {
            right: side * half,
            left: side * half,
        };
        Self::about(middle, width)
            .and(Self::about(offset, width))
            .and(kerb)
    }

    /// The same with the sideways clearance between works at this offset and passing traffic.
    fn and_clear(self, offset: f64, clearance: f64) -> Self {
        if offset.is_sign_negative() {
            Self {
                left: self.left + clearance,
                ..self
            }
        } else {
            Self {
                right: self.right - clearance,
                ..self
            }
        }
    }

    /// Whether it lies more to the left of the line than to the right.
    fn is_left(self) -> bool {
        self.left + self.right >= 0.0
    }

    /// How much of a carriageway of this half width it takes.
    fn within(self, half: f64) -> f64 {
        (self.left.min(half) - self.right.max(-half)).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taken(across: Across) -> (f64, f64) {
        (across.right, across.left)
    }

    fn is_near(found: (f64, f64), expected: (f64, f64)) -> bool {
        (found.0 - expected.0).abs() < 1e-9 && (found.1 - expected.1).abs() < 1e-9
    }

    /// A 2.4 m wide guarded works in the middle of the half of a 7.3 m road.
    #[test]
    fn a_lane_is_taken_from_the_kerb_to_the_far_edge_of_the_works() {
        let left = Across::from_kerb(1.825, 2.4, 3.65);
        assert!(is_near(taken(left), (0.625, 3.65)));
        assert!((left.within(3.65) - 3.025).abs() < 1e-9);
        let right = Across::from_kerb(-1.825, 2.4, 3.65);
        assert!(is_near(taken(right), (-3.65, -0.625)) && !right.is_left());
    }

    #[test]
    fn works_drawn_outside_the_road_still_take_a_lane() {
        let outside = Across::from_kerb(-5.0, 2.0, 3.0);
        assert!(is_near(taken(outside), (-6.0, -0.5)));
    }
}
