//! A street's terms in the invented week: a week in which each bites, and one in which it does not.

use chrono::{NaiveDate, NaiveTime, TimeDelta};
use gangday_model::{ClosureKind, Hours, Plan, Programme};

use crate::opened::Opened;
use crate::trial::{changed, planned};
use crate::{verify, what_the_public_meets};

/// The small demo week with no terms on any street but those that are given.
fn week(how: impl FnOnce(&mut Programme)) -> Opened {
    changed(|programme| {
        for street in &mut programme.streets {
            street.restricted_until = None;
            street.traffic_sensitive.clear();
        }
        how(programme);
    })
}

fn restricted(until: NaiveDate) -> Opened {
    week(|programme| {
        for street in &mut programme.streets {
            street.restricted_until = Some(until);
        }
    })
}

fn codes(opened: &Opened, plan: &Plan) -> Vec<String> {
    let report = verify(opened, plan, None);
    report.findings.into_iter().map(|one| one.code).collect()
}

/// New Roads and Street Works Act 1991, ss. 58 and 58A, numbers from memory.
#[test]
fn nothing_is_planned_in_a_restricted_street_before_its_date() {
    let free = week(|_| {});
    let first = free.prepared.programme.week.first_day;
    let loose = planned(&free, 300);
    assert!(loose.routes.iter().any(|route| route.date == first));
    let wednesday = restricted(first + TimeDelta::days(2));
    assert!(
        codes(&wednesday, &loose).contains(&"R-DATES".to_owned()),
        "the plan made without it breaks it"
    );
    let kept = planned(&wednesday, 300);
    assert!(!kept.routes.is_empty() && verify(&wednesday, &kept, None).sound);
    let in_street = |plan: &Plan| {
        let prepared = &wednesday.prepared;
        let visits = plan.routes.iter().flat_map(|route| {
            let jobs = route.visits.iter().map(|visit| &visit.job);
            jobs.map(|job| (route.date, job))
        });
        let early = visits.filter(|(date, _)| *date < first + TimeDelta::days(2));
        early
            .filter(|(_, job)| prepared.streets[prepared.index_of(job).unwrap()].is_some())
            .count()
    };
    assert!(in_street(&loose) > 0);
    assert_eq!(in_street(&kept), 0);
    let met = what_the_public_meets(&wednesday, &kept).clashes_left();
    assert!(met.iter().all(|one| one.code != "T-RESTRICTED"));
}

#[test]
fn a_job_whose_street_is_restricted_all_week_is_told_so() {
    let opened = restricted(NaiveDate::from_ymd_opt(2099, 1, 1).unwrap());
    let plan = planned(&opened, 300);
    let prepared = &opened.prepared;
    let in_street = |job| prepared.streets[prepared.index_of(job).unwrap()].is_some();
    let left: Vec<_> = plan
        .unplanned
        .iter()
        .filter(|left| in_street(&left.job) && left.reasons[0].code == "T-RESTRICTED")
        .collect();
    assert!(!left.is_empty(), "{:?}", plan.unplanned);
    assert!(left[0].reasons[0].text.contains("1 January 2099"));
}

/// What every closure of carriageway costs more, all hours of the morning being busy.
#[test]
fn busy_hours_cost_what_the_figure_says_and_fewer_of_them_are_met() {
    let time = |hour| NaiveTime::from_hms_opt(hour, 0, 0).unwrap();
    let busy = Hours {
        from: time(6),
        until: time(10),
    };
    let met = |opened: &Opened, plan: &Plan| -> i64 {
        let public = what_the_public_meets(opened, plan);
        let taken = public.closures.iter().filter(|closure| {
            let kind = closure.kind;
            matches!(kind, ClosureKind::Lane | ClosureKind::Road) && closure.street.is_some()
        });
        taken
            .map(|closure| {
                let until = closure.start.date().and_time(busy.until);
                (until.min(closure.end) - closure.start)
                    .num_seconds()
                    .max(0)
            })
            .sum()
    };
    let free = week(|_| {});
    let dear = week(|programme| {
        for street in &mut programme.streets {
            street.traffic_sensitive = vec![busy];
        }
    });
    let (loose, kept) = (planned(&free, 300), planned(&dear, 300));
    assert!(verify(&dear, &kept, None).sound);
    assert!(met(&free, &loose) > 0, "it bites");
    assert!(
        met(&dear, &kept) < met(&dear, &loose),
        "{} and {}",
        met(&dear, &kept),
        met(&dear, &loose)
    );
}
