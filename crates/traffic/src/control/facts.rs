//! What is known of a site where traffic has to be led past it.

use gangday_model::{Closure, ClosureKind, Street};

use crate::footprint::{Footprint, Taken};
use crate::rules::{Rules, stated_width};

/// One site.
#[derive(Clone, Debug)]
pub(crate) struct SiteFacts {
    pub kind: ClosureKind,
    pub one_way: bool,
    /// Speed limit, mph, and whether it is assumed.
    pub mph: f64,
    pub is_speed_assumed: bool,
    /// Carriageway width as stated, m.
    pub width_m: Option<f64>,
    /// Carriageway left beside works and clearance, m.
    pub left_m: Option<f64>,
    /// First to last cone, m.
    pub coned_m: Option<f64>,
    /// Lengths before and behind the works, m.
    pub lengths: Option<(f64, f64)>,
    /// Vehicles both ways in 3 minutes.
    pub flow: Option<f64>,
    /// Heavy vehicles an hour.
    pub heavy: Option<f64>,
    /// How far drivers see, m.
    pub sight_m: Option<f64>,
    /// Footway width, m.
    pub footway_m: Option<f64>,
    /// Whether the closure stands over a night.
    pub is_over_night: bool,
    /// How long it stands, minutes.
    pub minutes: f64,
    /// The guarded works along and across, m.
    pub works: (f64, f64),
    /// What is taken across the street.
    pub across: Option<Taken>,
}

impl Rules {
    /// What is known of a closure's site.
    ///
    /// What the nouns don't hold is read from properties of the street: `footway_width_m`,
    /// `heavy_per_hour` and `visibility_m`.
    pub(crate) fn site_facts(
        &self,
        street: Option<&Street>,
        closure: &Closure,
        drawn: Option<&Footprint>,
    ) -> SiteFacts {
        let (mph, is_speed_assumed) = self.speed(street);
        let more = |name: &str| {
            let value = street?.extra.get(name)?.as_f64()?;
            (value.is_finite() && value >= 0.0).then_some(value)
        };
        let works = drawn.map_or((0.0, 0.0), |drawn| drawn.works);
        let lengths = drawn.and_then(|drawn| drawn.lengths);
        let coned = lengths.map(|(before, after)| before + works.0 + after);
        SiteFacts {
            kind: closure.kind,
            one_way: street.is_some_and(|street| street.one_way),
            mph,
            is_speed_assumed,
            width_m: stated_width(street),
            left_m: drawn.and_then(|drawn| drawn.left),
            coned_m: coned.filter(|_| closure.kind == ClosureKind::Lane),
            lengths,
            flow: street.and_then(|street| street.flow_per_3_min),
            heavy: more("heavy_per_hour"),
            sight_m: more("visibility_m"),
            footway_m: more("footway_width_m"),
            is_over_night: closure.end.date() > closure.start.date(),
            minutes: (closure.end - closure.start).num_seconds() as f64 / 60.0,
            works,
            across: drawn.and_then(|drawn| drawn.across),
        }
    }
}
