//! Making the week: the search is run, its answer put back into jobs, gangs and times of day.

use std::collections::HashMap;
use std::time::{Duration, Instant};

use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};
use gangday_model::{
    Bound, Costs, Halt, HaltKind, JobId, JobWork, Plan, Reason, Route, Unplanned, Visit,
};
use gangday_planner::{
    CostParts, DaySolution, Either, Go, Halt as PlannedHalt, HaltKind as PlannedKind, Iterations,
    Problem, Progress, RAISED_UP_TO, Reach, Solution, StepTime, Stop, Until, WHOLE,
    WITH_PARTS_UP_TO, Why, bound, explain, explain_all, solve_at_once,
};

use crate::from_day::{self, Done};
use crate::keeping;
use crate::opened::Opened;
use crate::over;
use crate::prepared::Prepared;
use crate::problem::Posed;
use crate::reasons;
use crate::recorded::as_it_went;
use crate::view::ProgressView;
use crate::words;

/// How long the search runs where nothing is said.
pub const USUAL_SECONDS: f64 = 10.0;

/// What it is called while it goes on.
pub const TITLE: &str = "Making the week";

/// How to plan.
#[derive(Clone, Copy, Debug, Default)]
pub struct PlanOptions {
    /// How long at most.
    pub seconds: Option<f64>,
    /// How many iterations at most; with no seconds, the plan is the same on every machine.
    pub iterations: Option<u32>,
    /// The seed.
    pub seed: u32,
    /// How many searches go on at once, each on a core of its own; 0 is one. The same number of
    /// iterations, seed and number of searches give the same plan.
    pub threads: u32,
}

/// Makes the week. `watch` sees how far it is and says whether to go on; stopping keeps the best.
pub fn make(
    opened: &Opened,
    options: &PlanOptions,
    keep: Option<&Plan>,
    watch: &mut dyn FnMut(&ProgressView) -> bool,
) -> Plan {
    let prepared = &opened.prepared;
    let went = keep.map(|keep| as_it_went(prepared, &opened.diary, keep));
    let over = over::reasons(opened, keep);
    let pose = |short: &Done| posed(opened, went.as_ref(), (&over, short));
    let (posed, begun) = pose(&Done::new());
    let mut trace = Trace::new(posed.jobs.len());
    let mut stopped = false;
    let mut see = |progress: &Progress<'_>| {
        stopped = !watch(&trace.add(progress));
        if stopped { Go::Stop } else { Go::On }
    };
    let started = Instant::now();
    let solution = run(
        &posed.problem,
        &for_search(options, &posed.problem),
        &mut see,
    );
    let mut effort = effort(started, options, stopped);
    let left: Done = begun
        .into_iter()
        .filter(|one| solution.left_out.contains(&one.0))
        .collect();
    let (mut plan, least) = match left.is_empty() {
        true => (
            plan(opened, &posed, &solution),
            least(&posed.problem, &solution, &mut *effort),
        ),
        false => (
            unfinished(opened, (&posed, &solution), (pose(&left).0, &left)),
            no_bound("jobs that were begun are left unfinished"),
        ),
    };
    tell_over(&mut plan, &over);
    plan.bound = Some(least);
    if let Some((keep, went)) = keep.zip(went.as_ref()) {
        keeping::mark(&mut plan, went);
        plan.changes = keeping::changes(prepared, keep, &plan);
    }
    plan
}

/// The problem as an earlier plan leaves it: some jobs are over, and some end with what was done of them. What was
/// done of a part of each job on days that are past is told.
fn posed(
    opened: &Opened,
    went: Option<&Plan>,
    (over, short): (&HashMap<JobId, Reason>, &Done),
) -> (Posed, Done) {
    let prepared = &opened.prepared;
    let mut posed = Posed::of(prepared);
    from_day::cut_short(&mut posed, short);
    if let Some(went) = went {
        keeping::keep(prepared, &mut posed, went);
    }
    let begun = from_day::hold(prepared, &mut posed, went);
    over::leave(opened, &mut posed, over);
    (posed, begun)
}

/// The plan that was found, with what was done of jobs whose rest found no day.
fn unfinished(
    opened: &Opened,
    (posed, found): (&Posed, &Solution),
    (mut short, left): (Posed, &Done),
) -> Plan {
    let prepared = &opened.prepared;
    short.problem.begin = from_day::as_found(found, &short, left);
    let as_it_is = PlanOptions {
        iterations: Some(0),
        ..PlanOptions::default()
    };
    let solution = run(&short.problem, &as_it_is, &mut |_| Go::On);
    let mut plan = plan(opened, &short, &solution);
    let stand = left.keys().filter(|task| !solution.left_out.contains(task));
    plan.unfinished = stand
        .map(|task| {
            let whys = explain(&posed.problem, found, *task);
            // What was done can't be unlocked.
            let whys: Vec<Why> = whys.into_iter().filter(|why| *why != Why::Locked).collect();
            let reasons = reasons::of_task(prepared, posed, *task, &whys);
            Unplanned {
                job: prepared.programme.jobs[posed.jobs[*task as usize]]
                    .id
                    .clone(),
                reasons: [vec![from_day::rest_left()], reasons].concat(),
            }
        })
        .collect();
    plan
}

/// Jobs that nobody plans anew are told so, whatever else would keep them out.
fn tell_over(plan: &mut Plan, over: &HashMap<JobId, Reason>) {
    for left in &mut plan.unplanned {
        if let Some(reason) = over.get(&left.job) {
            left.reasons = vec![reason.clone()];
        }
    }
}

/// Where a lower bound is worked out, the search has this part of the first seconds and of the rest: so few
/// jobs gain little from more, and the bound does.
const AT_FIRST: f64 = 20.0;
const OF_FIRST: f64 = 0.75;
const OF_REST: f64 = 0.15;

/// Steps of working the lower bound out for each iteration of the search: about a tenth of its time.
const STEPS: u64 = 20;

/// What the search may use of what the options allow.
fn for_search(options: &PlanOptions, problem: &Problem) -> PlanOptions {
    let bounded = problem.tasks.len() <= RAISED_UP_TO;
    let part = |all: f64| match bounded {
        true => OF_FIRST * all.min(AT_FIRST) + OF_REST * (all - AT_FIRST).max(0.0),
        false => all,
    };
    let seconds = match (options.iterations, options.seconds) {
        (Some(_), None) => None,
        (_, seconds) => Some(part(seconds.unwrap_or(USUAL_SECONDS))),
    };
    PlanOptions {
        seconds,
        ..*options
    }
}

/// What working the lower bound out may use: what is left of the seconds, or so many steps an iteration.
fn effort(begun: Instant, options: &PlanOptions, stopped: bool) -> Box<dyn Stop> {
    let steps = options.iterations.map(|most| u64::from(most) * STEPS);
    match (steps, options.seconds) {
        _ if stopped => Box::new(Iterations(0)),
        (Some(steps), None) => Box::new(Iterations(steps)),
        (steps, seconds) => {
            let clock = clock(begun, seconds.unwrap_or(USUAL_SECONDS));
            let steps = Iterations(steps.unwrap_or(u64::MAX));
            Box::new(Either(steps, Until(clock)))
        }
    }
}

/// What no plan can cost less than, in words; no figure where all that is known is rough.
fn least(problem: &Problem, solution: &Solution, effort: &mut dyn Stop) -> Bound {
    let found = bound(problem, solution, effort);
    let cost = solution.costs.total();
    let gap = (cost - found.least) as f64 * 100.0 / cost.max(1) as f64;
    let how = match found.reach {
        Reach::ByHand | Reach::TooMany => return nothing_known(found.reach),
        Reach::Part => "with more time it could be higher",
        Reach::Whole => "every gang-day that could be cheaper was gone through",
    };
    Bound {
        least_pence: Some(found.least),
        text: format!(
            "No plan costs less than {}, a gap of {gap:.1} % of this one's cost; {how}. It \
             leaves out tips, drivers' hours, clashes and changes, breaks that no wait for a cure holds, \
             and what the hour of the day adds to cures, and counts closures no longer than the order of \
             work asks for.",
            words::money(found.least)
        ),
    }
}

fn nothing_known(reach: Reach) -> Bound {
    if reach == Reach::TooMany {
        return no_bound(&format!(
            "none is worked out for more than {RAISED_UP_TO} jobs, or {WITH_PARTS_UP_TO} where those that may \
             be left over a night count once more for either part"
        ));
    }
    no_bound("planning ended before one was worked out")
}

fn no_bound(why: &str) -> Bound {
    Bound {
        least_pence: None,
        text: format!("No lower bound: {why}. How far the plan is from the cheapest is not known."),
    }
}

/// Runs the search for as long as the options say.
pub fn run(
    problem: &Problem,
    options: &PlanOptions,
    watch: &mut dyn FnMut(&Progress<'_>) -> Go,
) -> Solution {
    let begun = Instant::now();
    let stop = || -> Box<dyn Stop + Send> {
        let most = options.iterations.map(|most| Iterations(u64::from(most)));
        match (most, options.seconds) {
            (Some(most), None) => Box::new(most),
            (most, seconds) => {
                let most = most.unwrap_or(Iterations(u64::MAX));
                let clock = clock(begun, seconds.unwrap_or(USUAL_SECONDS));
                Box::new(Either(most, Until(clock)))
            }
        }
    };
    let stops = (0..options.threads.max(1)).map(|_| stop()).collect();
    solve_at_once(problem, stops, u64::from(options.seed), watch)
}

/// How much of an allowance of time on the wall is used, in parts of `WHOLE`.
fn clock(begun: Instant, seconds: f64) -> impl FnMut() -> u32 {
    let allowance = Duration::try_from_secs_f64(seconds.max(0.0)).unwrap_or(Duration::MAX);
    move || {
        let used = begun
            .elapsed()
            .as_micros()
            .saturating_mul(u128::from(WHOLE));
        let part = used
            .checked_div(allowance.as_micros())
            .unwrap_or(u128::from(WHOLE));
        u32::try_from(part).unwrap_or(WHOLE)
    }
}

/// The best cost so far at a few moments, for the picture of a plan getting better.
struct Trace {
    costs: Vec<f64>,
    of: u32,
}

impl Trace {
    /// So many moments are kept; older ones are thinned out.
    const MOMENTS: usize = 240;

    fn new(of: usize) -> Self {
        Self {
            costs: Vec::new(),
            of: u32::try_from(of).unwrap_or(u32::MAX),
        }
    }

    fn add(&mut self, progress: &Progress<'_>) -> ProgressView {
        self.costs.push(progress.best_cost as f64);
        if self.costs.len() > Self::MOMENTS {
            let mut keep = false;
            self.costs.retain(|_| {
                keep = !keep;
                keep
            });
        }
        let planned = u32::try_from(progress.planned).unwrap_or(u32::MAX);
        let cost = words::money(progress.best_cost);
        ProgressView {
            running: true,
            reading: false,
            title: TITLE.to_owned(),
            fraction: f64::from(progress.used.min(WHOLE)) / f64::from(WHOLE),
            words: format!(
                "Best so far: {planned} of {} jobs planned, cost {cost}",
                self.of
            ),
            trace: self.costs.clone(),
            planned,
            of: self.of,
        }
    }
}

fn plan(opened: &Opened, posed: &Posed, solution: &Solution) -> Plan {
    let prepared = &opened.prepared;
    let mut routes: Vec<Route> = solution
        .days
        .iter()
        .map(|day| route(prepared, posed, day))
        .collect();
    routes.sort_by(|a, b| (a.date, &a.gang).cmp(&(b.date, &b.gang)));
    Plan {
        routes,
        unplanned: [unplanned(prepared, posed, solution), refused(opened)].concat(),
        costs: costs(&solution.costs),
        findings: opened.faults().cloned().collect(),
        attribution: crate::attributions::in_one_line(prepared),
        ..Plan::default()
    }
}

/// A gang-day with its jobs, gang and times of day.
pub fn route(prepared: &Prepared, posed: &Posed, day: &DaySolution) -> Route {
    let gang_day = &posed.problem.gang_days[day.gang_day as usize];
    let date = posed.dates[gang_day.day as usize];
    let visits = day.steps.iter().flat_map(|step| {
        let job = posed.jobs[step.task as usize];
        prepared
            .work_at(job, gang_day.pace)
            .into_iter()
            .flat_map(move |work| visits(work, step, date))
    });
    Route {
        gang: posed.gang(prepared, gang_day).id.clone(),
        date,
        visits: visits.collect(),
        depart: time(date, day.depart),
        back: time(date, day.back),
        halts: day
            .halts
            .iter()
            .map(|halt| halted(posed, halt, date))
            .collect(),
    }
}

fn halted(posed: &Posed, halt: &PlannedHalt, date: NaiveDate) -> Halt {
    let tip_at = |node: u32| posed.tips.iter().find(|tip| tip.1 == node);
    let (kind, tip) = match halt.kind {
        PlannedKind::Tip(node) => (HaltKind::Tip, tip_at(node).map(|tip| tip.0.clone())),
        PlannedKind::Reload => (HaltKind::Reload, None),
        PlannedKind::Break => (HaltKind::Break, None),
    };
    Halt {
        kind,
        tip,
        arrive: time(date, halt.from),
        leave: time(date, halt.until),
    }
}

fn time(date: NaiveDate, seconds: u32) -> NaiveDateTime {
    date.and_time(NaiveTime::MIN) + TimeDelta::seconds(i64::from(seconds))
}

/// The visits of one block: its stages one after another.
fn visits(work: &JobWork, step: &StepTime, date: NaiveDate) -> Vec<Visit> {
    let mut visits = Vec::new();
    let (mut arrive, mut start) = (time(date, step.arrive), time(date, step.start));
    for stage in work
        .blocks()
        .into_iter()
        .nth(step.block as usize)
        .unwrap_or_default()
    {
        let finish = start + TimeDelta::seconds(stage.work.seconds());
        visits.push(Visit {
            job: work.job.clone(),
            stage: stage.stage,
            arrive,
            start,
            finish,
            status: None,
        });
        (arrive, start) = (finish, finish);
    }
    visits
}

/// Costs by part, as a plan states them.
pub fn costs(parts: &CostParts) -> Costs {
    Costs {
        crew_pence: parts.crew,
        overtime_pence: parts.overtime,
        travel_pence: parts.travel,
        set_ups_pence: parts.set_ups,
        gang_days_pence: parts.gang_days,
        nights_pence: parts.nights,
        closure_pence: parts.closure,
        changes_pence: parts.changes,
        clashes_pence: parts.clashes,
        left_out_pence: parts.left_out,
        total_pence: parts.total(),
    }
}

/// The parts of costs that a plan states.
pub const fn parts(costs: &Costs) -> CostParts {
    CostParts {
        crew: costs.crew_pence,
        overtime: costs.overtime_pence,
        travel: costs.travel_pence,
        set_ups: costs.set_ups_pence,
        gang_days: costs.gang_days_pence,
        nights: costs.nights_pence,
        closure: costs.closure_pence,
        changes: costs.changes_pence,
        clashes: costs.clashes_pence,
        left_out: costs.left_out_pence,
    }
}

/// Jobs left out by the search, and jobs that never got so far, each with its reasons.
fn unplanned(prepared: &Prepared, posed: &Posed, solution: &Solution) -> Vec<Unplanned> {
    let jobs = &prepared.programme.jobs;
    let mut reasons: Vec<(usize, Vec<Reason>)> = explain_all(&posed.problem, solution)
        .iter()
        .map(|(task, whys)| {
            (
                posed.jobs[*task as usize],
                reasons::of_task(prepared, posed, *task, whys),
            )
        })
        .collect();
    let posed_jobs: std::collections::HashSet<usize> = posed.jobs.iter().copied().collect();
    let never_posed = (0..jobs.len()).filter(|at| !posed_jobs.contains(at));
    reasons.extend(never_posed.map(|at| (at, reasons::of_refused(prepared, at))));
    reasons.sort_by_key(|(at, _)| *at);
    reasons
        .into_iter()
        .map(|(at, reasons)| Unplanned {
            job: jobs[at].id.clone(),
            reasons,
        })
        .collect()
}

/// Jobs that reading had to refuse, each with its faults as the reasons.
fn refused(opened: &Opened) -> Vec<Unplanned> {
    let reasons = |id: &JobId| reasons::of_faults(opened.intake.iter(), id);
    let jobs = opened.refused_jobs().into_iter();
    jobs.map(|job| Unplanned {
        reasons: reasons(&job),
        job,
    })
    .collect()
}
