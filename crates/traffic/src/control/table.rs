//! What a decision table holds, and how one is read.

use gangday_model::{Control, Ruling, Verdict};

use super::facts::SiteFacts;
use crate::key as figures;
use crate::rules::Rules;

/// One way of controlling traffic and every test that it has to meet.
pub(super) struct Family {
    pub control: Control,
    pub tests: &'static [Test],
}

/// One test.
pub(super) enum Test {
    /// At most the figure of this key.
    AtMost(Fact, &'static str),
    /// At least the figure of this key.
    AtLeast(Fact, &'static str),
    /// At least the figure of the speed limit's band, m.
    AtLeastBySpeed(Fact, [(u32, &'static str); 4]),
    /// At most the figure of the coned length's band.
    AtMostByLength(Fact, &'static [(u32, &'static str)]),
    /// Has to be so; the words of what it is when it is not, and the source.
    Must(fn(&SiteFacts) -> bool, &'static str, &'static str),
    /// To be looked at on the spot; what, and the source.
    Look(&'static str, &'static str),
}

/// What a test looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fact {
    SpeedLimit,
    ConedLength,
    Flow,
    HeavyFlow,
    Sight,
    Left,
}

impl Fact {
    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::SpeedLimit => ("speed limit", "mph"),
            Self::ConedLength => ("first to last cone", "m"),
            Self::Flow => ("traffic both ways", "vehicles in 3 min"),
            Self::HeavyFlow => ("heavy vehicles", "an hour"),
            Self::Sight => ("visibility", "m"),
            Self::Left => ("carriageway left", "m"),
        }
    }

    fn of(self, site: &SiteFacts) -> Option<f64> {
        match self {
            Self::SpeedLimit => Some(site.mph),
            Self::ConedLength => site.coned_m,
            Self::Flow => site.flow,
            Self::HeavyFlow => site.heavy,
            Self::Sight => site.sight_m,
            Self::Left => site.left_m,
        }
    }

    /// Whether a site's own look decides where nobody states it.
    const fn is_seen_on_the_spot(self) -> bool {
        matches!(self, Self::Sight)
    }
}

impl Rules {
    /// Every ruling of a family on a site.
    pub(super) fn rulings(&self, family: &Family, site: &SiteFacts) -> Vec<Ruling> {
        let ruling = |test: &Test| {
            let (verdict, words, source) = self.ruling(test, site);
            Ruling {
                control: family.control,
                verdict,
                words,
                source,
            }
        };
        family.tests.iter().map(ruling).collect()
    }

    fn ruling(&self, test: &Test, site: &SiteFacts) -> (Verdict, String, String) {
        match test {
            Test::AtMost(fact, key) => self.compared(*fact, site, key, true),
            Test::AtLeast(fact, key) => self.compared(*fact, site, key, false),
            Test::AtLeastBySpeed(fact, bands) => {
                let key = band(bands, site.mph);
                self.compared(*fact, site, key, false)
            }
            Test::AtMostByLength(fact, bands) => {
                let key = band(bands, site.coned_m.unwrap_or(f64::INFINITY));
                self.compared(*fact, site, key, true)
            }
            Test::Must(holds, otherwise, source) => {
                let (verdict, words) = if holds(site) {
                    (Verdict::Met, format!("not so that {otherwise}"))
                } else {
                    (Verdict::NotMet, (*otherwise).to_owned())
                };
                (verdict, words, (*source).to_owned())
            }
            Test::Look(what, source) => {
                (Verdict::OnTheSpot, (*what).to_owned(), (*source).to_owned())
            }
        }
    }

    fn compared(
        &self,
        fact: Fact,
        site: &SiteFacts,
        key: &'static str,
        is_most: bool,
    ) -> (Verdict, String, String) {
        let limit = self.value(key);
        let (what, unit) = fact.words();
        let bound = if is_most { "at most" } else { "at least" };
        let (verdict, words) = match fact.of(site) {
            Some(value) => {
                let is_met = if is_most {
                    value <= limit
                } else {
                    value >= limit
                };
                let verdict = if is_met {
                    Verdict::Met
                } else {
                    Verdict::NotMet
                };
                let value = (value * 100.0).round() / 100.0;
                let assumed = if fact == Fact::SpeedLimit && site.is_speed_assumed {
                    " (assumed)"
                } else {
                    ""
                };
                (
                    verdict,
                    format!("{what} {value} {unit}{assumed}, {bound} {limit}"),
                )
            }
            None if fact == Fact::Left && key == figures::LANE_MINIMUM => (
                Verdict::OnTheSpot,
                format!("{what} is not known, and has to be {bound} {limit} {unit}: measure it"),
            ),
            None if fact.is_seen_on_the_spot() => (
                Verdict::OnTheSpot,
                format!("{what} {bound} {limit} {unit}: look on the spot"),
            ),
            None => (
                Verdict::NotStated,
                format!("{what} is not stated, and has to be {bound} {limit} {unit}"),
            ),
        };
        (verdict, words, self.source(key).to_owned())
    }
}

/// The key of the lowest band that holds a value; the highest beyond them all.
fn band(bands: &[(u32, &'static str)], value: f64) -> &'static str {
    let last = bands[bands.len() - 1];
    let found = bands.iter().find(|(top, _)| value <= f64::from(*top));
    found.unwrap_or(&last).1
}

/// Whether rulings let their control stand: each is met, or is to be seen on the spot.
pub(super) fn stands(rulings: &[Ruling]) -> bool {
    let lets = |ruling: &Ruling| matches!(ruling.verdict, Verdict::Met | Verdict::OnTheSpot);
    rulings.iter().all(lets)
}
