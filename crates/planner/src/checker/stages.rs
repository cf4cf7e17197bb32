//! A planned job has each of its stages once, and no other; one that is said to be left unfinished has those that are
//! done.

use gangday_model::{Finding, JobId, JobWork, Route, Visit};

use super::case::{Case, last_done};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits, work) in case.worked() {
        let route = visits[0].0;
        let unfinished = case.plan.unfinished.iter().any(|one| one.job == *id);
        let work = match unfinished {
            true => done(work, visits),
            false => work.clone(),
        };
        let is_more = |visit: &Visit| work.stages.iter().all(|own| own.stage != visit.stage);
        if unfinished && visits.iter().any(|(_, visit)| is_more(visit)) {
            let text = "it is said to be left unfinished, and more of it is planned than was done";
            let remedy = "take it off that list, or out of the gang-day what is not done";
            found.push(case.of_visit("R-STAGES", route, id, text, remedy));
        }
        each_once(case, &work, (id, visits), found);
    }
}

/// The stages up to the last one that was done.
fn done(work: &JobWork, visits: &[(&Route, &Visit)]) -> JobWork {
    let last = last_done(visits);
    let mut work = work.clone();
    work.stages.retain(|own| Some(own.stage) <= last);
    work
}

fn each_once(
    case: &Case<'_>,
    work: &JobWork,
    (id, visits): (&JobId, &[(&Route, &Visit)]),
    found: &mut Vec<Finding>,
) {
    let route = visits[0].0;
    for stage in &work.stages {
        let times = visits
            .iter()
            .filter(|(_, visit)| visit.stage == stage.stage)
            .count();
        if times != 1 {
            let text = format!("stage {:?} is planned {times} times", stage.stage);
            let remedy = "plan every stage once";
            found.push(case.of_visit("R-STAGES", route, id, text, remedy));
        }
    }
    let own = |visit: &Visit| work.stages.iter().any(|stage| stage.stage == visit.stage);
    for (route, visit) in visits.iter().filter(|(_, visit)| !own(visit)) {
        let text = format!("stage {:?} is planned, but the job has none", visit.stage);
        found.push(case.of_visit("R-STAGES", route, id, text, "take the stage out"));
    }
}
