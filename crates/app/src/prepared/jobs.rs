//! What is worked out of each job by itself, and again where only some jobs are others.

use std::sync::Arc;

use gangday_calc::{StageRules, day_vibration, review};
use gangday_files::{GANGS, JOBS};
use gangday_ground::Plane;
use gangday_model::{Finding, Job, JobWork, LonLat, Programme, TakeOff};

use super::stray::stray;
use super::{ClosureCall, Prepared, places};
use crate::begun;
use crate::streets;
use crate::watching::{Stopped, Watch};

impl Prepared {
    /// The same programme with other jobs: only those that are new or changed are worked out. Its
    /// roads are taken over as they are, unless the jobs lie so differently that the plane is another.
    #[must_use]
    pub fn with_jobs(&self, jobs: Vec<Job>) -> Self {
        match self.with_jobs_watched(jobs, Watch::NOBODY) {
            Ok(prepared) => prepared,
            // Nobody stops what nobody watches.
            Err(Stopped) => self.clone(),
        }
    }

    /// The same with somebody who sees how far it is.
    ///
    /// # Errors
    /// It is stopped.
    pub fn with_jobs_watched(&self, jobs: Vec<Job>, watch: Watch<'_>) -> Result<Self, Stopped> {
        let same = |(at, job): (usize, &Job)| {
            let at = self.index_near(at, &job.id)?;
            (self.programme.jobs[at] == *job).then_some(at)
        };
        let was: Vec<Option<usize>> = jobs.iter().enumerate().map(same).collect();
        let programme = self.programme.with_jobs(jobs);
        if self.keeps_its_plane(&programme, &was) {
            self.amended(programme, &was, watch)
        } else {
            watch.begin("Working out every job")?;
            Ok(Self::on_roads(programme, self.network.clone(), None))
        }
    }

    /// The same jobs, those worked out anew that are not said to be where they `was`.
    pub(crate) fn worked_out_anew(&self, was: &[Option<usize>]) -> Self {
        let programme = self.programme.as_ref().clone();
        match self.amended(programme, was, Watch::NOBODY) {
            Ok(prepared) => prepared,
            // Nobody stops what nobody watches.
            Err(Stopped) => self.clone(),
        }
    }

    fn keeps_its_plane(&self, programme: &Programme, was: &[Option<usize>]) -> bool {
        if !self.plane.is_national_grid() {
            return Plane::for_places(places(programme)) == self.plane;
        }
        let fresh = programme.jobs.iter().zip(was);
        let fresh = fresh
            .filter(|(_, was)| was.is_none())
            .map(|(job, _)| job.at);
        Plane::for_places(fresh).is_national_grid()
    }

    fn amended(
        &self,
        programme: Programme,
        was: &[Option<usize>],
        watch: Watch<'_>,
    ) -> Result<Self, Stopped> {
        let in_place = was.len() == self.points.len();
        let in_place = in_place
            && programme
                .jobs
                .iter()
                .zip(&self.programme.jobs)
                .all(|(new, old)| new.id == old.id);
        let mut prepared = Self {
            programme: Arc::new(programme),
            findings: std::sync::OnceLock::new(),
            standing: self.standing.before(was),
            ..self.clone()
        };
        if !in_place {
            prepared.by_id = Arc::new(ids(&prepared.programme.jobs));
        }
        prepared.points = rows(&self.points, was);
        prepared.streets = rows(&self.streets, was);
        prepared.take_offs = rows(&self.take_offs, was);
        prepared.works = rows(&self.works, was);
        prepared.begun = rows(&self.begun, was);
        prepared.of_jobs = rows(&self.of_jobs, was);
        prepared.closures = rows(&self.closures, was);
        let others: Vec<usize> = (0..was.len()).filter(|at| was[*at].is_none()).collect();
        for (nth, at) in others.iter().enumerate() {
            watch.row((nth, others.len()), "Job", "worked out")?;
            prepared.work_out_job(*at);
        }
        prepared.paces = self.paces.with_jobs(&prepared, was);
        Ok(prepared)
    }

    /// Everything of every job by itself.
    pub(super) fn work_out_jobs(&mut self) {
        let jobs = self.programme.jobs.len();
        self.by_id = Arc::new(ids(&self.programme.jobs));
        self.points.resize(jobs, None);
        self.streets.resize(jobs, None);
        self.take_offs.resize(jobs, None);
        self.works.resize(jobs, None);
        self.begun.resize(jobs, None);
        self.of_jobs.resize(jobs, Arc::default());
        self.closures.resize(jobs, ClosureCall::default());
        (0..jobs).for_each(|at| self.work_out_job(at));
    }

    fn work_out_job(&mut self, at: usize) {
        let job = &self.programme.jobs[at];
        let point = self.plane.to_plane(job.at);
        let street = streets::of_job(&self.lines, job, point);
        let (kind, proposed, because) = {
            let street = street.map(|street| &self.programme.streets[street]);
            self.traffic.propose(job, street)
        };
        let mut found: Vec<Finding> = self.off_road(job).into_iter().collect();
        found.extend(stray(job, &self.method));
        self.points[at] = point;
        self.streets[at] = street;
        self.closures[at] = ClosureCall {
            kind,
            proposed,
            because: because.into(),
        };
        let job = self.as_closed(at, &self.programme.jobs[at]);
        let taken = self.take_off(&job, at, &mut found);
        let work = taken
            .as_ref()
            .and_then(|taken| self.stage_work(&job, taken, &mut found));
        let known = taken.as_ref().zip(work.as_ref());
        let begun = known.and_then(|(taken, work)| self.begun_of(&job, work, taken));
        found.extend(begun.iter().map(|begun| begun::caution(&job, begun)));
        let left = work.map(|work| self.rest(begun.as_ref(), work));
        self.take_offs[at] = taken.map(Arc::new);
        self.works[at] = left.map(Arc::new);
        self.begun[at] = begun.map(Arc::new);
        self.of_jobs[at] = found.into();
    }

    fn take_off(&self, job: &Job, at: usize, found: &mut Vec<Finding>) -> Option<TakeOff> {
        let rules = self.take_off_rules.as_ref()?;
        let street = self.streets[at].map(|street| &self.programme.streets[street]);
        let (taken, told) = match rules.take_off_in(job, street) {
            Ok(taken) => {
                let told = review(job, &taken, &self.method);
                (Some(taken), told)
            }
            Err(faults) => (None, faults),
        };
        found.extend(told.into_iter().map(|finding| about(job, finding)));
        taken
    }

    fn stage_work(&self, job: &Job, taken: &TakeOff, found: &mut Vec<Finding>) -> Option<JobWork> {
        let rules = self.stages.as_deref()?;
        match rules.stage_work(job, taken, self.conditions) {
            Ok(work) => {
                let pours = rules.large_pours(taken, self.conditions.people);
                found.extend(pours.unwrap_or_default());
                found.extend(self.past_limit(rules, job, taken));
                Some(work)
            }
            Err(faults) => {
                found.extend(faults.into_iter().map(|fault| about(job, fault)));
                None
            }
        }
    }

    /// A job whose tools alone, all on one day, are past the vibration limit value for the usual
    /// gang.
    fn past_limit(&self, rules: &StageRules, job: &Job, taken: &TakeOff) -> Option<Finding> {
        let activities = rules.activities(job, taken, None).ok()?;
        let held = activities.iter();
        let held = held.filter_map(|one| Some((one.tool?, one.minutes)));
        let day = day_vibration(held, u32::MAX, &self.method).ok()?;
        let fault = day.finding.filter(Finding::is_fault)?;
        let text = format!("{}'s tools alone: {}", job.id, fault.text);
        Some(about(job, Finding { text, ..fault }))
    }

    /// Whether no road reaches a place, while there are roads.
    fn is_far(&self, at: LonLat) -> bool {
        let at = self.plane.to_plane(at);
        at.is_some_and(|at| self.travel.off_road(at))
    }

    fn off_road(&self, job: &Job) -> Option<Finding> {
        let far = self.is_far(job.at);
        far.then(|| far_from_roads(&format!("Job {}", job.id), JOBS, job.id.as_str()))
    }

    /// Depots that no road reaches, while there are roads.
    pub(super) fn depots_off_road(&self) -> Vec<Finding> {
        let gangs = self.programme.gangs.iter();
        let far = gangs.filter(|gang| self.is_far(gang.depot));
        far.map(|gang| {
            let what = format!("The depot of gang {}", gang.id);
            far_from_roads(&what, GANGS, gang.id.as_str())
        })
        .collect()
    }
}

fn far_from_roads(what: &str, file: &str, id: &str) -> Finding {
    let text = format!(
        "{what} is too far from any road that can be driven to and from; journeys to it are by the \
         straight line."
    );
    let remedy = "Move it nearer to its road, or raise `travel.road_reach_m`.";
    Finding::note("T-OFF-ROAD", text, remedy)
        .in_file(file)
        .at(id)
}

/// What is known of the jobs that are as they were, by where each stood; nothing of the others.
fn rows<T: Clone + Default>(old: &[T], was: &[Option<usize>]) -> Vec<T> {
    let row = |at: &Option<usize>| at.map_or_else(T::default, |at| old[at].clone());
    was.iter().map(row).collect()
}

fn ids(jobs: &[Job]) -> std::collections::HashMap<gangday_model::JobId, usize> {
    let ids = jobs.iter().enumerate();
    ids.map(|(at, job)| (job.id.clone(), at)).collect()
}

/// A finding of one job names it; one of a table of figures is everybody's.
fn about(job: &Job, finding: Finding) -> Finding {
    if finding.place.feature.is_some() || finding.code.starts_with("P-") {
        finding
    } else {
        finding.in_file(JOBS).at(job.id.as_str())
    }
}

#[cfg(test)]
mod tests {
    use gangday_model::Sizes;

    use super::*;
    use crate::demo;
    use crate::view::DemoWeek;

    /// Everything that is worked out of the jobs, as text.
    fn told(prepared: &Prepared) -> Vec<String> {
        let programme = &prepared.programme;
        let mut found: Vec<String> = prepared
            .findings()
            .iter()
            .map(|one| format!("{one:?}"))
            .collect();
        found.sort();
        let job = |at: usize| {
            let id = &programme.jobs[at].id;
            let gangs = programme.gangs.iter();
            let works = gangs.flat_map(|gang| {
                let days = programme.week.calendar_days();
                days.map(|day| prepared.work_on(id, &gang.id, day).cloned())
                    .collect::<Vec<_>>()
            });
            format!(
                "{id} {:?} {:?} {:?} {:?} {:?} {:?}",
                prepared.index_of(id),
                prepared.points[at],
                prepared.streets[at],
                prepared.closures[at],
                prepared.take_offs[at],
                works.collect::<Vec<_>>(),
            )
        };
        found.extend((0..programme.jobs.len()).map(job));
        found
    }

    #[test]
    fn what_is_worked_out_of_changed_jobs_alone_is_what_all_of_them_would_give() {
        let mut prepared = demo::open(DemoWeek::Full).prepared.as_ref().clone();
        let first = prepared.programme.jobs[0].clone();
        let mut turns = 0;
        for turn in 0..12_usize {
            let mut jobs = prepared.programme.jobs.clone();
            let at = turn * 7 % jobs.len();
            match turn % 6 {
                0 => jobs[at].at = first.at,
                1 => jobs[at].sizes = Sizes::default(),
                2 => drop(jobs.remove(at)),
                3 => jobs.insert(
                    at,
                    Job {
                        id: format!("X{turn}").as_str().into(),
                        ..first.clone()
                    },
                ),
                4 => jobs[at].id = format!("Y{turn}").as_str().into(),
                _ => jobs.swap(at, 0),
            }
            let amended = prepared.with_jobs(jobs.clone());
            assert!(
                amended.is_kin_of(&prepared),
                "the roads were worked out anew"
            );
            let programme = Programme {
                jobs,
                ..prepared.programme.as_ref().clone()
            };
            let anew = Prepared::on_roads(programme, prepared.network.clone(), None);
            assert_eq!(told(&amended), told(&anew), "turn {turn}");
            turns += usize::from(told(&amended) != told(&prepared));
            prepared = amended;
        }
        assert!(turns > 9, "only {turns} turns change something");
    }

    #[test]
    fn a_job_that_tells_gang_days_apart_gets_a_pace_of_its_own() {
        let opened = demo::open(DemoWeek::Full);
        let mut programme = opened.prepared.programme.as_ref().clone();
        let all = std::mem::take(&mut programme.jobs);
        let empty = Prepared::on_roads(programme, None, None);
        let alike = empty.paces.others().len();
        let amended = empty.with_jobs(all);
        assert!(amended.paces.others().len() > alike);
        assert_eq!(told(&amended), told(&opened.prepared));
    }
}
