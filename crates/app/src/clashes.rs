//! Clashes as the planner takes them: which two jobs bar one another, and which only cost.
//!
//! Two jobs that one gang may have at once under one set-up are left to it: whether they clash is
//! known only when it is known who has them, and then it is a finding.

use gangday_model::{ClashPair, ClashWeight, JobId};
use gangday_planner::Clash;

use crate::prepared::Prepared;

/// The clashes between these jobs, each job a task in this order.
pub fn of_tasks(prepared: &Prepared, jobs: &[usize]) -> Vec<Clash> {
    let mut tasks: Vec<Option<u32>> = vec![None; prepared.programme.jobs.len()];
    for (task, at) in (0..).zip(jobs) {
        tasks[*at] = Some(task);
    }
    let clash = |pair: &ClashPair| {
        Some(Clash {
            one: tasks[pair.one]?,
            other: tasks[pair.other]?,
            price: price(pair)?,
        })
    };
    taken(prepared).filter_map(clash).collect()
}

/// The jobs that may not be there at once, for the checker.
pub fn barred(prepared: &Prepared) -> Vec<(JobId, JobId)> {
    let pairs = taken(prepared).filter(|pair| pair.weight == ClashWeight::Barred);
    pairs.map(|pair| ids(prepared, pair)).collect()
}

/// The jobs whose closures at once have a price, or none where they may not be, for the checker.
pub fn taken_with_prices(prepared: &Prepared) -> impl Iterator<Item = (JobId, JobId, Option<i64>)> {
    taken(prepared).filter_map(|pair| {
        let (job, other) = ids(prepared, pair);
        Some((job, other, price(pair)?))
    })
}

/// The jobs, by place, whose closures at once have a price or may not be.
pub fn told_apart(prepared: &Prepared) -> impl Iterator<Item = (usize, usize)> {
    let priced = taken(prepared).filter(|pair| price(pair).is_some());
    priced.map(|pair| (pair.one, pair.other))
}

fn ids(prepared: &Prepared, pair: &ClashPair) -> (JobId, JobId) {
    let id = |at: usize| prepared.programme.jobs[at].id.clone();
    (id(pair.one), id(pair.other))
}

fn taken(prepared: &Prepared) -> impl Iterator<Item = &ClashPair> {
    let pairs = prepared.standing().pairs().iter();
    pairs.filter(|pair| !pair.one_gang_may)
}

/// What a clash costs: none where it may not be; nothing at all where it is only said.
const fn price(pair: &ClashPair) -> Option<Option<i64>> {
    match pair.weight {
        ClashWeight::Warned => None,
        ClashWeight::Priced => Some(Some(pair.pence)),
        ClashWeight::Barred => Some(None),
    }
}
