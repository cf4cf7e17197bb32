//! Notices of planned works: what is late, what stands too long, what the authority bars.

use chrono::{NaiveDate, NaiveDateTime, NaiveTime};
use gangday_model::{
    Closure, ClosureKind, Hours, Job, LonLat, Nation, Notice, Parameter, ParameterTable, Position,
    Programme, Street, Week, Work, WorksCategory,
};
use gangday_traffic::{NoticeTerms, Rules, shipped_traffic};
use serde_json::{Map, json};

fn at(text: &str) -> NaiveDateTime {
    text.parse().expect("a local time")
}

fn week(nation: Nation, today: &str) -> Week {
    Week {
        nation,
        first_day: NaiveDate::default(),
        days: 5,
        holidays: Vec::new(),
        temperature_c: 10.0,
        today: Some(today.parse().expect("a date")),
        rates: Vec::new(),
        nights: 0,
        over_weekend: false,
        plan_from: None,
        extra: Map::new(),
    }
}

fn programme(job: Job, week: Week) -> Programme {
    Programme {
        name: "Town".into(),
        jobs: vec![job],
        streets: Vec::new(),
        gangs: Vec::new(),
        tips: Vec::new(),
        method: ParameterTable::default(),
        materials: ParameterTable::default(),
        week,
    }
}

fn closure(kind: ClosureKind, start: &str, end: &str) -> Closure {
    Closure {
        job: "J1".into(),
        gang: "G1".into(),
        street: None,
        kind,
        closes_road: kind == ClosureKind::Road,
        proposed: false,
        because: String::new(),
        worked: Some((at(start), at(end))),
        start: at(start),
        hold_from: at(end),
        end: at(end),
        footprint: Vec::new(),
    }
}

fn job() -> Job {
    Job::new(
        "J1",
        LonLat::new(-3.4, 54.0),
        Work::New,
        Position::Carriageway,
    )
}

fn told(job: Job, week: Week, closure: Closure) -> (Notice, Vec<String>) {
    let (terms, _) = NoticeTerms::of_week(&week);
    let programme = programme(job, week);
    let (mut notices, findings) = Rules::shipped().notices(&programme, &[closure], &terms);
    let codes = findings.into_iter().map(|finding| finding.code).collect();
    (notices.remove(0), codes)
}

/// SI 2009/303 reg. 3 as amended by SI 2020/122 reg. 6 for the category; three working days from
/// memory. Told on Thursday 25 February 2027, minor works may start on Tuesday 2 March.
#[test]
fn works_before_their_earliest_start_are_late_unless_a_permit_is_stated() {
    let monday = closure(
        ClosureKind::Lane,
        "2027-03-01T09:00:00",
        "2027-03-01T14:00:00",
    );
    let england = || week(Nation::England, "2027-02-25");
    let (notice, codes) = told(job(), england(), monday.clone());
    assert_eq!(notice.category, WorksCategory::Minor);
    assert_eq!(notice.earliest, NaiveDate::from_ymd_opt(2027, 3, 2));
    assert!(notice.steps[0].missed);
    assert_eq!(codes, ["T-LATE"]);
    let mut permitted = job();
    permitted.permit = Some("ABC-1".into());
    assert!(told(permitted, england(), monday).1.is_empty());
    let tuesday = closure(
        ClosureKind::Lane,
        "2027-03-02T09:00:00",
        "2027-03-02T14:00:00",
    );
    assert!(told(job(), england(), tuesday).1.is_empty());
}

/// What stands open from before and on after it is told of as what is worked there; where nobody works, nothing is.
#[test]
fn what_stands_beyond_its_works_is_told_of_by_them_alone() {
    let england = || week(Nation::England, "2027-02-25");
    let worked = closure(
        ClosureKind::Lane,
        "2027-03-04T09:00:00",
        "2027-03-04T14:00:00",
    );
    let stands = Closure {
        start: at("2027-03-01T00:00:00"),
        hold_from: at("2027-03-06T00:00:00"),
        end: at("2027-03-06T00:00:00"),
        ..worked.clone()
    };
    let (notice, codes) = told(job(), england(), stands.clone());
    assert_eq!((notice, codes), told(job(), england(), worked));
    let nobody = Closure {
        worked: None,
        ..stands
    };
    let (terms, _) = NoticeTerms::of_week(&england());
    let none = Rules::shipped().notices(&programme(job(), england()), &[nobody], &terms);
    assert_eq!(none, (Vec::new(), Vec::new()));
}

/// RTRA 1984, s. 15(7), from memory: a notice for works stands five days; and SI 2009/303 reg. 3(b):
/// under a notice a day's works are not major.
#[test]
fn a_closure_by_notice_stands_five_days_and_no_longer() {
    let mut by_notice = job();
    by_notice.permit = Some("ABC-1".into());
    by_notice.extra.insert("closure_by".into(), json!("notice"));
    let england = || week(Nation::England, "2027-01-04");
    let stands = |end| {
        let closure = closure(ClosureKind::Road, "2027-03-01T09:00:00", end);
        told(by_notice.clone(), england(), closure)
    };
    let (notice, codes) = stands("2027-03-05T14:00:00");
    assert!(codes.is_empty());
    assert_eq!(notice.category, WorksCategory::Standard);
    assert_eq!(stands("2027-03-06T14:00:00").1, ["T-LONG"]);
    let order = closure(
        ClosureKind::Road,
        "2027-03-01T09:00:00",
        "2027-03-01T14:00:00",
    );
    let (notice, _) = told(job(), england(), order);
    assert_eq!(notice.category, WorksCategory::Major);
    assert!(notice.steps.iter().any(|step| step.step == "order"));
}

/// SSI 2008/88 reg. 7, as made: the street's traffic-sensitive hours decide which lead time holds.
#[test]
fn scotland_asks_whether_the_street_is_sensitive_at_the_time() {
    let day = closure(
        ClosureKind::Lane,
        "2027-03-02T08:00:00",
        "2027-03-02T14:00:00",
    );
    let (terms, _) = NoticeTerms::of_week(&week(Nation::Scotland, "2027-02-25"));
    let mut town = programme(job(), week(Nation::Scotland, "2027-02-25"));
    town.streets = vec![street("07:00", "09:00")];
    let in_street = Closure {
        street: Some("S1".into()),
        ..day
    };
    let rules = Rules::shipped();
    let last = |town: &Programme| {
        let (notices, _) = rules.notices(town, std::slice::from_ref(&in_street), &terms);
        notices[0].steps[0].by.to_string()
    };
    assert_eq!(last(&town), "2027-02-19 16:30:00", "seven working days");
    town.streets = vec![street("15:00", "18:00")];
    assert_eq!(last(&town), "2027-03-01 12:00:00", "noon on the day before");
}

fn street(from: &str, until: &str) -> Street {
    let time = |text: &str| NaiveTime::parse_from_str(text, "%H:%M").expect("a time of day");
    Street {
        id: "S1".into(),
        name: None,
        road_type: None,
        speed_limit_mph: Some(30),
        width_m: Some(7.0),
        one_way: false,
        flow_per_3_min: None,
        traffic_sensitive: vec![Hours {
            from: time(from),
            until: time(until),
        }],
        restricted_until: NaiveDate::from_ymd_opt(2027, 9, 30),
        lines: Vec::new(),
        extra: Map::new(),
    }
}

/// Common practice, no source, for how much each weighs: the user's own row bars where the shipped
/// one has a price, or only warns where the shipped one bars.
#[test]
fn a_row_of_the_table_decides_whether_the_street_s_terms_bar() {
    let street = street("07:00", "09:00");
    let shipped = Rules::shipped().barred(&street, ClosureKind::Lane);
    assert_eq!(shipped.priced, street.traffic_sensitive);
    assert_eq!(shipped.before, street.restricted_until);
    let row = |key: &str, value| Parameter {
        key: key.to_owned(),
        value,
        unit: "0 to 3".to_owned(),
        source: "the user's own".to_owned(),
        date: String::new(),
        extra: Map::new(),
    };
    let rules = |value| {
        let keys = ["clash.weight.sensitive", "clash.weight.restricted"];
        let own = ParameterTable::new(keys.map(|key| row(key, value)));
        Rules::from_table(&shipped_traffic().overlaid(&own)).expect("it is complete")
    };
    let barred = rules(3.0).barred(&street, ClosureKind::Lane);
    assert_eq!(barred.hours, street.traffic_sensitive);
    assert_eq!(barred.before, street.restricted_until);
    assert!(barred.priced.is_empty());
    let footway = rules(3.0).barred(&street, ClosureKind::Footway);
    assert!(footway.hours.is_empty());
    let warned = rules(1.0).barred(&street, ClosureKind::Lane);
    assert!(warned.hours.is_empty() && warned.priced.is_empty() && warned.before.is_none());
}

/// SI 2009/303 reg. 3(b): one day's works that need an order are major, and so they do where a lane
/// closure leaves nothing to drive on.
#[test]
fn a_lane_closure_past_which_nobody_drives_is_an_order_s() {
    let lane = closure(
        ClosureKind::Lane,
        "2027-03-02T08:00:00",
        "2027-03-02T15:00:00",
    );
    let shut = Closure {
        closes_road: true,
        ..lane.clone()
    };
    let category = |closure| {
        told(job(), week(Nation::England, "2026-10-01"), closure)
            .0
            .category
    };
    assert_eq!(category(lane), WorksCategory::Minor);
    assert_eq!(category(shut), WorksCategory::Major);
}
