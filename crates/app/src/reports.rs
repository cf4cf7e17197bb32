//! What `check` and `verify` answer.

use gangday_model::{Finding, LonLat, Plan};
use gangday_planner::checker::{Brief, verify as hold_to_the_rules};
use schemars::JsonSchema;
use serde::Serialize;

use crate::opened::Opened;
use crate::refusal::views;
use crate::view::FindingView;
use crate::{attributions, closures, words};
use gangday_model::{JobWork, Seconds};

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
/// should look at in its closures comes with it.
#[must_use]
pub fn verify(opened: &Opened, plan: &Plan) -> Report {
    let routes = words::count(plan.routes.len(), "gang-day", "gang-days");
    let left = words::count(plan.unplanned.len(), "job not planned", "jobs not planned");
    report(
        opened,
        &to_look_at(opened, plan),
        &format!("{routes}, {left}"),
    )
}

fn to_look_at(opened: &Opened, plan: &Plan) -> Vec<Finding> {
    let mut found = broken_rules(opened, plan);
    found.extend(closures::of_plan(&opened.prepared, plan).findings);
    found
}

/// What somebody should look at before a plan goes out: broken rules, and closures that don't fit
/// their streets.
#[must_use]
pub fn look_over(opened: &Opened, plan: &Plan) -> Report {
    report(opened, &to_look_at(opened, plan), "The plan")
}

/// Every broken rule of a plan.
#[must_use]
pub fn broken_rules(opened: &Opened, plan: &Plan) -> Vec<Finding> {
    let prepared = &opened.prepared;
    let refused = opened.refused_jobs();
    let works: Vec<JobWork> = prepared.works.iter().flatten().cloned().collect();
    let travel = |from: LonLat, to: LonLat| prepared.travel_time(from, to);
    let brief = Brief {
        programme: &prepared.programme,
        works: &works,
        refused: &refused,
        travel: &travel,
        load: Seconds::from_minutes(i64::from(prepared.load_minutes())),
        unload: Seconds::from_minutes(i64::from(prepared.unload_minutes())),
    };
    hold_to_the_rules(&brief, plan)
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
