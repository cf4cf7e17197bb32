use gangday_model::Volumes;

use super::*;
use crate::demo;
use crate::diary::Record;
use crate::view::DemoWeek;
use crate::{OrderBy, totals};

/// The programme where this was done before the week.
fn begun_before(whole: &Prepared, before: Before) -> Prepared {
    let before = Arc::new(before);
    whole.with_past_of(Past {
        before,
        ..Past::default()
    })
}

fn record(job: &JobId, stage: Stage, at: &str) -> Record {
    Record {
        job: job.clone(),
        stage,
        at: at.parse().unwrap(),
        due: None,
    }
}

fn looked_back(records: Vec<Record>) -> Opened {
    let mut opened = demo::open(DemoWeek::Full);
    opened.diary = Arc::new(Diary {
        records,
        ..Diary::default()
    });
    opened.look_back(None);
    opened
}

fn parts(volumes: &Volumes) -> [i64; 7] {
    let own = [
        volumes.excavation,
        volumes.base_concrete,
        volumes.type1,
        volumes.mortar,
        volumes.surround_concrete,
        volumes.topsoil,
        volumes.surfacing,
    ];
    own.map(|volume| volume.mm3())
}

/// Whatever was done last, what was done and what is left are the whole job, at every pace.
#[test]
fn what_was_done_and_what_is_left_are_the_whole_job() {
    let whole = demo::open(DemoWeek::Full).prepared;
    let mut begun = 0;
    for last in [
        Stage::Dig,
        Stage::Base,
        Stage::Build,
        Stage::Surround,
        Stage::Surface,
    ] {
        let jobs = whole.programme.jobs.iter();
        let records = jobs.map(|job| record(&job.id, last, "2027-02-26T15:00:00"));
        let opened = looked_back(records.collect());
        let prepared = &opened.prepared;
        for at in 0..whole.works.len() {
            let Some((work, taken)) = whole.works[at]
                .as_deref()
                .zip(whole.take_offs[at].as_deref())
            else {
                continue;
            };
            let all: Vec<Stage> = work.stages.iter().map(|own| own.stage).collect();
            let done: Vec<Stage> = all.iter().copied().filter(|own| *own <= last).collect();
            let part = of_stages(taken, &all, &done);
            let left = prepared.left_of(at).unwrap();
            let sum = |one: [i64; 7], other: [i64; 7]| {
                std::array::from_fn::<i64, 7, _>(|at| one[at] + other[at])
            };
            assert_eq!(
                sum(parts(&part.volumes), parts(&left.volumes)),
                parts(&taken.volumes)
            );
            assert_eq!(part.sections + left.sections, taken.sections);
            for pace in 0..=prepared.paces.others().len() as u32 {
                let before = whole.work_at(at, pace).unwrap_or(work);
                let now = prepared.work_at(at, pace).unwrap();
                let tail = before.stages.len() - now.stages.len();
                assert_eq!(now.stages[..], before.stages[tail..]);
                assert_eq!(tail, done.len());
            }
            begun += 1;
        }
    }
    assert!(begun > 300, "only {begun} were begun");
}

#[test]
fn what_is_left_is_all_that_is_ordered_and_carried() {
    let whole = demo::open(DemoWeek::Full);
    let first = whole.prepared.programme.jobs[0].id.clone();
    let opened = looked_back(vec![record(&first, Stage::Base, "2027-02-26T15:00:00")]);
    let at = opened.prepared.index_of(&first).unwrap();
    let ordered = |opened: &Opened| {
        let report = totals(opened, None, OrderBy::Week, false).unwrap();
        serde_json::to_value(report).unwrap()
    };
    assert_ne!(ordered(&opened), ordered(&whole));
    // Nothing is ordered for what is over.
    let jobs = whole.prepared.programme.jobs.iter();
    let over = jobs.map(|job| record(&job.id, Stage::Reopen, "2027-02-26T15:00:00"));
    assert_eq!(looked_back(over.collect()).prepared.all_left().count(), 0);
    let burden = |opened: &Opened| crate::limits::burden(&opened.prepared, at);
    let (less, more) = (burden(&opened), burden(&whole));
    assert!(less.out_kg > 0 && less.out_kg < more.out_kg);
    assert!(less.back_kg == 0 && more.back_kg > 0, "the spoil is gone");
    // The others are untouched, and taken back it is whole again.
    for other in (0..opened.prepared.works.len()).filter(|other| *other != at) {
        assert_eq!(opened.prepared.works[other], whole.prepared.works[other]);
    }
    let mut back = opened.clone();
    back.diary = Arc::default();
    back.look_back(None);
    assert_eq!(ordered(&back), ordered(&whole));
    assert_eq!(back.prepared.works, whole.prepared.works);
}

/// Own arithmetic: a base that cures for ten hours at 20 C, placed a minute before the week begins, takes
/// as much longer as the coldest day since ages it slower; the week's first morning is before that.
#[test]
fn nobody_goes_on_before_what_was_placed_is_ready() {
    let mut programme = demo::open(DemoWeek::Full)
        .prepared
        .programme
        .as_ref()
        .clone();
    let key = "wait.base_cure";
    let row = gangday_calc::shipped_materials().get(key).unwrap().clone();
    let slow = gangday_model::ParameterTable::new([gangday_model::Parameter {
        value: 600.0,
        ..row
    }]);
    programme.materials = programme.materials.overlaid(&slow);
    let (job, first) = (programme.jobs[0].id.clone(), programme.week.first_day);
    let whole = Prepared::new(programme);
    let eve = first.pred_opt().unwrap();
    let at = eve.and_hms_opt(23, 59, 0).unwrap();
    let stage = Stage::Base;
    let begun = begun_before(&whole, Before::from([(job.clone(), Last { stage, at })]));
    let week = &whole.programme.week;
    let ages = gangday_calc::equivalent_age_factor(week.celsius_on(first), 20.0, 5_000.0);
    let ready = at + TimeDelta::minutes((600.0 / ages).ceil() as i64);
    let reckoned = begun.begun[0].as_ref().unwrap().ready;
    // The one minute of the day before may be worth somewhat more.
    assert!(
        (reckoned - ready).abs() <= TimeDelta::minutes(1),
        "{reckoned}, not {ready}"
    );
    let ready = reckoned;
    assert!(ready > first.and_hms_opt(12, 0, 0).unwrap() && ready.date() == first);
    let days: Vec<bool> = week
        .calendar_days()
        .map(|day| begun.is_ready_on(0, day))
        .collect();
    assert_eq!(
        (days[0], &days[1..]),
        (false, &vec![true; days.len() - 1][..])
    );
    assert_eq!(begun.not_ready(0), None);
    // Where its own dates leave the first day only, it says why nobody comes.
    let mut jobs = begun.programme.jobs.clone();
    jobs[0].latest = Some(first);
    let reason = begun.with_jobs(jobs).not_ready(0).unwrap();
    assert_eq!(reason.code, "U-READY");
    assert!(
        reason.text.contains(&ready.format("%H:%M").to_string()),
        "{}",
        reason.text
    );
}

/// The colder, the later; and where it was too cold nothing ages, and that is told.
#[test]
fn cold_never_makes_it_ready_sooner() {
    let mut programme = demo::open(DemoWeek::Full)
        .prepared
        .programme
        .as_ref()
        .clone();
    let (job, first) = (programme.jobs[0].id.clone(), programme.week.first_day);
    let friday = first - TimeDelta::days(3);
    let at = friday.and_hms_opt(15, 0, 0).unwrap();
    let stage = Stage::Base;
    let ready = |programme: &gangday_model::Programme| {
        let whole = Prepared::new(programme.clone());
        let begun = begun_before(&whole, Before::from([(job.clone(), Last { stage, at })]));
        let told = begun
            .findings()
            .iter()
            .find(|one| one.code == "J-BEGUN")
            .unwrap()
            .remedy
            .clone();
        let own = begun.begun[0].as_ref().unwrap();
        (own.ready, own.cold, told.contains("too cold on"))
    };
    let mut before = at;
    for celsius in [20.0, 10.0, 5.0] {
        let stated = serde_json::json!({friday.to_string(): celsius});
        programme
            .week
            .extra
            .insert("temperatures".to_owned(), stated);
        let (now, cold, told) = ready(&programme);
        assert!(now > before && cold.is_none() && !told, "{celsius}: {now}");
        before = now;
    }
    for celsius in [4.9, 0.0, -12.0] {
        let stated = serde_json::json!({friday.to_string(): celsius});
        programme
            .week
            .extra
            .insert("temperatures".to_owned(), stated);
        let (now, cold, told) = ready(&programme);
        assert_eq!((cold, told), (Some(friday), true));
        // Nothing has aged before midnight.
        assert!(
            now > friday.succ_opt().unwrap().and_time(NaiveTime::MIN),
            "{celsius}: {now}"
        );
    }
}

/// The hold before traffic is 60 minutes at any temperature, in the coldest winter as well.
#[test]
fn the_hold_before_traffic_is_as_long_in_the_cold() {
    let mut programme = demo::open(DemoWeek::Full)
        .prepared
        .programme
        .as_ref()
        .clone();
    let friday = programme.week.first_day - TimeDelta::days(3);
    let days = friday.iter_days().take(4);
    let cold: serde_json::Map<_, _> = days
        .map(|day| (day.to_string(), serde_json::json!(-5)))
        .collect();
    programme
        .week
        .extra
        .insert("temperatures".to_owned(), cold.into());
    let whole = Prepared::new(programme);
    let surfaced = |at: &usize| {
        let work = whole.works[*at].as_deref();
        work.is_some_and(|work| work.stages.iter().any(|own| own.stage == Stage::Surface))
    };
    let at = (0..whole.works.len()).find(surfaced).unwrap();
    let last = Last {
        stage: Stage::Surface,
        at: friday.and_hms_opt(15, 0, 0).unwrap(),
    };
    let job = whole.programme.jobs[at].id.clone();
    let begun = begun_before(&whole, Before::from([(job, last)]));
    let own = begun.begun[at].as_ref().unwrap();
    assert_eq!(
        (own.ready, own.cold),
        (last.at + TimeDelta::minutes(60), None)
    );
    let left: Vec<Stage> = begun.works[at]
        .as_ref()
        .unwrap()
        .stages
        .iter()
        .map(|own| own.stage)
        .collect();
    assert_eq!(left, [Stage::Reopen]);
}

#[test]
fn what_a_later_day_of_the_week_says_is_no_work_of_before() {
    let whole = demo::open(DemoWeek::Full).prepared;
    let job = whole.programme.jobs[0].id.clone();
    let first = whole.programme.week.first_day.and_hms_opt(9, 0, 0).unwrap();
    let within = record(&job, Stage::Dig, &first.format("%FT%T").to_string());
    let all_done = record(&job, Stage::Reopen, "2027-02-26T15:00:00");
    for record in [within, all_done] {
        let opened = looked_back(vec![record]);
        assert!(opened.prepared.begun.iter().all(Option::is_none));
        assert_eq!(opened.prepared.works, whole.works);
    }
}
