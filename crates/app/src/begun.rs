//! Jobs that were begun in an earlier week: what was done of them stands in the diary, and what is left of
//! them is planned.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};
use gangday_calc::{Conditions, of_stages};
use gangday_files::JOBS;
use gangday_model::{Finding, Job, JobId, JobWork, Plan, Reason, Stage, TakeOff, WaitKind, Week};
use gangday_planner::checker::PlacedBefore;

use crate::diary::Diary;
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::words;

/// The last stage of a job that was done, and when it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Last {
    /// The stage; those before it are done too.
    pub stage: Stage,
    /// When it ended.
    pub at: NaiveDateTime,
}

/// What was done last of each job before a week began.
pub type Before = BTreeMap<JobId, Last>;

/// The stages after which each job was left, in order.
pub type Parted = BTreeMap<JobId, Vec<Stage>>;

/// What was done of jobs, as far as whoever plans has to know it; cheap to copy.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Past {
    /// Before the week.
    pub before: Arc<Before>,
    /// The jobs of which a part was done in the week and another is left.
    pub open: Arc<BTreeSet<JobId>>,
    /// The stages after which jobs were left in the week.
    pub parted: Arc<Parted>,
}

/// A job of which some stages were done in an earlier week, and others are left.
#[derive(Clone, Debug, PartialEq)]
pub struct Begun {
    /// What was done last.
    pub last: Last,
    /// What is waited for after it, if anything.
    pub wait: Option<WaitKind>,
    /// When that is ready for the next stage, as if the lowest temperature of each day since had lasted all of it;
    /// on a day too cold for what the job places nothing ages.
    pub ready: NaiveDateTime,
    /// The first day since that was so cold.
    pub cold: Option<NaiveDate>,
    /// What the other stages dig and place.
    pub left: TakeOff,
}

/// What the diary says was done before the week's first day.
#[must_use]
pub fn before_week(diary: &Diary, week: &Week) -> Before {
    let mut before = Before::new();
    let records = diary.records.iter();
    for record in records.filter(|record| record.at.date() < week.first_day) {
        let last = Last {
            stage: record.stage,
            at: record.at,
        };
        let known = before.entry(record.job.clone()).or_insert(last);
        if last.stage > known.stage {
            *known = last;
        }
    }
    before
}

/// Nothing that a gang places is waited for longer than so many days, whatever the cold.
///
/// # Source
/// Common practice, no source: concrete is usually specified by its strength after 28 days.
const MOST_DAYS: usize = 28;

/// What somebody should look at before the work goes on.
///
/// # Source
/// Guarding, signing and lighting of works that are left: Safety at Street Works and Road Works, a code of
/// practice, from memory.
pub fn caution(job: &Job, begun: &Begun) -> Finding {
    let text = format!(
        "{} was begun in an earlier week ({}); only what is left of it is still to be done.",
        job.id,
        said(begun.last)
    );
    let cold = begun.cold.map(|day| {
        format!(
            " It was too cold on {} for what its job places: whether that has set is for somebody to look at on the \
             spot.",
            words::day(day)
        )
    });
    let remedy = format!(
        "It has been left as it was since: have a competent person look at guards, signs, lamps and the opening before \
         anybody works in it.{} Its closure stands from then, and is shown from the first day of this week on; what is \
         shown of its notice is the work of this week alone.",
        cold.unwrap_or_default()
    );
    Finding::warning("J-BEGUN", text, remedy)
        .in_file(JOBS)
        .at(job.id.as_str())
}

/// `dig on Fri 5 Mar`.
fn said(last: Last) -> String {
    let stage = words::stage(last.stage).to_lowercase();
    format!("{stage} done on {}", words::day(last.at.date()))
}

/// By job and day, the last of some stages.
type LastByDay<'a> = BTreeMap<&'a JobId, BTreeMap<NaiveDate, Stage>>;

fn last_by_day<'a>(all: impl Iterator<Item = (&'a JobId, NaiveDate, Stage)>) -> LastByDay<'a> {
    let mut days = LastByDay::new();
    for (job, day, stage) in all {
        let own = days.entry(job).or_default();
        let last = own.entry(day).or_insert(stage);
        *last = stage.max(*last);
    }
    days
}

/// What was done of jobs in the week.
fn in_week<'a>(diary: &'a Diary, week: &Week) -> LastByDay<'a> {
    let records = diary.records.iter();
    let own = records.filter(|record| record.at.date() >= week.first_day);
    last_by_day(own.map(|record| (&record.job, record.at.date(), record.stage)))
}

/// The jobs of which a part was done in the week and another is left, or was done on another day of it: however a job
/// is to be done, what is open is gone on with on another day where it can't be that day.
fn open_works(done: &LastByDay<'_>) -> BTreeSet<JobId> {
    let is_over = |days: &BTreeMap<NaiveDate, Stage>| {
        days.len() == 1 && days.values().any(|last| *last == Stage::Reopen)
    };
    let open = done.iter().filter(|(_, days)| !is_over(days));
    open.map(|(job, _)| (*job).clone()).collect()
}

/// The stages after which jobs were left in the week: the last that was done on a day which is past, or before
/// another day on which more was done; and where the plan has a begun job on several days, or leaves it unfinished,
/// the last on each. There what is left may go to another day, whether or not anything is waited for.
fn parted(done: &LastByDay<'_>, week: &Week, plan: Option<&Plan>) -> Parted {
    let visits = plan.into_iter().flat_map(Plan::visits);
    let begun = visits.filter(|visit| done.contains_key(&visit.job));
    let planned = last_by_day(begun.map(|own| (&own.job, own.start.date(), own.stage)));
    let unfinished = plan.into_iter().flat_map(|plan| &plan.unfinished);
    let unfinished: BTreeSet<&JobId> = unfinished.map(|one| &one.job).collect();
    let left = [
        left(done, |_, day| week.is_past(day)),
        left(&planned, |job, _| unfinished.contains(job)),
    ];
    let mut parted: BTreeMap<JobId, BTreeSet<Stage>> = BTreeMap::new();
    for (job, stage) in left.concat() {
        parted.entry(job).or_default().insert(stage);
    }
    let parted = parted.into_iter();
    parted
        .map(|(job, stages)| (job, stages.into_iter().collect()))
        .collect()
}

/// The last stage of each day after which others follow on another, or the work was left for good.
fn left(days: &LastByDay<'_>, for_good: impl Fn(&JobId, NaiveDate) -> bool) -> Vec<(JobId, Stage)> {
    let of_job = |(job, days): (&&JobId, &BTreeMap<NaiveDate, Stage>)| {
        let last = days.keys().next_back();
        let left = days
            .iter()
            .filter(|(day, _)| Some(*day) != last || for_good(job, **day));
        left.map(|(_, stage)| ((*job).clone(), *stage))
            .collect::<Vec<_>>()
    };
    days.iter().flat_map(of_job).collect()
}

impl Prepared {
    /// The most nights over which a job may be left, and whether over a weekend.
    #[must_use]
    pub fn may_be_left(&self, job: &Job) -> (u32, bool) {
        let week = &self.programme.week;
        match self.past.open.contains(&job.id) {
            true => (u32::MAX, true),
            false => (week.nights_of(job), week.leaves_over_weekend(job)),
        }
    }

    /// What is left of a job's work, and after which of its stages it was left in the week.
    #[must_use]
    pub(crate) fn rest(&self, begun: Option<&Begun>, mut work: JobWork) -> JobWork {
        let is_left = |stage: Stage| begun.is_none_or(|begun| stage > begun.last.stage);
        work.stages.retain(|own| is_left(own.stage));
        work.parted = self.past.parted.get(&work.job).cloned().unwrap_or_default();
        work
    }

    /// The same with another past: only the jobs are worked out anew of which something else was done.
    #[must_use]
    pub fn with_past_of(&self, past: Past) -> Self {
        let (was, now) = (&self.past, &past);
        let jobs = self.programme.jobs.iter().enumerate();
        let same = |job: &JobId| {
            now.before.get(job) == was.before.get(job) && now.parted.get(job) == was.parted.get(job)
        };
        let rows: Vec<Option<usize>> = jobs.map(|(at, job)| same(&job.id).then_some(at)).collect();
        let mut looking = self.clone();
        looking.past = past;
        looking.worked_out_anew(&rows)
    }

    /// What is left of a job, if it was begun and something is; `work` is all of it.
    pub(crate) fn begun_of(&self, job: &Job, work: &JobWork, taken: &TakeOff) -> Option<Begun> {
        let last = *self.past.before.get(&job.id)?;
        let all: Vec<Stage> = work.stages.iter().map(|stage| stage.stage).collect();
        let is_left = |stage: &Stage| *stage > last.stage;
        let left: Vec<Stage> = all.iter().copied().filter(is_left).collect();
        let done = work.stages.iter().rfind(|own| own.stage <= last.stage)?;
        if left.is_empty() {
            return None;
        }
        let mut begun = Begun {
            last,
            wait: done.then.map(|wait| wait.kind),
            ready: last.at,
            cold: None,
            left: of_stages(taken, &all, &left),
        };
        match begun.wait {
            // The hold before traffic is as long at any temperature.
            None | Some(WaitKind::Hold) => {
                begun.ready += TimeDelta::seconds(done.wait().seconds());
            }
            Some(_) => self.age(&mut begun, (job, taken), done.stage),
        }
        Some(begun)
    }

    /// Works out when what was placed at a stage is ready, day by day.
    fn age(&self, begun: &mut Begun, (job, taken): (&Job, &TakeOff), stage: Stage) {
        let mut left = 1.0;
        let mut now = begun.last.at;
        for day in now.date().iter_days().take(MOST_DAYS) {
            let midnight = day.and_time(NaiveTime::MIN) + TimeDelta::days(1);
            match self.wait_on(day, (job, taken), stage) {
                Some(wait) => {
                    let needs = left * wait.num_minutes() as f64;
                    let lasts = (midnight - now).num_minutes() as f64;
                    if needs <= lasts {
                        begun.ready = now + TimeDelta::minutes(needs.ceil() as i64);
                        return;
                    }
                    left -= lasts / wait.num_minutes() as f64;
                }
                None => begun.cold = begun.cold.or(Some(day)),
            }
            now = midnight;
        }
        begun.ready = now;
    }

    /// The wait after a stage at a day's lowest temperature; none where that is too cold for what the job places.
    fn wait_on(
        &self,
        day: NaiveDate,
        (job, taken): (&Job, &TakeOff),
        stage: Stage,
    ) -> Option<TimeDelta> {
        let lowest = self.programme.week.temperature_on(day).lowest();
        let rules = self.stages.as_deref()?;
        let work = rules.stage_work(job, taken, Conditions::at(lowest)).ok()?;
        let own = work.stages.iter().find(|own| own.stage == stage)?;
        Some(TimeDelta::seconds(own.wait().seconds()))
    }

    /// Whether what was done of a job in an earlier week leaves a part of it.
    #[must_use]
    pub fn is_begun(&self, job: &JobId) -> bool {
        let at = self.index_of(job);
        at.is_some_and(|at| self.begun[at].is_some())
    }

    /// What a gang has to know of a job that was begun in an earlier week.
    #[must_use]
    pub fn begun_in_words(&self, job: &JobId) -> Option<String> {
        let at = self.index_of(job)?;
        let told = caution(&self.programme.jobs[at], self.begun[at].as_deref()?);
        Some(format!("{} {}", told.text, told.remedy))
    }

    /// What is left to dig and place of a job: all of it unless it was begun in an earlier week.
    #[must_use]
    pub fn left_of(&self, job: usize) -> Option<&TakeOff> {
        match &self.begun[job] {
            Some(begun) => Some(&begun.left),
            None => self.take_offs[job].as_deref(),
        }
    }

    /// The same of every job that is worked out and was not done in an earlier week.
    pub fn all_left(&self) -> impl Iterator<Item = &TakeOff> {
        let jobs = self.programme.jobs.iter().enumerate();
        let is_over = |(at, job): &(usize, &Job)| {
            self.begun[*at].is_none() && self.past.before.contains_key(&job.id)
        };
        jobs.filter(move |one| !is_over(one))
            .filter_map(|(at, _)| self.left_of(at))
    }

    /// Whether what was placed in an earlier week is ready for the next stage when the first gang begins.
    #[must_use]
    pub fn is_ready_on(&self, job: usize, day: NaiveDate) -> bool {
        let begun = self.begun[job].as_deref();
        begun.is_none_or(|begun| begun.ready <= day.and_time(self.first_shift()))
    }

    fn first_shift(&self) -> NaiveTime {
        let gangs = self.programme.gangs.iter();
        let first = gangs.map(|gang| gang.shift.from).min();
        first.unwrap_or(NaiveTime::MIN)
    }

    /// Where days are left on which a begun job could be worked, but what was placed is ready on none of them.
    #[must_use]
    pub fn not_ready(&self, job: usize) -> Option<Reason> {
        let begun = self.begun[job].as_deref()?;
        let (week, own) = (&self.programme.week, &self.programme.jobs[job]);
        let open = |day: &NaiveDate| own.allows(*day) && week.is_working_day(*day);
        let mut days = week.calendar_days().filter(open).peekable();
        days.peek()?;
        days.all(|day| !self.is_ready_on(job, day)).then(|| Reason {
            code: "U-READY".to_owned(),
            text: format!(
                "It was begun ({}), and what was placed is ready on {} at {}, on no day of the week before a gang \
                 begins; leave it to a later week.",
                said(begun.last),
                words::day(begun.ready.date()),
                begun.ready.format("%H:%M"),
            ),
        })
    }

    /// What was placed last of the jobs that were begun in an earlier week, and when.
    #[must_use]
    pub fn placed_before(&self) -> Vec<PlacedBefore> {
        let jobs = self.programme.jobs.iter().zip(&self.begun);
        let placed = jobs.filter_map(|(job, begun)| {
            let begun = begun.as_deref()?;
            Some(PlacedBefore {
                job: job.id.clone(),
                wait: begun.wait,
                at: begun.last.at,
            })
        });
        placed.collect()
    }
}

impl Opened {
    /// Looks into the diary for what was done before the week began, and what is open in it; a plan tells where jobs
    /// are left.
    pub fn look_back(&mut self, plan: Option<&Plan>) {
        let week = &self.prepared.programme.week;
        let done = in_week(&self.diary, week);
        let past = Past {
            before: Arc::new(before_week(&self.diary, week)),
            open: Arc::new(open_works(&done)),
            parted: Arc::new(parted(&done, week, plan)),
        };
        if past != self.prepared.past {
            self.prepared = Arc::new(self.prepared.with_past_of(past));
        }
    }
}

#[cfg(test)]
mod tests;
