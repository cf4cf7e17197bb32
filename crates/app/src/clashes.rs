//! Clashes as the planner takes them: which two jobs bar one another, and which only cost.
//!
//! Two jobs that one gang may have at once under one set-up are left to it: whether they clash is
//! known only when it is known who has them, and then it is a finding.

use std::collections::HashMap;

use gangday_model::{ClashPair, ClashWeight, JobId};
use gangday_planner::Clash;

use crate::prepared::Prepared;

/// The clashes between these jobs, each job a task in this order.
pub fn of_tasks(prepared: &Prepared, jobs: &[usize]) -> Vec<Clash> {
    let ids = jobs.iter().map(|at| &prepared.programme.jobs[*at].id);
    let tasks: HashMap<&JobId, u32> = ids.zip(0..).collect();
    let clash = |pair: &ClashPair| {
        Some(Clash {
            one: *tasks.get(&pair.job)?,
            other: *tasks.get(&pair.other)?,
            price: price(pair)?,
        })
    };
    taken(prepared).filter_map(clash).collect()
}

/// The jobs that may not be there at once, for the checker.
pub fn barred(prepared: &Prepared) -> Vec<(JobId, JobId)> {
    let pairs = taken(prepared).filter(|pair| pair.weight == ClashWeight::Barred);
    pairs
        .map(|pair| (pair.job.clone(), pair.other.clone()))
        .collect()
}

/// The jobs whose closures at once have a price, or none where they may not be, for the checker.
pub fn taken_with_prices(prepared: &Prepared) -> impl Iterator<Item = (JobId, JobId, Option<i64>)> {
    taken(prepared).filter_map(|pair| Some((pair.job.clone(), pair.other.clone(), price(pair)?)))
}

fn taken(prepared: &Prepared) -> impl Iterator<Item = &ClashPair> {
    let pairs = prepared.clash_pairs().iter();
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
