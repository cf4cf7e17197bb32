//! Jobs of an issued plan whose day the week has left behind, and that are not recorded as done: they stand as they
//! were issued, whatever is planned in the week on the desk.

use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::sync::Arc;

use chrono::NaiveDate;
use gangday_model::{GangId, JobId, Plan, Reason, Route, Unplanned, Visit};

use crate::changes::State;
use crate::diary::{Issue, Standing};
use crate::following::{BEGUN, no_bound, planned, since};
use crate::opened::Opened;
use crate::view::Refusal;
use crate::{as_planned, diary, over, planning, pricing, words};

/// The entries that count: the day of each is before the week on the desk.
pub fn of(opened: &Opened) -> impl Iterator<Item = &Standing> {
    let first = opened.prepared.programme.week.first_day;
    let all = opened.diary.standing.iter();
    all.filter(move |one| one.date < first)
}

/// Writes down what stands now that the week has moved on, and forgets what is done meanwhile.
pub fn note(before: &Opened, after: &mut State) {
    let opened = &after.opened;
    if opened.diary.lost {
        return;
    }
    let left = after.plan.as_deref().map(|plan| left_behind(opened, plan));
    let left = left.unwrap_or_default();
    if left.is_empty() && opened.diary.standing.is_empty() {
        return;
    }
    let issue = last_issue(before, opened, &left);
    // What was not done by the day from which was planned is not going to be done as it was issued.
    let was = &before.prepared.programme.week;
    let unfinished = after.plan.iter().flat_map(|plan| &plan.unfinished);
    let unfinished: HashSet<&JobId> = unfinished.map(|one| &one.job).collect();
    let to_come = left
        .iter()
        .filter(|(job, route)| !was.is_past(route.date) && !unfinished.contains(**job));
    let fresh = to_come.filter_map(|(job, route)| {
        let (gang, issued_as) = issued(opened, &issue?.plan, (job, route))?;
        Some(Standing {
            job: (*job).clone(),
            gang: gang.clone(),
            date: route.date,
            issued_as,
        })
    });
    let known = opened.diary.standing.iter();
    let known = known.filter(|one| !left.contains_key(&one.job)).cloned();
    let mut standing: Vec<Standing> = known.chain(fresh).collect();
    let done = over::done(opened);
    standing.retain(|one| !done.contains(&one.job));
    put(&mut after.opened, standing);
}

fn put(opened: &mut Opened, standing: Vec<Standing>) {
    if standing != opened.diary.standing {
        Arc::make_mut(&mut opened.diary).standing = standing;
    }
}

/// What is left of the entry of a job that has another id now.
pub fn rename(opened: &mut Opened, job: &str, to: &str) {
    let mut standing = opened.diary.standing.clone();
    for one in standing.iter_mut().filter(|one| one.job.as_str() == job) {
        one.issued_as.get_or_insert(JobId::new(job));
        one.job = JobId::new(to);
    }
    put(opened, standing);
}

/// The jobs whose last day in a plan is before the week, and that day's route.
fn left_behind<'a>(opened: &Opened, plan: &'a Plan) -> BTreeMap<&'a JobId, &'a Route> {
    let first = opened.prepared.programme.week.first_day;
    let is_behind = |route: &&Route| route.date < first;
    if !plan.routes.iter().any(|route| is_behind(&route)) {
        return BTreeMap::new();
    }
    let ahead = plan.routes.iter().filter(|route| !is_behind(route));
    let still: HashSet<&JobId> = ahead
        .flat_map(|route| &route.visits)
        .map(|visit| &visit.job)
        .collect();
    let mut left: BTreeMap<&JobId, &Route> = BTreeMap::new();
    for route in plan.routes.iter().filter(is_behind) {
        let jobs = route.visits.iter().map(|visit| &visit.job);
        for job in jobs.filter(|job| !still.contains(job)) {
            let last = left.entry(job).or_insert(route);
            if last.date < route.date {
                *last = route;
            }
        }
    }
    left
}

/// The last plan that was issued with anything on a day that is left behind.
fn last_issue<'a>(
    before: &Opened,
    after: &'a Opened,
    left: &BTreeMap<&JobId, &Route>,
) -> Option<&'a Issue> {
    let first = after.prepared.programme.week.first_day;
    let mut days: BTreeSet<NaiveDate> = left.values().map(|route| route.date).collect();
    let old = before.prepared.programme.week.calendar_days();
    days.extend(old.filter(|day| *day < first));
    let has_work = |route: &Route| days.contains(&route.date) && !route.visits.is_empty();
    let issues = after.diary.issues.iter();
    let own = issues.filter(|issue| issue.plan.routes.iter().any(has_work));
    own.max_by_key(|issue| issue.number)
}

/// The gang that an issue has a job with on the day of a route, and what it calls the job if that has another id now:
/// then the gang did the same stages at the same times under an id that nobody has any more.
fn issued<'a>(
    opened: &Opened,
    issue: &'a Plan,
    (job, route): (&JobId, &Route),
) -> Option<(&'a GangId, Option<JobId>)> {
    let on_day = || issue.routes.iter().filter(|own| own.date == route.date);
    let has = |own: &&Route| own.visits.iter().any(|visit| visit.job == *job);
    if let Some(own) = on_day().find(has) {
        return Some((&own.gang, None));
    }
    let is_gone = |visit: &&Visit| opened.prepared.index_of(&visit.job).is_none();
    let times = |visit: &Visit| (visit.stage, visit.start, visit.finish);
    let visits = || route.visits.iter().filter(|visit| visit.job == *job);
    let same = |own: &Visit| visits().any(|visit| times(visit) == times(own));
    let own = on_day().find(|own| own.gang == route.gang)?;
    let mut gone = own.visits.iter().filter(is_gone);
    let renamed = gone.find(|visit| same(visit))?;
    Some((&own.gang, Some(renamed.job.clone())))
}

/// The plan with its reasons as they are by what stands now, and what leaving jobs out costs then.
pub fn told(state: State) -> State {
    let next = state
        .plan
        .as_deref()
        .and_then(|plan| told_anew(&state.opened, plan));
    match next {
        Some(plan) => State {
            plan: Some(Arc::new(plan)),
            ..state
        },
        None => state,
    }
}

/// None where nothing is another.
fn told_anew(opened: &Opened, plan: &Plan) -> Option<Plan> {
    let is_told = || plan.unplanned.iter().any(over::is_standing);
    if of(opened).next().is_none() && !is_told() {
        return None;
    }
    let reasons = over::reasons(opened, Some(plan));
    let own = |one: &Unplanned| {
        let (stood, reason) = (over::is_standing(one), reasons.get(&one.job));
        let now = match reason {
            Some(reason) if stood || over::is_of_standing(reason) => reason.clone(),
            None if stood => no_more(opened, &one.job),
            _ => return None,
        };
        (one.reasons != [now.clone()]).then_some(now)
    };
    let all = plan.unplanned.iter().enumerate();
    let others: Vec<(usize, Reason)> = all.filter_map(|(at, one)| Some((at, own(one)?))).collect();
    if others.is_empty() {
        return None;
    }
    let mut next = plan.clone();
    for (at, reason) in others {
        next.unplanned[at].reasons = vec![reason];
    }
    Some(priced(opened, plan, next))
}

/// Why a job is not planned that stood as issued and does so no more.
fn no_more(opened: &Opened, job: &JobId) -> Reason {
    if opened.prepared.is_begun(job) {
        return since(BEGUN);
    }
    let mut still = opened.diary.standing.iter();
    since(&match still.find(|one| one.job == *job) {
        Some(one) => format!(
            "It was planned with {} on {}, and is not recorded as done",
            opened.prepared.programme.gang_name(&one.gang),
            words::day(one.date)
        ),
        None => "It stood as issued in an earlier week, and was brought over".to_owned(),
    })
}

/// The plan with what leaving jobs out costs now that other ones are free.
fn priced(opened: &Opened, before: &Plan, mut plan: Plan) -> Plan {
    let placed = planned(before);
    let left = |plan: &Plan| pricing::left_out(&opened.prepared, &placed, &over::listed(plan));
    let more = left(&plan) - left(before);
    if more != 0 {
        let mut parts = planning::parts(&plan.costs);
        parts.left_out += more;
        plan.costs = planning::costs(&parts);
        plan.bound = plan.bound.as_ref().map(no_bound);
    }
    plan
}

/// Entries that something is to be done with; never none.
#[derive(Debug)]
pub struct Chosen {
    /// Those.
    pub entries: Vec<Standing>,
    /// How many other jobs were asked for.
    pub others: usize,
}

impl Chosen {
    /// Their jobs.
    pub fn jobs(&self) -> Vec<String> {
        let jobs = self.entries.iter().map(|one| one.job.to_string());
        jobs.collect()
    }

    /// What is said of the other jobs.
    pub fn others_told(&self) -> String {
        match self.others {
            0 => String::new(),
            1 => " 1 job does not stand as issued and is left as it is.".to_owned(),
            many => {
                let many = words::count(many, "job", "jobs");
                format!(" {many} do not stand as issued and are left as they are.")
            }
        }
    }

    /// Has none of them stand any more.
    pub fn let_go(&self, opened: &mut Opened) {
        let mut standing = opened.diary.standing.clone();
        standing.retain(|one| !self.entries.contains(one));
        put(opened, standing);
    }
}

/// Those of some jobs that stand as issued, or all that do.
///
/// # Errors
/// Where none does.
pub fn chosen(state: &State, jobs: Option<&[String]>) -> Result<Chosen, Refusal> {
    let asked: Option<HashSet<&str>> = jobs.map(|jobs| jobs.iter().map(String::as_str).collect());
    let placed = state.plan.as_deref().map(planned).unwrap_or_default();
    let is_asked = |one: &&Standing| {
        let asked = asked.as_ref();
        asked.is_none_or(|asked| asked.contains(one.job.as_str()))
    };
    let standing = of(&state.opened).filter(|one| !placed.contains(&one.job));
    let entries: Vec<Standing> = standing.filter(is_asked).cloned().collect();
    if entries.is_empty() {
        let text = match jobs {
            Some([one]) => format!("{one} does not stand as issued in an earlier week."),
            Some(_) => "None of these jobs stands as issued in an earlier week.".to_owned(),
            None => "No job stands as issued in an earlier week.".to_owned(),
        };
        return Err(Refusal::coded("D-NONE", &text));
    }
    Ok(Chosen {
        others: asked.map_or(0, |asked| asked.len() - entries.len()),
        entries,
    })
}

/// What is left to record of jobs that stand, each stage done when the last issue that has it so has it end.
///
/// # Errors
/// Where a stage that was recorded doesn't go with that.
pub fn done_as_issued(opened: &Opened, chosen: &Chosen) -> Result<Vec<diary::Record>, Refusal> {
    let visits: Vec<Visit> = chosen
        .entries
        .iter()
        .flat_map(|one| visits(&opened.diary, one))
        .collect();
    let visits: Vec<&Visit> = visits.iter().collect();
    as_planned::left_of(opened, &visits)
}

/// The same of those of them of which nothing is recorded out of turn, and the ids of the others, which stand on.
///
/// # Errors
/// Where that is none of them: what keeps the first.
pub fn done_in_turn(
    opened: &Opened,
    chosen: Chosen,
) -> Result<(Chosen, Vec<diary::Record>, Vec<String>), Refusal> {
    let first = match done_as_issued(opened, &chosen) {
        Ok(records) => return Ok((chosen, records, Vec::new())),
        Err(first) => first,
    };
    let alone = |one: &Standing| Chosen {
        others: 0,
        entries: vec![one.clone()],
    };
    let (entries, others): (Vec<Standing>, Vec<Standing>) = chosen
        .entries
        .into_iter()
        .partition(|one| done_as_issued(opened, &alone(one)).is_ok());
    if entries.is_empty() {
        return Err(first);
    }
    let chosen = Chosen { entries, ..chosen };
    let records = done_as_issued(opened, &chosen)?;
    let refused = others.iter().map(|one| one.job.to_string()).collect();
    Ok((chosen, records, refused))
}

/// The visits of a job by the last issue that has it on its day with its gang, under the id that it has now.
fn visits(diary: &diary::Diary, one: &Standing) -> Vec<Visit> {
    let name = one.issued_as.as_ref().unwrap_or(&one.job);
    let is_there = |route: &Route| {
        let mut visits = route.visits.iter();
        (&route.gang, route.date) == (&one.gang, one.date) && visits.any(|own| own.job == *name)
    };
    let issues = diary.issues.iter();
    let own = issues.filter(|issue| issue.plan.routes.iter().any(is_there));
    let last = own.max_by_key(|issue| issue.number);
    let visits = last.into_iter().flat_map(|issue| issue.plan.visits());
    let own = visits.filter(|visit| visit.job == *name && visit.start.date() <= one.date);
    let now = |visit: &Visit| Visit {
        job: one.job.clone(),
        ..visit.clone()
    };
    own.map(now).collect()
}
