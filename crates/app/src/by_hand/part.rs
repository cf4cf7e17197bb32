//! Some gang-days of a plan timed and priced anew, with no more of the programme than they need.

use std::collections::{BTreeSet, HashSet};

use gangday_model::{Costs, Gang, Job, JobId, Plan, Programme, Reason, Route};

use super::made::{Key, key};
use super::timed_anew;
use crate::prepared::Prepared;
use crate::{clashes, over, planning, pricing};

/// A plan with what it is for.
#[derive(Clone, Copy)]
pub struct Whole<'a> {
    /// The programme.
    pub prepared: &'a Prepared,
    /// The plan.
    pub plan: &'a Plan,
}

impl Whole<'_> {
    /// The street of a job, by its place among the programme's.
    fn street(&self, job: &JobId) -> Option<usize> {
        self.prepared.streets[self.prepared.index_of(job)?]
    }
}

/// The plan `now`, of which only gang-days with some of these jobs differ from `before`, with those timed and
/// priced anew as [`timed_anew`] does it with all. None where the plan before was timed in another way, or a job
/// of it is not there.
pub fn timed_in_part(
    before: Whole<'_>,
    now: Whole<'_>,
    jobs: &HashSet<&JobId>,
    reason: &Reason,
) -> Option<Plan> {
    let days = days(&[before.plan, now.plan], jobs);
    // What others lose by clashes with these is told by their own clashes with these alone.
    let (of_before, of_now) = (clashing(before, &days), clashing(now, &days));
    let days: BTreeSet<Key> = [days, of_before, of_now].into_iter().flatten().collect();
    let was = timed(before, &days, reason)?;
    let stated = before.plan.routes.iter();
    if !stated
        .filter(|route| days.contains(&key(route)))
        .eq(&was.routes)
    {
        return None;
    }
    let anew = timed(now, &days, reason)?;
    let mut plan = now.plan.clone();
    plan.routes.retain(|route| !days.contains(&key(route)));
    plan.routes.extend(anew.routes);
    plan.routes.sort_by_key(key);
    plan.unplanned.extend(anew.unplanned);
    plan.unplanned.sort_by(|a, b| a.job.cmp(&b.job));
    let planned = jobs_of(&plan.routes).collect();
    let left_out = pricing::left_out(now.prepared, &planned, &over::listed(now.plan));
    plan.costs = changed(&before.plan.costs, (&was.costs, &anew.costs), left_out);
    Some(plan.tidied())
}

fn jobs_of<'a>(routes: impl IntoIterator<Item = &'a Route>) -> impl Iterator<Item = &'a JobId> {
    routes
        .into_iter()
        .flat_map(|route| &route.visits)
        .map(|visit| &visit.job)
}

/// The gang-days that have some of these jobs, with those of the jobs that they leave over a night.
fn days(plans: &[&Plan], jobs: &HashSet<&JobId>) -> BTreeSet<Key> {
    let routes = || plans.iter().flat_map(|plan| &plan.routes);
    let mut days: BTreeSet<Key> = BTreeSet::new();
    let mut jobs = jobs.clone();
    loop {
        let with = |route: &&Route| jobs_of([*route]).any(|job| jobs.contains(job));
        let found: Vec<&Route> = routes().filter(with).collect();
        let known = days.len();
        days.extend(found.iter().map(|route| key(route)));
        if days.len() == known {
            return days;
        }
        jobs.extend(jobs_of(found));
    }
}

/// The other gang-days of which a closure may not be there at once with one of these, or only at a price.
fn clashing(of: Whole<'_>, days: &BTreeSet<Key>) -> BTreeSet<Key> {
    if days.is_empty() {
        return BTreeSet::new();
    }
    let jobs = of.prepared.programme.jobs.len();
    // By job: which gang-days have it, and whether one of these does.
    let mut routes: Vec<Vec<&Route>> = vec![Vec::new(); jobs];
    let mut is_here = vec![false; jobs];
    for route in &of.plan.routes {
        let here = days.contains(&key(route));
        for at in jobs_of([route]).filter_map(|job| of.prepared.index_of(job)) {
            routes[at].push(route);
            is_here[at] |= here;
        }
    }
    let pairs = clashes::told_apart(of.prepared);
    let met = pairs.filter(|(one, other)| is_here[*one] || is_here[*other]);
    let met = met.flat_map(|(one, other)| [one, other]);
    met.flat_map(|job| routes[job].iter().map(|route| key(route)))
        .collect()
}

/// These gang-days timed anew, as if there were no others; none where a job of theirs is not there.
fn timed(of: Whole<'_>, days: &BTreeSet<Key>, reason: &Reason) -> Option<Plan> {
    if days.is_empty() {
        return Some(Plan::default());
    }
    let routes = of.plan.routes.iter();
    let routes: Vec<Route> = routes
        .filter(|route| days.contains(&key(route)))
        .cloned()
        .collect();
    let ids: BTreeSet<&JobId> = jobs_of(&routes).collect();
    let job = |id: &&JobId| -> Option<Job> {
        let at = of.prepared.index_of(id)?;
        Some(of.prepared.programme.jobs[at].clone())
    };
    let jobs: Option<Vec<Job>> = ids.iter().map(job).collect();
    let streets: BTreeSet<usize> = ids.iter().filter_map(|id| of.street(id)).collect();
    // Nothing is copied of the many streets and gangs that are not asked for.
    let all = &*of.prepared.programme;
    let is_asked = |gang: &&Gang| routes.iter().any(|route| route.gang == gang.id);
    let programme = Programme {
        name: all.name.clone(),
        jobs: jobs?,
        streets: streets.iter().map(|at| all.streets[*at].clone()).collect(),
        gangs: all.gangs.iter().filter(is_asked).cloned().collect(),
        tips: all.tips.clone(),
        method: all.method.clone(),
        materials: all.materials.clone(),
        week: all.week.clone(),
    };
    let plan = Plan {
        routes,
        unfinished: of.plan.unfinished.clone(),
        ..Plan::default()
    };
    let plan = plan.tidied();
    let prepared = of.prepared.with_programme(programme);
    Some(timed_anew(&prepared, &plan, reason))
}

/// The costs with those of a part in the place of what they were.
fn changed(all: &Costs, (was, now): (&Costs, &Costs), left_out: i64) -> Costs {
    let mut costs = planning::parts(all);
    costs.take(&planning::parts(was));
    costs.add(&planning::parts(now));
    (costs.left_out, costs.changes) = (left_out, 0);
    planning::costs(&costs)
}
