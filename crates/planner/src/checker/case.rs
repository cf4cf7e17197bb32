//! The plan and the programme, with what the rules look up.

use std::collections::{BTreeMap, HashMap, HashSet};

use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, Timelike};
use gangday_model::{
    Finding, Gang, GangId, Job, JobId, JobWork, LonLat, Plan, Programme, Route, Seconds, Stage,
    StageWork, Visit, VisitStatus, day_in_words,
};

use super::Brief;

/// What a rule sees.
pub(super) struct Case<'a> {
    pub(super) brief: &'a Brief<'a>,
    pub(super) programme: &'a Programme,
    pub(super) plan: &'a Plan,
    /// Each planned job's visits with their routes, as the plan lists them.
    pub(super) visits: BTreeMap<&'a JobId, Vec<(&'a Route, &'a Visit)>>,
    jobs: HashMap<&'a JobId, &'a Job>,
    gangs: HashMap<&'a GangId, &'a Gang>,
    works: HashMap<&'a JobId, &'a JobWork>,
    paced: HashMap<(&'a JobId, &'a GangId, NaiveDate), &'a JobWork>,
    begun: HashSet<&'a JobId>,
}

impl<'a> Case<'a> {
    pub(super) fn new(brief: &'a Brief<'a>, plan: &'a Plan) -> Self {
        let programme = brief.programme;
        let mut visits: BTreeMap<&JobId, Vec<_>> = BTreeMap::new();
        for route in &plan.routes {
            for visit in &route.visits {
                visits.entry(&visit.job).or_default().push((route, visit));
            }
        }
        Self {
            brief,
            programme,
            plan,
            visits,
            jobs: programme.jobs.iter().map(|job| (&job.id, job)).collect(),
            gangs: programme
                .gangs
                .iter()
                .map(|gang| (&gang.id, gang))
                .collect(),
            works: brief.works.iter().map(|work| (&work.job, work)).collect(),
            paced: brief
                .paced
                .iter()
                .map(|own| ((&own.work.job, &own.gang, own.date), &own.work))
                .collect(),
            begun: brief.limits.before.iter().map(|own| &own.job).collect(),
        }
    }

    /// When the week begins, if the job's works stand open from before it.
    pub(super) fn open_since(&self, job: &JobId) -> Option<NaiveDateTime> {
        let begins = self.programme.week.first_day.and_time(NaiveTime::MIN);
        self.begun.contains(job).then_some(begins)
    }

    /// Whether both stand open from before the week, so that no plan keeps them apart.
    pub(super) fn are_both_open(&self, one: &JobId, other: &JobId) -> bool {
        self.begun.contains(one) && self.begun.contains(other)
    }

    pub(super) fn job(&self, id: &JobId) -> Option<&'a Job> {
        self.jobs.get(id).copied()
    }

    /// The most nights over which a job may be left, and whether over a day on which nobody works.
    pub(super) fn may_be_left(&self, job: &Job) -> (u32, bool) {
        let week = &self.programme.week;
        match self.brief.limits.open.binary_search(&job.id) {
            Ok(_) => (u32::MAX, true),
            Err(_) => (week.nights_of(job), week.leaves_over_weekend(job)),
        }
    }

    pub(super) fn gang(&self, route: &Route) -> Option<&'a Gang> {
        self.gangs.get(&route.gang).copied()
    }

    pub(super) fn work(&self, id: &JobId) -> Option<&'a JobWork> {
        self.works.get(id).copied()
    }

    /// The stages of a job as this gang does them that day.
    pub(super) fn work_on(&self, id: &JobId, route: &Route) -> Option<&'a JobWork> {
        let own = self.paced.get(&(id, &route.gang, route.date)).copied();
        own.or_else(|| self.work(id))
    }

    /// The drive of a gang that is free to go then: the earliest it can be there, and of the drives
    /// that get it there by then the shortest.
    ///
    /// It goes at once, or waits for any full hour that is quicker, and each takes as long as the hour
    /// says in which the gang goes.
    pub(super) fn drive(
        &self,
        gang: &Gang,
        (from, to): (LonLat, LonLat),
        free: NaiveDateTime,
    ) -> (NaiveDateTime, TimeDelta) {
        let hour = TimeDelta::hours(1);
        let since_full = TimeDelta::seconds(i64::from(free.num_seconds_from_midnight() % 3_600));
        let (mut goes, mut full) = (free, free - since_full);
        let mut best: Option<(NaiveDateTime, TimeDelta)> = None;
        while best.is_none_or(|(there, _)| goes < there) {
            let lasts = span((self.brief.travel)(gang, goes.hour(), from, to));
            let this = (goes + lasts, lasts);
            best = Some(best.map_or(this, |best| best.min(this)));
            full += hour;
            goes = full;
        }
        best.unwrap_or((free, TimeDelta::zero()))
    }

    /// Routes with their gangs, where the gang is known.
    pub(super) fn crewed(&self) -> impl Iterator<Item = (&'a Route, &'a Gang)> + '_ {
        self.plan
            .routes
            .iter()
            .filter_map(|route| Some((route, self.gang(route)?)))
    }

    /// Each stage with the one after it, where both are planned.
    pub(super) fn pairs(&self) -> impl Iterator<Item = Pair<'a>> + '_ {
        self.worked().flat_map(|(job, visits, work)| {
            let planned = |at: usize| {
                let stage = work.stages[at].stage;
                visits
                    .iter()
                    .find(|(_, visit)| visit.stage == stage)
                    .copied()
            };
            let pair = move |at: usize| {
                let ((left, before), (route, visit)) = (planned(at)?, planned(at + 1)?);
                Some(Pair {
                    job,
                    left,
                    before,
                    route,
                    visit,
                    work,
                    at,
                })
            };
            (0..work.stages.len().saturating_sub(1)).filter_map(pair)
        })
    }

    /// Gang and date as people call them: `Ash gang on Mon 1 Mar`.
    pub(super) fn name(&self, route: &Route) -> String {
        let gang = self.programme.gang_name(&route.gang);
        format!("{gang} on {}", day(route.date))
    }

    /// A fault of a gang-day.
    pub(super) fn of_route(
        &self,
        code: &str,
        route: &Route,
        text: impl AsRef<str>,
        remedy: impl Into<String>,
    ) -> Finding {
        let text = format!("Gang-day of {}: {}", self.name(route), text.as_ref());
        Finding::fault(code, text, remedy).at(place(route))
    }

    /// A fault of a job on a gang-day.
    pub(super) fn of_visit(
        &self,
        code: &str,
        route: &Route,
        job: &JobId,
        text: impl AsRef<str>,
        remedy: impl Into<String>,
    ) -> Finding {
        let text = format!("job {job}: {}", text.as_ref());
        self.of_route(code, route, text, remedy).of(job.as_str())
    }

    /// Each planned job whose stages are known, its visits and its stages as the gang of its first
    /// visit does them that day.
    pub(super) fn worked(
        &self,
    ) -> impl Iterator<Item = (&'a JobId, &Vec<(&'a Route, &'a Visit)>, &'a JobWork)> + '_ {
        self.visits
            .iter()
            .filter_map(|(&id, visits)| Some((id, visits, self.work_on(id, visits.first()?.0)?)))
    }
}

/// A planned stage of a job and the one after it.
pub(super) struct Pair<'a> {
    pub(super) job: &'a JobId,
    /// The first one's visit.
    pub(super) left: &'a Route,
    pub(super) before: &'a Visit,
    /// The next one's.
    pub(super) route: &'a Route,
    pub(super) visit: &'a Visit,
    work: &'a JobWork,
    at: usize,
}

impl<'a> Pair<'a> {
    /// The first stage as the gang of a route does it that day.
    pub(super) fn stage_on(&self, case: &Case<'a>, route: &Route) -> &'a StageWork {
        let own = case.work_on(self.job, route).unwrap_or(self.work);
        own.stages
            .get(self.at)
            .unwrap_or(&self.work.stages[self.at])
    }
}

/// A job's gang-days by date, each once.
pub(super) fn days<'a>(visits: &[(&'a Route, &'a Visit)]) -> Vec<&'a Route> {
    let mut routes: Vec<&Route> = Vec::new();
    for (route, _) in visits {
        if !routes.iter().any(|known| std::ptr::eq(*known, *route)) {
            routes.push(route);
        }
    }
    routes.sort_by_key(|route| route.date);
    routes
}

/// The last stage of a job that is done, if any is: whoever did it had those before it behind them.
pub(super) fn last_done(visits: &[(&Route, &Visit)]) -> Option<Stage> {
    let done = visits.iter().map(|(_, visit)| visit);
    let done = done.filter(|visit| visit.status == Some(VisitStatus::Done));
    done.map(|visit| visit.stage).max()
}

/// A length of time as the calendar counts it.
pub(super) fn span(seconds: Seconds) -> TimeDelta {
    TimeDelta::seconds(seconds.seconds())
}

/// A time of the route's date.
pub(super) fn on(route: &Route, time: NaiveTime) -> NaiveDateTime {
    route.date.and_time(time)
}

/// Whole minutes, the begun one counted.
pub(super) fn minutes(span: TimeDelta) -> i64 {
    Seconds::from_seconds(span.num_seconds()).minutes_up()
}

/// The time of day, for showing.
pub(super) fn clock(time: NaiveDateTime) -> String {
    time.format("%H:%M").to_string()
}

/// A time of day with its date, for showing: `07:30 on Mon 1 Mar`.
pub(super) fn moment(time: NaiveDateTime) -> String {
    format!("{} on {}", clock(time), day(time.date()))
}

/// A date, for showing: `Mon 1 Mar`.
pub(super) fn day(date: NaiveDate) -> String {
    day_in_words(date)
}

/// Gang and date, by which a gang-day is found.
fn place(route: &Route) -> String {
    format!("{} {}", route.gang, route.date)
}

/// A fault of a job on no gang-day in particular.
pub(super) fn of_job(
    code: &str,
    job: &JobId,
    text: impl AsRef<str>,
    remedy: impl Into<String>,
) -> Finding {
    Finding::fault(code, format!("Job {job}: {}", text.as_ref()), remedy).at(job.as_str())
}
