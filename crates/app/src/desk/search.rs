//! A search on a thread of its own, watched and stopped from elsewhere.

use std::collections::HashSet;
use std::sync::Arc;
use std::thread::{JoinHandle, spawn};

use chrono::NaiveDate;
use gangday_model::{JobId, Plan, Stage, Visit};

use super::doing::{Doing, idle};
use crate::opened::Opened;
use crate::planning::{PlanOptions, TITLE, make};
use crate::prepared::Prepared;
use crate::view::{ProgressView, Refusal};
use crate::{reports, words};

/// A search under way.
pub struct Search {
    doing: Arc<Doing>,
    prepared: Arc<Prepared>,
    thread: JoinHandle<Outcome>,
}

/// What came of a search.
pub struct Outcome {
    /// The plan to lay on the desk; none where the one that lay there is as good.
    pub plan: Option<Plan>,
    /// What is said of it; empty where there is nothing but that the week is planned.
    pub words: String,
}

/// What a search begins with.
pub struct Begun {
    /// The programme.
    pub opened: Opened,
    /// The plan on the desk, which what is found has to be better than, if there is one.
    pub stands: Option<Arc<Plan>>,
    /// Whether it is changed as little as its prices ask for, and not made from nothing.
    pub keep: bool,
}

impl Search {
    /// Begins.
    pub fn begin(begun: Begun, options: PlanOptions) -> Self {
        let prepared = Arc::clone(&begun.opened.prepared);
        let doing = Doing::begin(ProgressView {
            running: true,
            title: TITLE.to_owned(),
            words: "Sorting the jobs by what lies near".to_owned(),
            ..idle()
        });
        let seen = Arc::clone(&doing);
        let thread = spawn(move || {
            let stands = begun.stands.as_deref();
            let fixed = stands.and_then(fixed);
            let keep = if begun.keep { stands } else { fixed.as_ref() };
            let mut found = make(&begun.opened, &options, keep, &mut |progress| {
                seen.show(progress);
                !seen.is_stopped()
            });
            if !begun.keep {
                found.changes.clear();
            }
            better(&begun, found, seen.is_stopped())
        });
        Self {
            doing,
            prepared,
            thread,
        }
    }

    /// How far it is.
    pub fn progress(&self) -> ProgressView {
        self.doing.progress()
    }

    /// Asks it to end with the best so far; what is then still under way.
    pub fn stop(&self) -> Arc<Doing> {
        self.doing.stop();
        Arc::clone(&self.doing)
    }

    /// Whether its plan is there.
    pub fn has_ended(&self) -> bool {
        self.thread.is_finished()
    }

    /// What came of it, and what it was made for; waits for it.
    pub fn outcome(self) -> Result<(Arc<Prepared>, Outcome), Refusal> {
        let outcome = self.thread.join().map_err(|_| {
            Refusal::coded(
                "D-FAULT",
                "Planning ended in a fault of the program; the programme is as it was.",
            )
        })?;
        Ok((self.prepared, outcome))
    }
}

/// What of a plan stays although the week is made from nothing: the jobs that are done in part, or locked.
fn fixed(plan: &Plan) -> Option<Plan> {
    let visits = plan.visits().filter(|visit| visit.status.is_some());
    let staying: HashSet<&JobId> = visits.map(|visit| &visit.job).collect();
    let mut routes = plan.routes.clone();
    for route in &mut routes {
        route.visits.retain(|visit| staying.contains(&visit.job));
    }
    routes.retain(|route| !route.visits.is_empty());
    (!routes.is_empty()).then(|| Plan {
        routes,
        unplanned: Vec::new(),
        ..plan.clone()
    })
}

/// The plan that was found, unless the one on the desk is as good by the search's own order and breaks no
/// rule: nobody loses a better week by looking for another.
fn better(begun: &Begun, found: Plan, stopped: bool) -> Outcome {
    let stands = begun.stands.as_deref();
    let dropped = stands
        .map(|stands| dropped(stands, &found))
        .unwrap_or_default();
    if !dropped.is_empty() {
        return Outcome {
            plan: None,
            words: cannot_stand(&dropped),
        };
    }
    // What was changed since an earlier plan is no cost of the plan itself.
    let cost = |plan: &Plan| plan.costs.total_pence - plan.costs.changes_pence;
    let found_cost = match begun.keep {
        true => found.costs.total_pence,
        false => cost(&found),
    };
    let by = |stands: &Plan| found_cost - cost(stands);
    // What is begun is finished first, whatever that costs.
    let finishes = |stands: &Plan| found.unfinished.len() < stands.unfinished.len();
    let leaves = |stands: &Plan| found.unfinished.len() > stands.unfinished.len();
    let as_good = |stands: &&Plan| !finishes(stands) && (by(stands) >= 0 || leaves(stands));
    let sound = |stands: &&Plan| reports::broken_rules(&begun.opened, stands).is_empty();
    match stands.filter(as_good).filter(sound) {
        Some(stands) => Outcome {
            plan: None,
            words: kept(by(stands).max(0)),
        },
        None => Outcome {
            words: planned(begun, &found, stopped),
            plan: Some(found),
        },
    }
}

/// The jobs of which something is done or locked in a plan and is not there, on its day, in another.
fn dropped<'a>(stands: &'a Plan, found: &Plan) -> Vec<&'a JobId> {
    fn on_day(visit: &Visit) -> (&JobId, Stage, NaiveDate) {
        (&visit.job, visit.stage, visit.start.date())
    }
    let placed: HashSet<_> = found.visits().map(on_day).collect();
    let fixed = stands.visits().filter(|visit| visit.status.is_some());
    let mut dropped: Vec<&JobId> = fixed
        .filter(|visit| !placed.contains(&on_day(visit)))
        .map(|visit| &visit.job)
        .collect();
    dropped.sort();
    dropped.dedup();
    dropped
}

fn cannot_stand(jobs: &[&JobId]) -> String {
    const TOLD: usize = 5;
    let mut ids: Vec<&str> = jobs.iter().take(TOLD).map(|job| job.as_str()).collect();
    if jobs.len() > TOLD {
        ids.push("others");
    }
    let (are, they, them) = match jobs.len() {
        1 => ("is", "it", "it"),
        _ => ("are", "they", "them"),
    };
    format!(
        "The week is kept as it was: {} {are} done in part or locked where {they} can't be finished any more. Unlock \
         {them}, give the gang more time that day, or take away what stands in the way; then plan again.",
        ids.join(", ")
    )
}

fn planned(begun: &Begun, found: &Plan, stopped: bool) -> String {
    if !begun.keep {
        let words = "Stopped; the best plan found so far is on the desk.";
        return if stopped { words } else { "" }.to_owned();
    }
    let well = match stopped {
        true => ", as well as was found before it was stopped",
        false => "",
    };
    match found.changes.len() {
        0 => format!("The rest is planned again{well}; nothing had to change."),
        many => format!(
            "The rest is planned again{well}: {}, listed under Plans.",
            words::count(many, "change", "changes")
        ),
    }
}

fn kept(by: i64) -> String {
    if by == 0 {
        return "The week as it was is as good; it is kept.".to_owned();
    }
    format!(
        "The week as it was is better by {}; it is kept.",
        words::money(by)
    )
}
