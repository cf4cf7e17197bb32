//! Every stage lasts exactly as long as it takes.

use gangday_model::Finding;

use super::case::{Case, minutes, span};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits, work) in case.worked() {
        for (route, visit) in visits {
            let work = case.work_on(id, route).unwrap_or(work);
            let Some(stage) = work.stages.iter().find(|stage| stage.stage == visit.stage) else {
                continue;
            };
            let planned = visit.finish - visit.start;
            if planned != span(stage.work) {
                let (is, takes) = (minutes(planned), stage.work.minutes_up());
                let text = format!("{:?} is given {is} min, but takes {takes}", visit.stage);
                let remedy = format!("give it {takes} min");
                found.push(case.of_visit("R-LENGTH", route, id, text, remedy));
            }
        }
    }
}
