//! A week in which the rule on duty is the one that bites: 11 h, unless no day has more than 4 h of driving.
//!
//! # Source
//! GB domestic drivers' hours, gov.uk.

use gangday_model::{LonLat, Parameter, Plan, Seconds};

use crate::opened::Opened;
use crate::reports::broken_rules;
use crate::trial::{changed, planned};

/// One gang whose depot lies almost two hours' drive from its jobs, and that may work twelve and a half hours.
fn far_away(most_duty_h: f64) -> Opened {
    changed(|programme| {
        programme.gangs.truncate(1);
        let gang = &mut programme.gangs[0];
        gang.depot = LonLat::new(gang.depot.lon() + 0.65, gang.depot.lat());
        gang.overtime = Seconds::from_minutes(210);
        (gang.payload, gang.volume_m3) = (None, None);
        for job in &mut programme.jobs {
            (job.earliest, job.latest) = (None, None);
            job.site_hours.clear();
            job.tickets.clear();
        }
        let row = Parameter {
            key: "duty.most_h".to_owned(),
            value: most_duty_h,
            unit: "h".to_owned(),
            source: "for the test".to_owned(),
            date: String::new(),
            extra: serde_json::Map::new(),
        };
        let own = gangday_model::ParameterTable::new([row]);
        programme.method = programme.method.overlaid(&own);
    })
}

/// The codes of what breaks a rule of driving or duty.
fn broken(opened: &Opened, plan: &Plan) -> Vec<String> {
    let mut codes: Vec<String> = broken_rules(opened, plan)
        .into_iter()
        .map(|finding| finding.code)
        .collect();
    codes.dedup();
    codes
}

#[test]
fn far_from_the_depot_nobody_is_on_duty_for_more_than_eleven_hours() {
    let (ruled, free) = (far_away(11.0), far_away(24.0));
    let (with, without) = (planned(&ruled, 600), planned(&free, 600));
    assert_eq!(broken(&free, &without), [""; 0]);
    assert_eq!(broken(&ruled, &without), ["R-DUTY"]);
    assert_eq!(broken(&ruled, &with), [""; 0]);
    assert!(!with.routes.is_empty());
    assert!(with.costs.total_pence > without.costs.total_pence);
}
