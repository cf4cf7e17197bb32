//! Over which nights the works of jobs may be left, as the search is told it, and over which a plan leaves
//! them.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use chrono::NaiveDate;
use gangday_calc::Conditions;
use gangday_model::{Finding, JobId, Plan, Route, Stage};
use gangday_planner::{Cut, GangDay, Nights, Problem, Task};

use crate::prepared::Prepared;
use crate::words;

/// From midnight to midnight, seconds.
const DAY: u32 = 24 * 3_600;

/// Tells every task where it may be left; most may not.
pub fn tell(prepared: &Prepared, problem: &mut Problem, (jobs, dates): (&[usize], &[NaiveDate])) {
    let all = jobs.iter().zip(&problem.tasks);
    let nights: Vec<Option<Nights>> = all
        .map(|(&job, task)| Leaving::of(prepared, problem, dates, (job, task))?.nights())
        .collect();
    for (task, nights) in problem.tasks.iter_mut().zip(nights) {
        task.nights = nights;
    }
}

/// A job that may be left over nights.
struct Leaving<'a> {
    prepared: &'a Prepared,
    problem: &'a Problem,
    dates: &'a [NaiveDate],
    job: usize,
    task: &'a Task,
    most: u32,
    over_weekend: bool,
}

impl<'a> Leaving<'a> {
    /// None where the job may not be left at all. One that has to keep to hours of the day may not: its
    /// closure would be there all night.
    fn of(
        prepared: &'a Prepared,
        problem: &'a Problem,
        dates: &'a [NaiveDate],
        (at, task): (usize, &'a Task),
    ) -> Option<Self> {
        let (most, over_weekend) = prepared.may_be_left(&prepared.programme.jobs[at]);
        (most > 0 && task.windows.is_empty()).then_some(Self {
            prepared,
            problem,
            dates,
            job: at,
            task,
            most,
            over_weekend,
        })
    }

    fn nights(&self) -> Option<Nights> {
        let mut waits = BTreeMap::new();
        let blocks = (self.task.blocks.len() as u32).saturating_sub(1);
        let cuts = (0..blocks).map(|after| Cut {
            after,
            days: self.days(after, &mut waits),
        });
        let cuts: Vec<Cut> = cuts.filter(|cut| !cut.days.is_empty()).collect();
        (!cuts.is_empty()).then_some(Nights { cuts, left: None })
    }

    /// The pairs of days over which it may be left after a block.
    fn days(&self, after: u32, waits: &mut Waits) -> Vec<(u32, u32)> {
        let days = 0..self.dates.len() as u32;
        let pairs = days.flat_map(|left| {
            let last = left.saturating_add(self.most);
            (left + 1..=last.min(self.dates.len() as u32 - 1)).map(move |next| (left, next))
        });
        pairs
            .filter(|&(left, next)| {
                self.may(left, next) && self.is_over(after, (left, next), waits)
            })
            .collect()
    }

    /// Whether its dates and the days between allow it.
    fn may(&self, left: u32, next: u32) -> bool {
        let allows = |day: u32| {
            let days = &self.task.days;
            days.is_empty() || days.get(day as usize).copied().unwrap_or(false)
        };
        let [from, until] = [left, next].map(|day| self.dates[day as usize]);
        let week = &self.prepared.programme.week;
        let off = !self.over_weekend && week.day_off_between(from, until).is_some();
        allows(left) && allows(next) && !off
    }

    fn gang_days(&self, day: u32) -> impl Iterator<Item = &'a GangDay> {
        self.problem
            .gang_days
            .iter()
            .filter(move |own| own.day == day)
    }

    /// Whether what the block places is ready by the first start of the later day, however late the
    /// earlier one ends. What goes on past midnight counts as if the coldest hour lasted all the while.
    fn is_over(&self, after: u32, (left, next): (u32, u32), waits: &mut Waits) -> bool {
        let ends = self.gang_days(left).map(|day| day.latest).max();
        let begins = self.gang_days(next).map(|day| day.start).min();
        let (Some(ends), Some(begins)) = (ends, begins) else {
            return false;
        };
        let ready = self.gang_days(left).map(|day| self.ready(after, day, ends));
        if ready.max().is_some_and(|ready| ready <= DAY) {
            return true;
        }
        let dates = &self.dates[left as usize..=next as usize];
        let week = &self.prepared.programme.week;
        let coldest = dates.iter().map(|date| week.celsius_on(*date));
        let coldest = coldest.fold(f64::INFINITY, f64::min);
        let wait = self.wait_at(after, coldest, waits);
        let begins = begins.saturating_add((next - left) * DAY);
        wait.is_some_and(|wait| ends.saturating_add(wait) <= begins)
    }

    /// When the block's wait is over if it ends then, as that day's temperatures have it.
    fn ready(&self, after: u32, day: &GangDay, ends: u32) -> u32 {
        let placed = self.task.placed.get(day.pace as usize);
        let placed = placed.and_then(|own| *own.get(after as usize)?);
        match placed.and_then(|placed| self.problem.cures.get(placed.cure as usize)) {
            Some(cure) => cure.ready(ends),
            None => ends.saturating_add(self.task.blocks_at(day.pace)[after as usize].wait),
        }
    }

    /// The block's wait at a temperature; none where it is too cold for it.
    fn wait_at(&self, after: u32, celsius: f64, waits: &mut Waits) -> Option<u32> {
        let stages = waits.entry(celsius.to_bits());
        let stages = stages.or_insert_with(|| self.waits(celsius));
        let work = self.prepared.works[self.job].as_deref()?;
        let last = work.blocks().get(after as usize)?.last()?.stage;
        let own = stages.iter().find(|(stage, _)| *stage == last)?;
        Some(own.1)
    }

    fn waits(&self, celsius: f64) -> Vec<(Stage, u32)> {
        let prepared = self.prepared;
        let work = || {
            let taken = prepared.take_offs[self.job].as_deref()?;
            let job = prepared.as_closed(self.job, &prepared.programme.jobs[self.job]);
            let rules = prepared.stages.as_ref()?;
            rules.stage_work(&job, taken, Conditions::at(celsius)).ok()
        };
        let stages = work().map(|work| work.stages).unwrap_or_default();
        let wait = |wait: gangday_model::Seconds| u32::try_from(wait.seconds()).unwrap_or(u32::MAX);
        stages
            .iter()
            .map(|stage| (stage.stage, wait(stage.wait())))
            .collect()
    }
}

/// The waits after each stage, by the bits of a temperature.
type Waits = BTreeMap<u64, Vec<(Stage, u32)>>;

/// The routes that serve each job that is wanted, in order of their dates; more than one where it is left
/// over a night.
pub fn routes_of_jobs<'a>(
    routes: impl Iterator<Item = &'a Route>,
    wanted: impl Fn(&JobId) -> bool,
) -> HashMap<&'a JobId, Vec<&'a Route>> {
    let mut serving: HashMap<&JobId, Vec<&Route>> = HashMap::new();
    for route in routes {
        for visit in route.visits.iter().filter(|visit| wanted(&visit.job)) {
            let own = serving.entry(&visit.job).or_default();
            if !own.iter().any(|known| std::ptr::eq(*known, route)) {
                own.push(route);
            }
        }
    }
    for own in serving.values_mut() {
        own.sort_by_key(|route| route.date);
    }
    serving
}

/// `Left open over the night from Mon 1 Mar to Tue 2 Mar`; nothing for what is done in a day.
pub fn in_words(routes: &[&Route]) -> String {
    let pairs = routes.windows(2).map(|pair| {
        let (left, next) = (pair[0].date, pair[1].date);
        let nights = match (next - left).num_days() {
            1 => "the night".to_owned(),
            many => format!("{many} nights"),
        };
        let (from, until) = (words::day(left), words::day(next));
        format!("Left open over {nights} from {from} to {until}")
    });
    pairs.collect::<Vec<_>>().join("; ")
}

/// A warning for every job of a plan that is left open over a night, or for longer than the plan goes.
#[must_use]
pub fn left_open(plan: &Plan) -> Vec<Finding> {
    let unfinished = plan.unfinished.iter().map(|one| &one.job);
    let unfinished: BTreeSet<&JobId> = unfinished.collect();
    let serving = routes_of_jobs(plan.routes.iter(), |_| true);
    let mut left: Vec<_> = serving
        .iter()
        .filter(|(job, routes)| routes.len() > 1 || unfinished.contains(*job))
        .collect();
    left.sort_by_key(|(job, _)| **job);
    let warning = |(job, routes): (&&JobId, &Vec<&Route>)| {
        let rest = unfinished.contains(*job).then(|| rest_open(routes));
        let over = Some(in_words(routes)).filter(|over| !over.is_empty());
        let left: Vec<String> = over.into_iter().chain(rest).collect();
        let text = format!("{job}: {}.", left.join("; "));
        let remedy = "Have it guarded, signed and lit to the code all that time, and looked after by a \
                      competent person; no plan says that an open excavation is safe.";
        let code = if unfinished.contains(*job) {
            "T-LEFT"
        } else {
            "T-NIGHT"
        };
        Finding::warning(code, text, remedy).at(job.as_str())
    };
    left.into_iter()
        .map(|(job, routes)| warning((job, routes)))
        .collect()
}

/// What is said of a job of which nobody plans what is left.
fn rest_open(routes: &[&Route]) -> String {
    let last = routes.last().map(|route| words::day(route.date));
    format!(
        "Left open from {} on, and what is left of it is not planned; its closure stands all that time, and is shown \
         to the end of the week",
        last.unwrap_or_default()
    )
}
