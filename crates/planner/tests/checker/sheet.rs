//! One sound little plan, and ways to break it.

use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};
use gangday_model::{
    Barred, Costs, Finding, Gang, GangId, Hours, Job, JobId, JobWork, LonLat, ParameterTable, Plan,
    Position, Programme, Reason, Route, Seconds, Stage, StageWork, Unplanned, Visit, Wait,
    WaitKind, Week, Work,
};
use gangday_planner::checker::{
    Brief, Burden, Curing, Exposure, Gap, Law, Limits, Material, Paced, PlacedBefore, Prices,
    verify,
};
use gangday_planner::codes::CODES;

pub fn march(day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 3, day).expect("a day of March")
}

pub fn monday() -> NaiveDate {
    march(1)
}

pub fn clock(time: &str) -> NaiveTime {
    time.parse().expect("a time")
}

pub fn at(time: &str) -> NaiveDateTime {
    monday().and_time(clock(time))
}

pub fn hours(from: &str, until: &str) -> Hours {
    Hours {
        from: clock(from),
        until: clock(until),
    }
}

pub fn gang(id: &str) -> Gang {
    Gang {
        id: GangId::from(id),
        name: format!("Gang {id}"),
        depot: LonLat::new(0.0, 50.0),
        people: 3,
        tickets: vec!["street works".to_owned()],
        payload: None,
        volume_m3: None,
        shift: hours("07:30:00", "16:30:00"),
        overtime: Seconds::from_minutes(30),
        days: None,
        extra: serde_json::Map::new(),
    }
}

pub fn job(id: &str, lon: f64) -> Job {
    let mut job = Job::new(id, LonLat::new(lon, 50.0), Work::New, Position::Footway);
    job.tickets = vec!["street works".to_owned()];
    job
}

/// An hour each of digging and base, two hours' cure, an hour of building.
pub fn work(id: &str) -> JobWork {
    let hour = Seconds::from_minutes(60);
    let cure = Wait {
        kind: WaitKind::BaseCure,
        time: Seconds::from_minutes(120),
    };
    JobWork {
        job: JobId::from(id),
        parted: Vec::new(),
        stages: vec![
            StageWork {
                stage: Stage::Dig,
                work: hour,
                then: None,
            },
            StageWork {
                stage: Stage::Base,
                work: hour,
                then: Some(cure),
            },
            StageWork {
                stage: Stage::Build,
                work: hour,
                then: None,
            },
        ],
    }
}

pub struct Sheet {
    pub programme: Programme,
    pub works: Vec<JobWork>,
    /// Stages that a gang does at another pace on a date.
    pub paced: Vec<Paced>,
    /// Below this nothing is placed.
    pub least_celsius: Option<f64>,
    /// How long everything cures at 20 C, minutes.
    pub cure_min: f64,
    /// Jobs that reading had to refuse.
    pub refused: Vec<JobId>,
    /// Figures of the rules beyond order and times.
    pub burdens: Vec<Burden>,
    pub rest: Option<(Seconds, Seconds)>,
    pub driving: Option<Seconds>,
    pub duty: Option<(Seconds, Seconds)>,
    pub exposure: Option<f64>,
    pub clashes: Vec<(JobId, JobId)>,
    pub barred: Vec<(JobId, Barred)>,
    pub gaps: Vec<Gap>,
    pub before: Vec<PlacedBefore>,
    pub open: Vec<JobId>,
    /// What a night costs.
    pub night: Option<i64>,
    pub issued: Option<Plan>,
    /// In this hour of the day a journey takes twice as long.
    pub slow_hour: Option<u32>,
    /// What things cost; with none, costs only have to add up.
    pub prices: Option<Prices>,
    pub plan: Plan,
}

fn week() -> Week {
    Week {
        nation: gangday_model::Nation::England,
        first_day: monday(),
        days: 5,
        holidays: vec![march(5)],
        temperature_c: 10.0,
        today: None,
        rates: Vec::new(),
        nights: 0,
        over_weekend: false,
        plan_from: None,
        extra: serde_json::Map::new(),
    }
}

fn monday_route() -> Route {
    Route {
        gang: GangId::from("G1"),
        date: monday(),
        visits: vec![
            visit("A", Stage::Dig, ["08:00:00", "08:00:00", "09:00:00"]),
            visit("A", Stage::Base, ["09:00:00", "09:00:00", "10:00:00"]),
            visit("B", Stage::Dig, ["10:10:00", "10:10:00", "11:10:00"]),
            visit("B", Stage::Base, ["11:10:00", "11:10:00", "12:10:00"]),
            visit("A", Stage::Build, ["12:20:00", "12:30:00", "13:30:00"]),
            visit("B", Stage::Build, ["13:40:00", "14:10:00", "15:10:00"]),
        ],
        depart: at("07:50:00"),
        back: at("15:30:00"),
        halts: Vec::new(),
    }
}

/// Gang G1 on Monday: dig and pour at A, dig and pour at B, build at A, build at B. C is left out.
pub fn sound() -> Sheet {
    let programme = Programme {
        name: "Invented".to_owned(),
        jobs: vec![job("A", 0.1), job("B", 0.2), job("C", 0.3)],
        streets: Vec::new(),
        gangs: vec![gang("G1"), gang("G2")],
        tips: Vec::new(),
        method: ParameterTable::default(),
        materials: ParameterTable::default(),
        week: week(),
    };
    let reason = Reason {
        code: "U-FULL".to_owned(),
        text: "Every day is full.".to_owned(),
    };
    let costs = Costs {
        crew_pence: 700,
        travel_pence: 300,
        total_pence: 1_000,
        ..Costs::default()
    };
    let plan = Plan {
        routes: vec![monday_route()],
        unplanned: vec![Unplanned {
            job: JobId::from("C"),
            reasons: vec![reason],
        }],
        costs,
        ..Plan::default()
    };
    Sheet {
        programme,
        works: ["A", "B", "C"].map(work).to_vec(),
        paced: Vec::new(),
        least_celsius: Some(5.0),
        cure_min: 30.0,
        refused: Vec::new(),
        burdens: Vec::new(),
        rest: None,
        driving: None,
        duty: None,
        exposure: None,
        clashes: Vec::new(),
        barred: Vec::new(),
        gaps: Vec::new(),
        before: Vec::new(),
        open: Vec::new(),
        night: None,
        issued: None,
        slow_hour: None,
        prices: None,
        plan,
    }
}

pub fn visit(job: &str, stage: Stage, times: [&str; 3]) -> Visit {
    let [arrive, start, finish] = times.map(at);
    Visit {
        job: JobId::from(job),
        stage,
        arrive,
        start,
        finish,
        status: None,
    }
}

/// A hundredth of a degree of longitude takes a minute.
pub fn travel(from: LonLat, to: LonLat) -> Seconds {
    Seconds::from_minutes(((from.lon() - to.lon()).abs() * 100.0).round() as i64)
}

/// By Nurse and Saul over -10 C, so many minutes for each material at 20 C.
fn curing(minutes: f64, least_celsius: Option<f64>) -> Curing {
    let kinds = [
        WaitKind::BaseCure,
        WaitKind::MortarSet,
        WaitKind::InitialSet,
    ];
    let material = |kind| Material {
        kind,
        minutes,
        least_celsius,
    };
    Curing {
        materials: kinds.map(material).to_vec(),
        reference_c: 20.0,
        law: Law::Datum(-10.0),
    }
}

pub fn found(sheet: &Sheet) -> Vec<Finding> {
    let exposure = |_: &Route| sheet.exposure;
    let exposed: Exposure<'_> = &exposure;
    let brief = Brief {
        programme: &sheet.programme,
        works: &sheet.works,
        paced: &sheet.paced,
        curing: &curing(sheet.cure_min, sheet.least_celsius),
        refused: &sheet.refused,
        travel: &|_, hour, from, to| match sheet.slow_hour {
            Some(slow) if slow == hour => travel(from, to) + travel(from, to),
            _ => travel(from, to),
        },
        load: Seconds::from_minutes(20),
        unload: Seconds::from_minutes(10),
        limits: Limits {
            burdens: &sheet.burdens,
            tipping: Seconds::from_minutes(15),
            reloading: Seconds::from_minutes(20),
            rest: sheet.rest,
            driving: sheet.driving,
            duty: sheet.duty,
            vibration: sheet.exposure.is_some().then_some((exposed, 5.0)),
            clashes: &sheet.clashes,
            barred: &sheet.barred,
            gaps: &sheet.gaps,
            before: &sheet.before,
            open: &sheet.open,
            night: sheet.night,
            issued: sheet.issued.as_ref(),
            prices: sheet.prices.as_ref(),
        },
    };
    verify(&brief, &sheet.plan)
}

/// The codes found after breaking the sound plan like this, each once.
pub fn broken(how: impl FnOnce(&mut Sheet)) -> Vec<String> {
    let mut sheet = sound();
    how(&mut sheet);
    let found = found(&sheet);
    for finding in &found {
        assert!(finding.is_fault());
        is_in_words(&finding.text);
        assert!(
            finding.place.feature.is_some() && !finding.remedy.is_empty(),
            "{finding:?}"
        );
        assert!(
            CODES.iter().any(|(code, _)| *code == finding.code),
            "{}",
            finding.code
        );
    }
    let mut codes: Vec<String> = found.into_iter().map(|finding| finding.code).collect();
    codes.dedup();
    codes
}

/// Dates and gangs are told as people call them: `Gang G1 on Mon 1 Mar`.
fn is_in_words(text: &str) {
    let bare = text.replace("Gang G1", "").replace("Gang G2", "");
    let raw = ["2026-", "2027-", "G1", "G2"].map(|raw| bare.contains(raw));
    assert_eq!(raw, [false; 4], "{text}");
}

pub fn later(visit: &mut Visit, minutes: i64) {
    let span = TimeDelta::minutes(minutes);
    visit.arrive += span;
    visit.start += span;
    visit.finish += span;
}

pub fn on_date(sheet: &mut Sheet, date: NaiveDate) {
    let route = &mut sheet.plan.routes[0];
    let span = date - route.date;
    route.date = date;
    shift(route, span);
}

pub fn shift(route: &mut Route, span: TimeDelta) {
    for visit in &mut route.visits {
        later(visit, span.num_minutes());
    }
    route.depart += span;
    route.back += span;
}
