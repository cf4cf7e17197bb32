//! How long a closure may stand.

use chrono::NaiveDate;
use gangday_model::{Closure, ClosureKind, Finding, Job, Nation, Position};

use super::key;
use crate::rules::Rules;

/// What a street is closed by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ClosedBy {
    /// Nothing is closed.
    Nothing,
    /// A temporary order.
    Order,
    /// A temporary notice.
    Notice,
}

/// By what a job's closure of its road stands: an order, unless the job states `closure_by` `notice`.
pub(super) fn closed_by(job: &Job, closes_road: bool) -> ClosedBy {
    let stated = job.extra.get("closure_by").and_then(|by| by.as_str());
    match closes_road {
        true if stated == Some("notice") => ClosedBy::Notice,
        true => ClosedBy::Order,
        false => ClosedBy::Nothing,
    }
}

/// Whether it is a way of its own and no part of a road: a cycle track, or a footpath where the job
/// states `footpath`. A footway is part of its road.
fn is_path(job: &Job) -> bool {
    let stated = job.extra.get("footpath").is_some_and(|flag| *flag == true);
    job.position == Position::CycleTrack || stated
}

impl Rules {
    /// The longest that a closure may stand, in words; none where nothing may be closed.
    ///
    /// # Source
    /// Road Traffic Regulation Act 1984, s. 15(1), (2), text of 1992: an order, 18 months; for a
    /// footpath, bridleway, cycle track or byway, 6 months; longer where the order says that works
    /// take longer. s. 15(7), from memory: a notice, 5 days for works and 21 for danger.
    pub(super) fn longest(
        &self,
        job: &Job,
        (kind, closes_road): (ClosureKind, bool),
        nation: Nation,
    ) -> Option<String> {
        if kind == ClosureKind::None {
            return None;
        }
        let law = if nation == Nation::NorthernIreland {
            "Road Traffic Regulation (Northern Ireland) Order 1997, from memory to be like the Act \
             of 1984"
        } else {
            "Road Traffic Regulation Act 1984, s. 15"
        };
        Some(match (closed_by(job, closes_road), is_path(job)) {
            (ClosedBy::Notice, _) => format!(
                "A notice may stand {} days for works ({} for danger) ({law}(7), from memory).",
                self.value(key::NOTICE_DAYS),
                self.value(key::NOTICE_DAYS_DANGER),
            ),
            (_, true) => format!(
                "An order may close a footpath, bridleway, cycle track or byway for {} months, and \
                 not {} ({law}(2)).",
                self.value(key::ORDER_MONTHS_PATH),
                self.value(key::ORDER_MONTHS),
            ),
            _ => format!(
                "An order may stand {} months, longer where it says that works take longer ({law}(1)).",
                self.value(key::ORDER_MONTHS),
            ),
        })
    }

    /// A closure by notice that stands longer than a notice may.
    pub(super) fn too_long(&self, job: &Job, closure: &Closure) -> Option<Finding> {
        let is_notice = closed_by(job, closure.closes_road) == ClosedBy::Notice;
        let last: NaiveDate = closure.end.date();
        let days = (last - closure.start.date()).num_days() + 1;
        let most = self.value(key::NOTICE_DAYS);
        if !is_notice || days as f64 <= most {
            return None;
        }
        let text = format!(
            "The closure of job {} stands {days} days under a notice, which may stand {most}.",
            job.id
        );
        let remedy = "Ask for an order, or plan the job within fewer days.";
        Some(Finding::warning("T-LONG", text, remedy).at(job.id.as_str()))
    }
}

#[cfg(test)]
mod tests {
    use gangday_model::{LonLat, Work};
    use serde_json::json;

    use super::*;

    fn longest(position: Position, kind: ClosureKind, by: Option<&str>) -> Option<String> {
        let mut job = Job::new("J1", LonLat::new(0.0, 52.0), Work::New, position);
        if let Some(by) = by {
            job.extra.insert("closure_by".into(), json!(by));
        }
        Rules::shipped().longest(&job, (kind, kind == ClosureKind::Road), Nation::England)
    }

    /// RTRA 1984, s. 15(1), (2), text of 1992: 18 months, but 6 for a cycle track or footpath.
    #[test]
    fn an_order_stands_18_months_on_a_road_and_6_on_a_cycle_track() {
        let road = longest(Position::Carriageway, ClosureKind::Road, None).unwrap();
        assert!(road.contains("18 months") && !road.contains(" 6 months"));
        let footway = longest(Position::Footway, ClosureKind::Footway, None).unwrap();
        assert!(
            footway.contains("18 months"),
            "a footway is part of its road"
        );
        let track = longest(Position::CycleTrack, ClosureKind::Footway, None).unwrap();
        assert!(track.contains("for 6 months"), "{track}");
        assert_eq!(longest(Position::Verge, ClosureKind::None, None), None);
    }

    /// RTRA 1984, s. 15(7), from memory: 5 days.
    #[test]
    fn a_notice_stands_5_days() {
        let by_notice = longest(Position::Carriageway, ClosureKind::Road, Some("notice")).unwrap();
        assert!(by_notice.contains("5 days for works (21 for danger)"));
    }
}
