//! A planned job has each of its stages once, and no other.

use gangday_model::{Finding, Visit};

use super::case::{Case, of_visit};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits, work) in case.worked() {
        let route = visits[0].0;
        for stage in &work.stages {
            let times = visits
                .iter()
                .filter(|(_, visit)| visit.stage == stage.stage)
                .count();
            if times != 1 {
                let text = format!("stage {:?} is planned {times} times", stage.stage);
                let remedy = "plan every stage once";
                found.push(of_visit("R-STAGES", route, id, text, remedy));
            }
        }
        let own = |visit: &Visit| work.stages.iter().any(|stage| stage.stage == visit.stage);
        for (route, visit) in visits.iter().filter(|(_, visit)| !own(visit)) {
            let text = format!("stage {:?} is planned, but the job has none", visit.stage);
            found.push(of_visit("R-STAGES", route, id, text, "take the stage out"));
        }
    }
}
