//! What gang-days place of the jobs that they visit.

use std::borrow::Cow;
use std::collections::HashSet;

use gangday_calc::of_stages;
use gangday_model::{JobId, Route, Stage, TakeOff};

use crate::columns::jobs_in_order;
use crate::prepared::Prepared;

/// A stage of a job.
type Placed<'a> = (&'a JobId, Stage);

/// The take-offs of the jobs in these routes, each once; of a job that is left over a night and not all
/// there, what is placed there.
pub fn planned<'a>(prepared: &'a Prepared, routes: &'a [Route]) -> Vec<Cow<'a, TakeOff>> {
    planned_first(prepared, routes, &mut HashSet::new())
}

/// The same but for stages that were seen before.
pub(super) fn planned_first<'a>(
    prepared: &'a Prepared,
    routes: &'a [Route],
    seen: &mut HashSet<Placed<'a>>,
) -> Vec<Cow<'a, TakeOff>> {
    let mut jobs: Vec<(&JobId, Vec<Stage>)> = Vec::new();
    let mut places = std::collections::HashMap::new();
    for route in routes {
        for job in jobs_in_order(route) {
            places.entry(job).or_insert_with(|| {
                jobs.push((job, Vec::new()));
                jobs.len() - 1
            });
        }
        for visit in &route.visits {
            if seen.insert((&visit.job, visit.stage)) {
                jobs[places[&visit.job]].1.push(visit.stage);
            }
        }
    }
    let own = jobs.iter().filter(|(_, stages)| !stages.is_empty());
    own.filter_map(|(job, stages)| placed(prepared, job, stages))
        .collect()
}

fn placed<'a>(prepared: &'a Prepared, job: &JobId, stages: &[Stage]) -> Option<Cow<'a, TakeOff>> {
    let at = prepared.index_of(job)?;
    let taken = prepared.left_of(at)?;
    let work = prepared.works[at].iter().flat_map(|work| &work.stages);
    let all: Vec<Stage> = work.map(|stage| stage.stage).collect();
    Some(if all.iter().all(|stage| stages.contains(stage)) {
        Cow::Borrowed(taken)
    } else {
        Cow::Owned(of_stages(taken, &all, stages))
    })
}
