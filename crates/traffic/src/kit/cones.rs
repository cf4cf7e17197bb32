//! Cones, lamps and barriers, by length and spacing.

use gangday_model::{Control, KitLine, OnFoot};

use super::{key, line};
use crate::control::SiteFacts;
use crate::key as figures;
use crate::rules::Rules;

/// Cones of one closure, by part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Cones {
    pub lead_in: u32,
    pub straight: u32,
    pub exit: u32,
}

impl Cones {
    pub(super) const fn all(self) -> u32 {
        self.lead_in + self.straight + self.exit
    }

    /// One lamp fewer than cones on each taper, one on each cone between.
    const fn lamps(self) -> u32 {
        self.lead_in.saturating_sub(1) + self.straight + self.exit.saturating_sub(1)
    }
}

impl Rules {
    /// Cones of a taper of about 45 degrees across so many metres.
    ///
    /// Source: Code of Practice (October 2013), setting out the site: at most 1.2 m apart.
    pub(super) fn steep_taper(&self, hazard_m: f64) -> u32 {
        let length = hazard_m * 2.0f64.sqrt();
        up(length / self.value(key::CONE_SPACING_TAPER)) + 1
    }

    /// Cones of a long taper so many metres along.
    ///
    /// Source: Code of Practice (October 2013), inside back cover, from memory: 4, 4, 6, 7, 9, 10,
    /// 12 cones for 1 to 7 m at 30 mph, where a taper is 13 times as long as it is wide.
    pub(super) fn long_taper(&self, length_m: f64) -> u32 {
        let by_spacing = up(length_m / self.value(key::CONE_SPACING)) + 1;
        by_spacing.max(self.value(key::CONES_TAPER) as u32)
    }

    /// Cones between the tapers, whose last cones stand at both ends.
    ///
    /// Source: Code of Practice (October 2013), setting out the site: at most 9 m apart, at least
    /// two.
    pub(super) fn between_tapers(&self, length_m: f64) -> u32 {
        let by_spacing = up(length_m / self.value(key::CONE_SPACING)).saturating_sub(1);
        by_spacing.max(self.value(key::CONES_BETWEEN) as u32)
    }

    /// The cones of a closure; none where no lane is taken or no line is near.
    pub(super) fn cones(&self, site: &SiteFacts, control: Control) -> Option<Cones> {
        let hazard = site.across?.of_carriageway;
        match control {
            Control::None => None,
            Control::RoadClosed => {
                let across = self.steep_taper(hazard / 2.0f64.sqrt());
                Some(Cones {
                    lead_in: across,
                    straight: 0,
                    exit: across,
                })
            }
            _ => {
                let (before, _) = site.lengths?;
                let run_in = self.banded(figures::RUN_INS, site.mph);
                let taper = (before - run_in).max(0.0);
                let is_long = matches!(control, Control::BothWays | Control::OneWay);
                let lead_in = if is_long {
                    self.long_taper(taper)
                } else {
                    self.steep_taper(hazard)
                };
                Some(Cones {
                    lead_in,
                    straight: self.between_tapers(run_in + site.works.0),
                    exit: self.steep_taper(hazard),
                })
            }
        }
    }

    /// Cones and lamps as lines of the list.
    pub(super) fn cone_lines(&self, site: &SiteFacts, control: Control) -> Vec<KitLine> {
        let Some(cones) = self.cones(site, control) else {
            return Vec::new();
        };
        let formula = format!(
            "{} lead-in, {} between, {} exit: tapers of 45 degrees at most {} m apart, else at most \
             {} m",
            cones.lead_in,
            cones.straight,
            cones.exit,
            self.value(key::CONE_SPACING_TAPER),
            self.value(key::CONE_SPACING),
        );
        let lit = self.value(key::LAMP_SPEED);
        let when = if site.is_over_night {
            "lit, since the works stand over a night".to_owned()
        } else if site.mph >= lit {
            format!("in darkness or poor visibility, from {lit} mph")
        } else {
            format!("by risk assessment, below {lit} mph")
        };
        let lamps = format!("one fewer than cones on each taper, one on each cone between; {when}");
        let source = self.source(key::CONE_SPACING);
        vec![
            line("cone", "Traffic cone", cones.all(), formula, source),
            line(
                "lamp",
                "Steady warning lamp",
                cones.lamps(),
                lamps,
                self.source(key::LAMP_SPEED),
            ),
        ]
    }

    /// Lamps on the barriers of works that stand over a night.
    pub(super) fn night_lamps(&self, site: &SiteFacts, barriers: &KitLine) -> Option<KitLine> {
        let each = self.value(key::LAMP_BARRIERS).max(1.0);
        let formula = format!(
            "{} barriers, a lamp to every {each}: the works stand over a night",
            barriers.count
        );
        let count = up(f64::from(barriers.count) / each);
        let source = self.source(key::LAMP_BARRIERS);
        site.is_over_night.then(|| {
            line(
                "barrier_lamp",
                "Warning lamp on a barrier",
                count,
                formula,
                source,
            )
        })
    }

    /// Barriers round the works, and along both sides of a walkway.
    pub(super) fn barrier_line(&self, site: &SiteFacts, on_foot: OnFoot) -> KitLine {
        let (length, width) = site.works;
        let each = self.value(key::BARRIER);
        let round = 2.0 * (length + width);
        let walkway = if on_foot == OnFoot::Walkway {
            2.0 * (length + 2.0 * self.value(figures::FOOTWAY_RAMP))
        } else {
            0.0
        };
        let mut formula = format!("{round:.1} m round the works");
        if walkway > 0.0 {
            formula.push_str(&format!(", {walkway:.1} m along the walkway"));
        }
        formula.push_str(&format!(", {each} m each"));
        let count = up(round / each) + up(walkway / each);
        line(
            "barrier",
            "Pedestrian barrier",
            count,
            formula,
            self.source(key::BARRIER),
        )
    }
}

/// Rounded up, a rounding of the last bit aside.
fn up(value: f64) -> u32 {
    (value - 1e-9).ceil().max(0.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Code of Practice (October 2013), inside back cover, from memory: cones for hazards 1 to 7 m
    /// wide at 30 mph, and one lamp fewer.
    #[test]
    fn long_tapers_have_the_cones_of_the_table() {
        let rules = Rules::shipped();
        let cones: Vec<u32> = (1..=7)
            .map(|width| rules.long_taper(13.0 * f64::from(width)))
            .collect();
        assert_eq!(cones, [4, 4, 6, 7, 9, 10, 12]);
        let lamps = Cones {
            lead_in: 7,
            straight: 0,
            exit: 0,
        }
        .lamps();
        assert_eq!(lamps, 6);
    }

    /// Setting out the site: cones at most 9 m apart along, and at least two between tapers.
    #[test]
    fn at_least_two_cones_stand_between_tapers() {
        let rules = Rules::shipped();
        let between = [1.0, 9.0, 27.0, 27.1, 90.0].map(|length| rules.between_tapers(length));
        assert_eq!(between, [2, 2, 2, 3, 9]);
    }

    /// Setting out the site: 3.5 m across at 45 degrees is 4.95 m along the cones, 1.2 m apart.
    #[test]
    fn steep_tapers_have_cones_every_1_2_m() {
        assert_eq!(Rules::shipped().steep_taper(3.5), 6);
        assert_eq!(Rules::shipped().steep_taper(1.2 / 2.0f64.sqrt()), 2);
    }
}
