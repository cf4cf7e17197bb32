//! What `check` and `verify` answer.

use std::collections::HashSet;

use gangday_calc::least_celsius;
use gangday_model::{
    Barred, Costs, Finding, Gang, JobId, JobWork, LonLat, Plan, Route, Seconds, WaitKind,
};
use gangday_planner::checker::{self, Brief, Curing, Exposure, Law, Limits, Material, Paced};
use schemars::JsonSchema;
use serde::Serialize;

use crate::closures::Public;
use crate::limits::{DayLimits, burdens, gaps};
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::pricing::prices;
use crate::recorded::as_it_went;
use crate::refusal::views;
use crate::view::FindingView;
use crate::{attributions, clashes, closures, gang_days, nights, over, rates, words};

/// What reading a programme, or holding a plan to the rules, found.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Report {
    /// Whether there is no fault.
    pub sound: bool,
    /// One line.
    pub summary: String,
    /// Who is to be named for the data, if anybody is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attribution: Option<String>,
    /// Everything found, the gravest first.
    pub findings: Vec<FindingView>,
}

/// Reads everything and lists what is wrong.
#[must_use]
pub fn check(opened: &Opened) -> Report {
    let programme = &opened.prepared.programme;
    let counts = [
        words::count(programme.jobs.len(), "sound job", "sound jobs"),
        words::count(programme.streets.len(), "street", "streets"),
        words::count(programme.gangs.len(), "gang", "gangs"),
    ];
    report(opened, &opened.findings(), &counts.join(", "))
}

/// Holds a plan to every rule, by a checker that shares nothing with the search; what somebody
/// should look at in its closures comes with it. Done and locked visits of a plan that was issued
/// earlier, if one is given, have to be where they were.
#[must_use]
pub fn verify(opened: &Opened, plan: &Plan, issued: Option<&Plan>) -> Report {
    let public = closures::of_plan(&opened.prepared, plan);
    let issued = issued.map(|issued| as_it_went(&opened.prepared, &opened.diary, issued));
    let issued = issued.as_ref();
    let routes = words::count(plan.routes.len(), "gang-day", "gang-days");
    let left = words::count(
        over::how_many_left_out(plan),
        "job not planned",
        "jobs not planned",
    );
    report(
        opened,
        &to_look_at(opened, plan, issued, &public),
        &format!("{routes}, {left}"),
    )
}

fn to_look_at(
    opened: &Opened,
    plan: &Plan,
    issued: Option<&Plan>,
    public: &Public,
) -> Vec<Finding> {
    let mut found = broken(opened, plan, issued);
    found.extend(gang_days::health(&opened.prepared, plan));
    found.extend(nights::left_open(plan));
    found.extend(public.findings.iter().cloned());
    found
}

/// What somebody should look at before a plan goes out: broken rules, and closures that don't fit
/// their streets.
#[must_use]
pub fn look_over(opened: &Opened, plan: &Plan, public: &Public) -> Report {
    report(opened, &to_look_at(opened, plan, None, public), "The plan")
}

/// Every broken rule of a plan.
#[must_use]
pub fn broken_rules(opened: &Opened, plan: &Plan) -> Vec<Finding> {
    broken(opened, plan, None)
}

/// What a plan costs by its visits and times, where those are not what the search would make of them.
#[must_use]
pub fn costs_as_it_stands(opened: &Opened, plan: &Plan) -> Option<Costs> {
    briefed(opened, plan, None, |brief| checker::costs(brief, plan))
}

fn broken(opened: &Opened, plan: &Plan, issued: Option<&Plan>) -> Vec<Finding> {
    briefed(opened, plan, issued, |brief| checker::verify(brief, plan))
}

/// Asks the checker something of a plan.
fn briefed<T>(
    opened: &Opened,
    plan: &Plan,
    issued: Option<&Plan>,
    ask: impl FnOnce(&Brief<'_>) -> T,
) -> T {
    let prepared = &opened.prepared;
    let clashing = clashes::barred(prepared);
    let barred = barred(prepared);
    let refused = opened.refused_jobs();
    let works: Vec<JobWork> = prepared
        .works
        .iter()
        .flatten()
        .map(|one| JobWork::clone(one))
        .collect();
    // Plain Dijkstra, not the method that the plan was made by.
    let travel = |gang: &Gang, hour: u32, from: LonLat, to: LonLat| {
        let factor = prepared.journey_factors(gang)[hour as usize % 24];
        prepared.travel.time_plainly(factor, from, to)
    };
    let limits = DayLimits::of(prepared);
    let (burdens, gaps) = (burdens(prepared), gaps(prepared));
    let exposure = |route: &Route| gang_days::exposure(prepared, route);
    let exposed: Exposure<'_> = &exposure;
    let before = prepared.placed_before();
    let open: Vec<JobId> = prepared.past.open.iter().cloned().collect();
    let brief = Brief {
        limits: Limits {
            burdens: &burdens,
            tipping: limits.tipping,
            reloading: limits.reloading,
            rest: limits.rest,
            driving: Some(limits.driving),
            duty: Some(limits.duty),
            vibration: limits.vibration.map(|(limit, _)| (exposed, limit)),
            gaps: &gaps,
            before: &before,
            open: &open,
            night: Some(rates::pence(&prepared.rates, "rate.night")),
            clashes: &clashing,
            barred: &barred,
            issued,
            prices: Some(&prices(prepared, issued, &over::recorded(opened, plan))),
        },
        programme: &prepared.programme,
        works: &works,
        paced: &paced(prepared, plan),
        curing: &curing(prepared),
        refused: &refused,
        travel: &travel,
        load: Seconds::from_minutes(i64::from(prepared.load_minutes())),
        unload: Seconds::from_minutes(i64::from(prepared.unload_minutes())),
    };
    ask(&brief)
}

/// How what is placed ages, and what cold it bears: figures only, which the checker reckons with itself.
fn curing(prepared: &Prepared) -> Curing {
    let figures = &prepared.materials;
    let value = |key: &str| figures.value(key).unwrap_or(0.0);
    let kinds = [
        (WaitKind::BaseCure, "wait.base_cure"),
        (WaitKind::MortarSet, "wait.mortar_set"),
        (WaitKind::InitialSet, "wait.initial_set"),
        (WaitKind::Hold, "wait.hold"),
    ];
    let material = |(kind, key)| Material {
        kind,
        minutes: value(key),
        least_celsius: least_celsius(figures, kind),
    };
    Curing {
        materials: kinds.map(material).to_vec(),
        reference_c: value("wait.reference_temperature"),
        law: if value("wait.maturity") > 0.0 {
            Law::Datum(value("wait.datum_temperature"))
        } else {
            Law::Arrhenius(value("wait.activation_e_over_r"))
        },
    }
}

/// When each job's street bars it.
fn barred(prepared: &Prepared) -> Vec<(JobId, Barred)> {
    let jobs = prepared.programme.jobs.iter().enumerate();
    jobs.map(|(at, job)| (job.id.clone(), closures::barred(prepared, at)))
        .collect()
}

/// The stages of every planned job as its gang does them on its date.
fn paced(prepared: &Prepared, plan: &Plan) -> Vec<Paced> {
    let visits = plan.routes.iter().flat_map(|route| {
        let jobs: HashSet<&JobId> = route.visits.iter().map(|visit| &visit.job).collect();
        jobs.into_iter().map(move |job| (route, job))
    });
    visits
        .filter_map(|(route, job)| {
            let work = prepared.work_on(job, &route.gang, route.date)?;
            Some(Paced {
                gang: route.gang.clone(),
                date: route.date,
                work: work.clone(),
            })
        })
        .collect()
}

fn report(opened: &Opened, findings: &[Finding], what: &str) -> Report {
    let faults = findings.iter().filter(|finding| finding.is_fault()).count();
    let others = findings.len() - faults;
    let faults_in_words = words::count(faults, "fault", "faults");
    let others = words::count(others, "warning or note", "warnings and notes");
    Report {
        sound: faults == 0,
        summary: format!("{what}: {faults_in_words}, {others}"),
        attribution: attributions::in_one_line(&opened.prepared),
        findings: views(findings),
    }
}
