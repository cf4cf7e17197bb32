//! Work that went as it was planned: every stage of it that is not recorded yet, done when the plan has it end.

use std::collections::{HashMap, HashSet};

use chrono::NaiveDate;
use gangday_model::{JobId, Plan, Route, Stage, Visit};

use crate::columns::route_key;
use crate::credible::refuse_out_of_turn;
use crate::diary::Record;
use crate::edits::some;
use crate::opened::Opened;
use crate::view::{PlannedWork, Refusal};
use crate::words;

/// What is to be recorded; never nothing.
#[derive(Debug)]
pub struct AsPlanned {
    /// What the step is called: `record 6 jobs as done as planned`.
    pub what: String,
    /// The records, in the order of the plan.
    pub records: Vec<Record>,
    /// How many of the jobs that were asked for have no place in the plan.
    nowhere: usize,
}

impl AsPlanned {
    /// The jobs that they are of, each once, in the order of the plan.
    pub fn jobs(&self) -> Vec<String> {
        let mut seen = HashSet::new();
        let jobs = self.records.iter().map(|record| &record.job);
        let jobs = jobs.filter(|job| seen.insert(*job));
        jobs.map(ToString::to_string).collect()
    }

    /// How many stages of how many jobs.
    pub fn told(&self) -> String {
        let jobs = self.jobs();
        let stages = words::count(self.records.len(), "stage", "stages");
        let jobs = some(&jobs);
        let rest = match self.records.len() {
            1 => "is recorded as done at its planned time",
            _ => "are recorded as done at their planned times",
        };
        let nowhere = match self.nowhere {
            0 => String::new(),
            1 => " 1 job is not in the plan; nothing of it is recorded.".to_owned(),
            many => {
                let many = words::count(many, "job", "jobs");
                format!(" {many} are not in the plan; nothing of them is recorded.")
            }
        };
        format!("{stages} of {jobs} {rest}.{nowhere}")
    }
}

/// What is left to record of some work, and when the plan has each stage of it end.
///
/// # Errors
/// Where none of it is planned, where nothing is left to record, and where a stage that was recorded
/// doesn't go with when another is planned.
pub fn of(opened: &Opened, plan: &Plan, work: &PlannedWork) -> Result<AsPlanned, Refusal> {
    let (visits, name, nowhere) = match work {
        PlannedWork::Jobs { ids } => of_jobs(plan, ids)?,
        PlannedWork::GangDay { key } => of_gang_day(opened, plan, key)?,
        PlannedWork::Day { date } => of_day(plan, date)?,
    };
    let mut found = AsPlanned {
        what: String::new(),
        records: left_of(opened, &visits)?,
        nowhere,
    };
    if found.records.is_empty() {
        return Err(nothing_left(work, &name));
    }
    found.what = match work {
        PlannedWork::Jobs { .. } => {
            format!("record {} as done as planned", some(&found.jobs()))
        }
        PlannedWork::GangDay { .. } | PlannedWork::Day { .. } => {
            format!("record {name}, as done as planned")
        }
    };
    Ok(found)
}

/// What of some visits is not recorded yet, each done when it is planned to end.
///
/// # Errors
/// Where a stage that was recorded doesn't go with when another is planned.
pub fn left_of(opened: &Opened, visits: &[&Visit]) -> Result<Vec<Record>, Refusal> {
    let known = known(opened, visits);
    let is_left = |visit: &&&Visit| {
        let own = known.get(&visit.job).into_iter().flatten();
        own.copied().all(|record| record.stage != visit.stage)
    };
    let left = visits.iter().filter(is_left);
    let records: Vec<Record> = left.map(|visit| record(visit)).collect();
    for record in &records {
        let own = known.get(&record.job).into_iter().flatten().copied();
        refuse_out_of_turn(own, (&record.job, record.stage), record.at)?;
    }
    Ok(records)
}

/// The visits of some work, what it is called, and how many jobs of it have no place in the plan.
type Found<'a> = (Vec<&'a Visit>, String, usize);

fn of_jobs<'a>(plan: &'a Plan, ids: &[String]) -> Result<Found<'a>, Refusal> {
    let asked: HashSet<&str> = ids.iter().map(String::as_str).collect();
    let visits = plan.visits();
    let own: Vec<&Visit> = visits
        .filter(|visit| asked.contains(visit.job.as_str()))
        .collect();
    let there: HashSet<&JobId> = own.iter().map(|visit| &visit.job).collect();
    if there.is_empty() {
        let text = match ids {
            [one] => format!("{one} is not in the plan, so no time is planned to record it at."),
            _ => "None of these jobs is in the plan, so no time is planned to record them at."
                .to_owned(),
        };
        return Err(Refusal::coded("D-NONE", &text));
    }
    let nowhere = asked.len() - there.len();
    let there: Vec<String> = there.iter().map(ToString::to_string).collect();
    Ok((own, some(&there), nowhere))
}

fn of_gang_day<'a>(opened: &Opened, plan: &'a Plan, key: &str) -> Result<Found<'a>, Refusal> {
    let mut routes = plan.routes.iter();
    let route = routes.find(|route| route_key(route) == key && !route.visits.is_empty());
    let none = || {
        Refusal::coded(
            "D-NONE",
            &format!(
                "No work is planned for the gang-day {}.",
                called(opened, key)
            ),
        )
    };
    let route = route.ok_or_else(none)?;
    Ok((route.visits.iter().collect(), name(opened, route), 0))
}

fn of_day<'a>(plan: &'a Plan, date: &str) -> Result<Found<'a>, Refusal> {
    let none = |on: &str| Refusal::coded("D-NONE", &format!("No work is planned on {on}."));
    let day: NaiveDate = date.parse().map_err(|_| none(date))?;
    let routes = plan.routes.iter().filter(|route| route.date == day);
    let visits: Vec<&Visit> = routes.flat_map(|route| &route.visits).collect();
    match visits.is_empty() {
        true => Err(none(&words::day_of_year(day))),
        false => Ok((visits, words::day(day), 0)),
    }
}

/// A gang-day by the name of its gang and its day, `Oak, Mon 1 Mar 2027`; what is no gang-day's key, as it is.
fn called(opened: &Opened, key: &str) -> String {
    let day = key.rsplit_once('@');
    let day = day.and_then(|(gang, date)| Some((gang, date.parse().ok()?)));
    day.map_or_else(
        || key.to_owned(),
        |(gang, date)| {
            let gang = gang.into();
            let name = opened.prepared.programme.gang_name(&gang);
            format!("{name}, {}", words::day_of_year(date))
        },
    )
}

/// `Oak, Mon 1 Mar`.
fn name(opened: &Opened, route: &Route) -> String {
    let gang = opened.prepared.programme.gang_name(&route.gang);
    format!("{gang}, {}", words::day(route.date))
}

/// What is recorded of these jobs already.
fn known<'a>(opened: &'a Opened, visits: &[&Visit]) -> HashMap<&'a JobId, Vec<&'a Record>> {
    let jobs: HashSet<&JobId> = visits.iter().map(|visit| &visit.job).collect();
    let mut known: HashMap<&JobId, Vec<&Record>> = HashMap::new();
    let records = opened.diary.records.iter();
    for record in records.filter(|record| jobs.contains(&record.job)) {
        known.entry(&record.job).or_default().push(record);
    }
    known
}

fn record(visit: &Visit) -> Record {
    let (job, stage): (JobId, Stage) = (visit.job.clone(), visit.stage);
    let at = visit.finish;
    let due = Some(at);
    Record {
        job,
        stage,
        at,
        due,
    }
}

fn nothing_left(work: &PlannedWork, name: &str) -> Refusal {
    let which = match work {
        PlannedWork::Jobs { ids } if ids.len() > 1 => "planned stage of these jobs".to_owned(),
        PlannedWork::Jobs { .. } => format!("planned stage of {name}"),
        PlannedWork::GangDay { .. } | PlannedWork::Day { .. } => {
            format!("stage planned for {name},")
        }
    };
    Refusal::coded(
        "D-NOTHING",
        &format!("Nothing is left to record: every {which} is recorded as done already."),
    )
}
