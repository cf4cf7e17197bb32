//! The closure that position and width call for, and the rule that says so.

use gangday_model::{ClosureKind, Job, Position, Street};

use crate::key;
use crate::rules::{Rules, stated_width};

/// What is taken, whether it was proposed here, and the rule in words.
pub type Proposal = (ClosureKind, bool, String);

/// How every proposal ends.
const WHO_DECIDES: &str = "A proposal: a competent person decides.";

/// The closure that a job states, or the one that its position and its street's width call for by
/// the shipped rules; see [`Rules::propose`].
///
/// ```
/// use gangday_model::{ClosureKind, Job, LonLat, Position, Work};
/// let job = Job::new("J1", LonLat::new(-3.4, 54.0), Work::New, Position::Footway);
/// let (kind, proposed, because) = gangday_traffic::propose(&job, None);
/// assert_eq!((kind, proposed), (ClosureKind::Footway, true));
/// assert!(because.contains("1.5 m"));
/// ```
#[must_use]
pub fn propose(job: &Job, street: Option<&Street>) -> Proposal {
    Rules::shipped().propose(job, street)
}

impl Rules {
    /// The closure that a job states, or the one that its position and its street's width call
    /// for.
    ///
    /// In a carriageway the dig is taken to lie in the middle of its half; a lane is proposed
    /// where the rest of the road is at least the absolute minimum lane, else the whole road. A
    /// width that nobody states can't show that a lane is left.
    ///
    /// # Source
    /// HAUC(UK) Guidance Bulletin 34 for lane widths and sideways clearance; Safety at Street
    /// Works and Road Works, Code of Practice (October 2013) for the way past on foot. The words
    /// name the clause of each figure.
    #[must_use]
    pub fn propose(&self, job: &Job, street: Option<&Street>) -> Proposal {
        if let Some(stated) = job.closure {
            return (stated, false, "Stated by the job.".to_owned());
        }
        let (kind, rule) = match job.position {
            Position::Verge => (ClosureKind::None, self.verge(street)),
            Position::Footway => (ClosureKind::Footway, self.footway()),
            Position::CycleTrack => (ClosureKind::Footway, self.cycle_track()),
            Position::Carriageway => self.carriageway(job, street),
        };
        (kind, true, format!("{rule} {WHO_DECIDES}"))
    }

    fn verge(&self, street: Option<&Street>) -> String {
        let (mph, assumed) = self.speed(street);
        let clearance = self.clearance_key(mph);
        format!(
            "In a verge nothing is taken beyond the guarded works, so long as people, plant and \
             spoil keep {} m from the carriageway ({}; {}) and out of the footway.",
            self.value(clearance),
            self.source(clearance),
            speed_words(mph, assumed),
        )
    }

    fn footway(&self) -> String {
        format!("The works take the footway, {}.", self.way_past_words())
    }

    fn cycle_track(&self) -> String {
        format!(
            "A cycle track is taken as a footway is (common practice, no source), {}. A cycle \
             lane that is part of the carriageway calls for a lane closure: state it.",
            self.way_past_words(),
        )
    }

    fn way_past_words(&self) -> String {
        format!(
            "with a way past of {} m ({}), never less than {} m ({})",
            self.value(key::WAY_PAST),
            self.source(key::WAY_PAST),
            self.value(key::WAY_PAST_MINIMUM),
            self.source(key::WAY_PAST_MINIMUM),
        )
    }

    fn carriageway(&self, job: &Job, street: Option<&Street>) -> (ClosureKind, String) {
        let Some(width) = stated_width(street) else {
            return (ClosureKind::Road, self.no_width());
        };
        let (mph, assumed) = self.speed(street);
        let left = self.left_beside(job, width, mph);
        let reckoning = self.reckoning(job, width, (mph, assumed), left);
        let minimum = self.value(key::LANE_MINIMUM);
        if left >= minimum {
            let source = self.source(key::LANE_MINIMUM);
            let rule = format!("{reckoning} at least {minimum} m ({source}): one lane is taken.");
            return (ClosureKind::Lane, rule);
        }
        (
            ClosureKind::Road,
            format!("{reckoning} {}", self.too_narrow(left)),
        )
    }

    fn no_width(&self) -> String {
        format!(
            "The carriageway's width is not stated, so it can't be shown that {} m ({}) is left \
             beside the works: the whole road is taken. Measure \
             it and state it.",
            self.value(key::LANE_MINIMUM),
            self.source(key::LANE_MINIMUM),
        )
    }

    /// What is left of the carriageway with the dig in the middle of its half, m.
    fn left_beside(&self, job: &Job, width: f64, mph: f64) -> f64 {
        let taken = width / 4.0 + self.dig_across(job).0 / 2.0 + self.value(key::WORKS_SPACE);
        // Whole millimetres, so that 3.0 m is not missed by a rounding.
        ((width - taken - self.value(self.clearance_key(mph))) * 1e3).round() / 1e3
    }

    fn reckoning(&self, job: &Job, width: f64, (mph, assumed): (f64, bool), left: f64) -> String {
        let (dig, dig_assumed) = self.dig_across(job);
        let dig_words = if dig_assumed {
            " (sizes not all stated: usual ones assumed)"
        } else {
            ""
        };
        let clearance = self.clearance_key(mph);
        format!(
            "Of {width} m of carriageway, with a dig {dig:.2} m across{dig_words} in the middle of \
             its half (assumed), {} m working space ({}) and {} m sideways clearance ({}; {}), \
             {left:.2} m is left,",
            self.value(key::WORKS_SPACE),
            self.source(key::WORKS_SPACE),
            self.value(clearance),
            self.source(clearance),
            speed_words(mph, assumed),
        )
    }

    fn too_narrow(&self, left: f64) -> String {
        let (minimum, source) = (
            self.value(key::LANE_MINIMUM),
            self.source(key::LANE_MINIMUM),
        );
        let light = self.value(key::LANE_MINIMUM_LIGHT);
        let light_source = self.source(key::LANE_MINIMUM_LIGHT);
        let hint = if left >= light {
            format!(
                " It is wide enough for cars and light vehicles alone, {light} m ({light_source})."
            )
        } else {
            String::new()
        };
        format!("less than {minimum} m ({source}): the whole road is taken.{hint}")
    }
}

fn speed_words(mph: f64, assumed: bool) -> String {
    let why = if assumed {
        ", assumed because none is stated"
    } else {
        ""
    };
    format!("speed limit {mph} mph{why}")
}

#[cfg(test)]
mod tests {
    use gangday_model::{LonLat, Work};
    use proptest::prelude::*;
    use serde_json::Map;

    use super::*;

    fn job(position: Position) -> Job {
        Job::new("J1", LonLat::new(-3.4, 54.0), Work::New, position)
    }

    fn street(width_m: Option<f64>, speed_limit_mph: Option<u32>) -> Street {
        Street {
            id: "S1".into(),
            name: None,
            road_type: None,
            speed_limit_mph,
            width_m,
            one_way: false,
            flow_per_3_min: None,
            traffic_sensitive: Vec::new(),
            restricted_until: None,
            lines: Vec::new(),
            extra: Map::new(),
        }
    }

    #[test]
    fn a_stated_closure_stands() {
        let mut job = job(Position::Carriageway);
        job.closure = Some(ClosureKind::None);
        assert_eq!(
            propose(&job, None),
            (ClosureKind::None, false, "Stated by the job.".into())
        );
    }

    #[test]
    fn off_the_carriageway_no_traffic_lane_is_taken() {
        for (position, expected) in [
            (Position::Verge, ClosureKind::None),
            (Position::Footway, ClosureKind::Footway),
            (Position::CycleTrack, ClosureKind::Footway),
        ] {
            let (kind, proposed, because) = propose(&job(position), None);
            assert_eq!((kind, proposed), (expected, true));
            assert!(because.ends_with(WHO_DECIDES));
        }
    }

    /// 7.2 - (1.8 + 0.7 + 0.5) - 0.5 = 3.7 m at 30 mph, and 3.0 m at 50 mph, which is just enough.
    #[test]
    fn a_wide_road_gives_up_a_lane() {
        for (mph, left) in [(30, "3.70 m is left"), (50, "3.00 m is left")] {
            let wide = street(Some(7.2), Some(mph));
            let (kind, _, because) = propose(&job(Position::Carriageway), Some(&wide));
            assert_eq!(kind, ClosureKind::Lane, "{because}");
            assert!(because.contains(left), "{because}");
            assert!(because.contains("Bulletin 34, absolute minimum lane width, normal traffic"));
            assert!(because.contains("Bulletin 34, sideways clearance"));
        }
    }

    /// 5.6 - (1.4 + 0.7 + 0.5) - 0.5 = 2.5 m: cars and light vehicles only.
    #[test]
    fn a_narrow_road_is_taken_whole_and_the_light_lane_is_mentioned() {
        let narrow = street(Some(5.6), Some(30));
        let (kind, _, because) = propose(&job(Position::Carriageway), Some(&narrow));
        assert_eq!(kind, ClosureKind::Road);
        assert!(
            because.contains("cars and light vehicles alone, 2.5 m"),
            "{because}"
        );
        let lane = street(Some(4.0), Some(30));
        assert!(
            !propose(&job(Position::Carriageway), Some(&lane))
                .2
                .contains("light")
        );
    }

    /// 3.0 m is enough: w x 3/4 - 1.7 = 3.0 at w = 94/15 m.
    #[test]
    fn the_minimum_lane_itself_is_enough() {
        let exact = street(Some(94.0 / 15.0), Some(40));
        assert_eq!(
            propose(&job(Position::Carriageway), Some(&exact)).0,
            ClosureKind::Lane
        );
        let less = street(Some(94.0 / 15.0 - 0.002), Some(40));
        assert_eq!(
            propose(&job(Position::Carriageway), Some(&less)).0,
            ClosureKind::Road
        );
    }

    #[test]
    fn what_is_not_stated_is_said_to_be_assumed() {
        let (kind, _, because) = propose(&job(Position::Carriageway), None);
        assert_eq!(kind, ClosureKind::Road);
        assert!(because.contains("width is not stated"));
        let no_speed = street(Some(9.0), None);
        let because = propose(&job(Position::Carriageway), Some(&no_speed)).2;
        assert!(
            because.contains("60 mph, assumed because none is stated"),
            "{because}"
        );
        assert!(because.contains("1.2 m sideways clearance"), "{because}");
        let absurd = street(Some(f64::NAN), Some(30));
        assert_eq!(
            propose(&job(Position::Carriageway), Some(&absurd)).0,
            ClosureKind::Road
        );
    }

    proptest! {
        /// A wider road never turns a lane closure into a road closure, and no words call it safe.
        #[test]
        fn wider_never_takes_more(width in 2.0f64..12.0, more in 0.0f64..5.0, mph in 20u32..70) {
            let call = |width| {
                let street = street(Some(width), Some(mph));
                propose(&job(Position::Carriageway), Some(&street))
            };
            let (narrow, wide) = (call(width), call(width + more));
            prop_assert!(wide.0 <= narrow.0);
            prop_assert!(!wide.2.to_lowercase().replace("safety at street works", "").contains("safe"));
        }
    }
}
