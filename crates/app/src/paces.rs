//! How long each gang takes over each job, on each day of the week.
//!
//! The usual gang's stages, in the coldest weather that the week has for concrete, stand in
//! [`Prepared::works`]. A gang of another size, with recorded outputs of its own, or on a warmer
//! day has its own stages here; gang-days that take the same share one pace.

use std::collections::HashMap;
use std::sync::Arc;

use chrono::NaiveDate;
use gangday_calc::{Conditions, DayCures, StageRules, as_recorded, least_celsius};
use gangday_model::{
    CureTimes, DayTemperature, Gang, GangId, JobId, JobWork, NOT_THAT_DAY, ParameterTable, WaitKind,
};

use crate::prepared::Prepared;
use crate::words;

/// The stages of every job, a place for each; none where they were refused.
type Works = Vec<Option<Arc<JobWork>>>;

/// The paces of a programme.
#[derive(Clone, Debug, Default)]
pub struct Paces {
    /// The figures of each gang; none where its own have faults.
    own: Arc<Vec<Option<OwnFigures>>>,
    /// All but the usual one.
    others: Vec<Pace>,
    /// Waits along each day whose temperature differs by the hour; days that are alike share one.
    cures: Vec<DayCures>,
    /// Of each gang on each date, counted from 1 among the others; the usual one is not listed.
    of: Arc<HashMap<(usize, NaiveDate), u32>>,
    /// One gang-day of each sort, with its pace.
    sorts: Arc<Vec<(usize, NaiveDate, u32)>>,
    /// The place of each gang among the programme's.
    gangs: Arc<HashMap<GangId, usize>>,
}

/// How long things take, and how long they cure.
#[derive(Clone, Debug, PartialEq)]
pub struct Pace {
    /// The stages of every job.
    pub works: Works,
    /// Which of [`Paces::cures`]; none where the day has one temperature.
    pub cures: Option<usize>,
}

/// What makes one pace differ from another: people, outputs of its own, the day's temperatures.
type Key = (u32, Option<usize>, usize);

impl Paces {
    /// Works out every gang-day's stages, once for all that are alike.
    #[must_use]
    pub fn of(prepared: &Prepared) -> Self {
        let gangs = &prepared.programme.gangs;
        let usual = Arc::new(prepared.method.clone());
        let own = gangs.iter().map(|gang| own_figures(prepared, gang, &usual));
        Self::by(prepared, Arc::new(own.collect()))
    }

    fn by(prepared: &Prepared, own: Arc<Vec<Option<OwnFigures>>>) -> Self {
        let programme = &prepared.programme;
        let mut paces = Self {
            own,
            ..Self::default()
        };
        let (mut known, mut of, mut sorts) = (HashMap::new(), HashMap::new(), Vec::new());
        let mut weathers: Vec<DayTemperature> = Vec::new();
        for (at, gang) in programme.gangs.iter().enumerate() {
            let outputs = gang.extra.contains_key("outputs").then_some(at);
            for date in programme.week.calendar_days() {
                let day = programme.week.temperature_on(date);
                let same = weathers.iter().position(|known| *known == day);
                let weather = same.unwrap_or(weathers.len());
                if same.is_none() {
                    weathers.push(day);
                }
                let key: Key = (gang.people, outputs, weather);
                let pace = *known.entry(key).or_insert_with(|| {
                    let pace = paces.add(prepared, at, date);
                    sorts.push((at, date, pace));
                    pace
                });
                if pace > 0 {
                    of.insert((at, date), pace);
                }
            }
        }
        (paces.of, paces.sorts) = (Arc::new(of), Arc::new(sorts));
        // Of two with one id the first counts, as everywhere.
        let gangs = programme.gangs.iter().enumerate().rev();
        paces.gangs = Arc::new(gangs.map(|(at, gang)| (gang.id.clone(), at)).collect());
        paces
    }

    /// The pace of this gang-day, worked out.
    fn add(&mut self, prepared: &Prepared, gang: usize, date: NaiveDate) -> u32 {
        let day = prepared.programme.week.temperature_on(date);
        let cures = self.along(prepared, &day);
        let jobs = 0..prepared.works.len();
        let works: Works = jobs.map(|at| self.work(prepared, at, gang, date)).collect();
        if works == prepared.works && cures.is_none() {
            return 0;
        }
        let pace = Pace { works, cures };
        let same = self.others.iter().position(|other| *other == pace);
        let at = same.unwrap_or_else(|| {
            self.others.push(pace);
            self.others.len() - 1
        });
        u32::try_from(at + 1).unwrap_or(0)
    }

    /// Which of the cures are those of this day; none where it has one temperature.
    fn along(&mut self, prepared: &Prepared, day: &DayTemperature) -> Option<usize> {
        let rules = prepared.stages.as_ref().filter(|_| day.is_curve())?;
        let known = self.cures.iter().position(|known| known.day() == day);
        Some(known.unwrap_or_else(|| {
            self.cures.push(rules.along(day));
            self.cures.len() - 1
        }))
    }

    /// A job's stages as the gang does them that day; where that can't be said, as the usual one.
    fn work(
        &self,
        prepared: &Prepared,
        at: usize,
        gang: usize,
        date: NaiveDate,
    ) -> Option<Arc<JobWork>> {
        let usual = prepared.works[at].as_ref()?;
        let done = || {
            let taken = prepared.take_offs[at].as_ref()?;
            let job = prepared.as_closed(at, &prepared.programme.jobs[at]);
            let rules = &self.own[gang].as_ref()?.rules;
            let conditions = prepared.conditions_on(gang, date);
            let day = prepared.programme.week.temperature_on(date);
            match self.cures_on(&day) {
                Some(cures) => rules.stage_work_along(&job, taken, conditions.people, cures),
                None => rules.stage_work(&job, taken, conditions),
            }
            .ok()
        };
        let done = done().map(|work| prepared.rest(prepared.begun[at].as_deref(), work));
        let done = done.filter(|done| *done != **usual).map(Arc::new);
        Some(done.unwrap_or_else(|| Arc::clone(usual)))
    }

    /// The paces of the same gangs and days with other jobs: `was` tells where each job stood
    /// before, none where it has to be worked out. Where jobs tell gang-days apart that did not
    /// differ before, all is worked out.
    #[must_use]
    pub fn with_jobs(&self, prepared: &Prepared, was: &[Option<usize>]) -> Self {
        let kept = |pace: &Pace| Pace {
            works: was.iter().map(|at| pace.works[(*at)?].clone()).collect(),
            cures: pace.cures,
        };
        let mut paces = Self {
            others: self.others.iter().map(kept).collect(),
            ..self.clone()
        };
        let fresh = (0..was.len()).filter(|at| was[*at].is_none());
        for at in fresh {
            for (sort, (gang, date, pace)) in self.sorts.iter().enumerate() {
                let work = self.work(prepared, at, *gang, *date);
                let first = self.sorts[..sort].iter().all(|(_, _, other)| other != pace);
                let place = (*pace as usize).checked_sub(1);
                match place.map(|place| &mut paces.others[place].works[at]) {
                    Some(known) if first => *known = work,
                    Some(known) if *known == work => {}
                    None if prepared.works[at] == work => {}
                    _ => return Self::by(prepared, Arc::clone(&self.own)),
                }
            }
        }
        paces
    }

    /// The paces beside the usual one.
    #[must_use]
    pub fn others(&self) -> &[Pace] {
        &self.others
    }

    /// The waits along each day whose temperature differs by the hour.
    #[must_use]
    pub fn cures(&self) -> &[DayCures] {
        &self.cures
    }

    /// The waits along a date's temperatures; none where it has one temperature.
    #[must_use]
    pub fn cures_on(&self, day: &DayTemperature) -> Option<&DayCures> {
        self.cures.iter().find(|known| known.day() == day)
    }

    /// The pace of a gang on a date: 0 for the usual one.
    #[must_use]
    pub fn pace(&self, gang: usize, date: NaiveDate) -> u32 {
        self.of.get(&(gang, date)).copied().unwrap_or(0)
    }
}

/// The figures that one gang works by: its recorded outputs over the usual ones.
#[derive(Debug)]
pub struct OwnFigures {
    /// The method.
    pub method: Arc<ParameterTable>,
    /// The same, read for stages.
    pub rules: Arc<StageRules>,
}

/// Gangs that record no outputs of their own share the `usual` method.
fn own_figures(
    prepared: &Prepared,
    gang: &Gang,
    usual: &Arc<ParameterTable>,
) -> Option<OwnFigures> {
    if !gang.extra.contains_key("outputs") {
        return Some(OwnFigures {
            method: Arc::clone(usual),
            rules: prepared.stages.clone()?,
        });
    }
    let method = as_recorded(&prepared.method, gang).ok()?;
    let rules = StageRules::read(&method, &prepared.materials).ok()?;
    Some(OwnFigures {
        method: Arc::new(method),
        rules: Arc::new(rules),
    })
}

impl Prepared {
    /// The weather of a day and the people of a gang.
    #[must_use]
    pub fn conditions_on(&self, gang: usize, date: NaiveDate) -> Conditions {
        let people = self.programme.gangs.get(gang).map(|gang| gang.people);
        Conditions {
            people,
            ..Conditions::at(self.programme.week.celsius_on(date)).on(date)
        }
    }

    /// The figures that a gang works by: its recorded outputs over the usual ones.
    #[must_use]
    pub fn figures_of(&self, gang: usize) -> Option<&OwnFigures> {
        self.paces.own.get(gang).and_then(Option::as_ref)
    }

    /// The stages of a job as this gang does them on this date.
    #[must_use]
    pub fn work_on(&self, job: &JobId, gang: &GangId, date: NaiveDate) -> Option<&JobWork> {
        let at = self.index_of(job)?;
        let gang = self.gang_at(gang);
        self.work_at(at, gang.map_or(0, |gang| self.paces.pace(gang, date)))
    }

    /// The stages of a job at a pace.
    #[must_use]
    pub fn work_at(&self, job: usize, pace: u32) -> Option<&JobWork> {
        let others = (pace as usize).checked_sub(1);
        let works = others.and_then(|at| Some(&self.paces.others.get(at)?.works));
        works.unwrap_or(&self.works)[job].as_deref()
    }

    /// The place of a gang among the programme's.
    #[must_use]
    pub fn gang_at(&self, gang: &GangId) -> Option<usize> {
        self.paces.gangs.get(gang).copied()
    }

    /// When what is waited for is over along a day's temperatures; none where it has one temperature.
    #[must_use]
    pub fn cure_on(&self, date: NaiveDate, kind: WaitKind) -> Option<&CureTimes> {
        let day = self.programme.week.temperature_on(date);
        self.paces.cures_on(&day)?.of(kind)
    }

    /// What a job places that a date is too cold for, all day long, and what it would need: of several
    /// what needs it warmest. A job that places nothing may be done on every day.
    ///
    /// # Units
    /// Degrees Celsius.
    #[must_use]
    pub fn too_cold_on(&self, job: usize, date: NaiveDate) -> Option<(WaitKind, f64)> {
        let day = self.programme.week.temperature_on(date);
        let stages = self.works[job].iter().flat_map(|work| &work.stages);
        let cold = stages.filter_map(|stage| stage.then).filter_map(|wait| {
            let least = least_celsius(&self.materials, wait.kind)?;
            let warm = match self.cure_on(date, wait.kind) {
                // What is not waited for ends no block, so that its hours could not be kept.
                _ if wait.time.seconds() == 0 => day.lowest() >= least,
                Some(cure) => cure.warm_end(0, 0) < NOT_THAT_DAY.min(self.latest_end()),
                None => day.lowest() >= least,
            };
            (!warm).then_some((wait.kind, least))
        });
        cold.min_by(|one, other| other.1.total_cmp(&one.1))
    }

    /// When the last gang's day ends, overtime used up, in seconds of the day.
    fn latest_end(&self) -> u32 {
        let gangs = self.programme.gangs.iter();
        let ends = gangs.map(|gang| {
            let overtime = u32::try_from(gang.overtime.seconds()).unwrap_or(0);
            words::minutes_of_day(gang.shift.until) * 60 + overtime
        });
        ends.max().unwrap_or(0)
    }

    /// Whether what a job places may be placed in some hours of a date.
    #[must_use]
    pub fn is_warm_enough(&self, job: usize, date: NaiveDate) -> bool {
        self.too_cold_on(job, date).is_none()
    }
}

#[cfg(test)]
mod tests;
