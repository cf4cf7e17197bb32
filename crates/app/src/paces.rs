//! How long each gang takes over each job, on each day of the week.
//!
//! The usual gang's stages, in the coldest weather that the week has for concrete, stand in
//! [`Prepared::works`]. A gang of another size, with recorded outputs of its own, or on a warmer
//! day has its own stages here; gang-days that take the same share one pace.

use std::collections::HashMap;
use std::sync::Arc;

use chrono::NaiveDate;
use gangday_calc::{Conditions, StageRules, as_recorded};
use gangday_model::{Gang, GangId, JobId, JobWork, ParameterTable, WaitKind};

use crate::prepared::Prepared;

/// The stages of every job, a place for each; none where they were refused.
type Works = Vec<Option<Arc<JobWork>>>;

/// The paces of a programme.
#[derive(Clone, Debug, Default)]
pub struct Paces {
    /// The figures of each gang; none where its own have faults.
    own: Arc<Vec<Option<OwnFigures>>>,
    /// All but the usual one.
    others: Vec<Works>,
    /// Of each gang on each date, counted from 1 among the others; the usual one is not listed.
    of: Arc<HashMap<(usize, NaiveDate), u32>>,
    /// One gang-day of each sort, with its pace.
    sorts: Arc<Vec<(usize, NaiveDate, u32)>>,
}

/// What makes one pace differ from another.
type Key = (u32, Option<usize>, u64);

impl Paces {
    /// Works out every gang-day's stages, once for all that are alike.
    #[must_use]
    pub fn of(prepared: &Prepared) -> Self {
        let gangs = &prepared.programme.gangs;
        let own = gangs.iter().map(|gang| own_figures(prepared, gang));
        Self::by(prepared, Arc::new(own.collect()))
    }

    fn by(prepared: &Prepared, own: Arc<Vec<Option<OwnFigures>>>) -> Self {
        let programme = &prepared.programme;
        let mut paces = Self {
            own,
            ..Self::default()
        };
        let (mut known, mut of, mut sorts) = (HashMap::new(), HashMap::new(), Vec::new());
        for (at, gang) in programme.gangs.iter().enumerate() {
            let outputs = gang.extra.contains_key("outputs").then_some(at);
            for date in programme.week.calendar_days() {
                let celsius = programme.week.celsius_on(date);
                let key: Key = (gang.people, outputs, celsius.to_bits());
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
        paces
    }

    /// The pace of this gang-day, worked out.
    fn add(&mut self, prepared: &Prepared, gang: usize, date: NaiveDate) -> u32 {
        let jobs = 0..prepared.works.len();
        let works: Works = jobs.map(|at| self.work(prepared, at, gang, date)).collect();
        if works == prepared.works {
            return 0;
        }
        let same = self.others.iter().position(|other| *other == works);
        let at = same.unwrap_or_else(|| {
            self.others.push(works);
            self.others.len() - 1
        });
        u32::try_from(at + 1).unwrap_or(0)
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
            rules.stage_work(&job, taken, conditions).ok()
        };
        let done = done().filter(|done| *done != **usual).map(Arc::new);
        Some(done.unwrap_or_else(|| Arc::clone(usual)))
    }

    /// The paces of the same gangs and days with other jobs: `was` tells where each job stood
    /// before, none where it has to be worked out. Where jobs tell gang-days apart that did not
    /// differ before, all is worked out.
    #[must_use]
    pub fn with_jobs(&self, prepared: &Prepared, was: &[Option<usize>]) -> Self {
        let kept = |works: &Works| was.iter().map(|at| works[(*at)?].clone()).collect();
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
                match place.map(|place| &mut paces.others[place][at]) {
                    Some(known) if first => *known = work,
                    Some(known) if *known == work => {}
                    None if prepared.works[at] == work => {}
                    _ => return Self::by(prepared, Arc::clone(&self.own)),
                }
            }
        }
        paces
    }

    /// How many paces there are beside the usual one.
    #[must_use]
    pub fn others(&self) -> &[Works] {
        &self.others
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
    pub method: ParameterTable,
    /// The same, read for stages.
    pub rules: StageRules,
}

fn own_figures(prepared: &Prepared, gang: &Gang) -> Option<OwnFigures> {
    let method = as_recorded(&prepared.method, gang).ok()?;
    let rules = if gang.extra.contains_key("outputs") {
        StageRules::read(&method, &prepared.materials).ok()?
    } else {
        prepared.stages.as_deref().cloned()?
    };
    Some(OwnFigures { method, rules })
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
        let works = others.and_then(|at| self.paces.others.get(at));
        works.unwrap_or(&self.works)[job].as_deref()
    }

    /// The place of a gang among the programme's.
    #[must_use]
    pub fn gang_at(&self, gang: &GangId) -> Option<usize> {
        self.programme.gangs.iter().position(|own| own.id == *gang)
    }

    /// Below this nothing with cement in it may be placed.
    ///
    /// # Units
    /// Degrees Celsius.
    #[must_use]
    pub fn least_celsius(&self) -> Option<f64> {
        self.materials.value("wait.min_temperature")
    }

    /// Whether a job's concrete and mortar may be placed on a date; a job without any may be done
    /// on every day.
    #[must_use]
    pub fn is_warm_enough(&self, job: usize, date: NaiveDate) -> bool {
        let places = self.works[job].iter().flat_map(|work| &work.stages);
        let places = places
            .filter_map(|stage| stage.then)
            .any(|wait| wait.kind != WaitKind::Hold);
        let celsius = self.programme.week.celsius_on(date);
        !places || self.least_celsius().is_none_or(|least| celsius >= least)
    }
}

#[cfg(test)]
mod tests {
    use gangday_model::Stage;
    use serde_json::json;

    use super::*;
    use crate::demo;
    use crate::opened::Opened;
    use crate::view::DemoWeek;
    use crate::{PlanOptions, make_plan, verify};

    /// The small demo week with its programme changed.
    fn changed(how: impl FnOnce(&mut gangday_model::Programme)) -> Opened {
        let opened = demo::open(DemoWeek::Small);
        let mut programme = opened.prepared.programme.clone();
        how(&mut programme);
        Opened {
            prepared: Arc::new(Prepared::new(programme)),
            ..opened
        }
    }

    fn planned(opened: &Opened) -> gangday_model::Plan {
        let options = PlanOptions {
            iterations: Some(200),
            seed: 1,
            ..PlanOptions::default()
        };
        make_plan(opened, &options, None, &mut |_| true).unwrap()
    }

    #[test]
    fn a_smaller_gang_takes_longer_and_is_planned_and_checked_so() {
        let opened = changed(|programme| {
            programme.gangs.truncate(1);
            programme.gangs[0].people = 2;
            programme.gangs[0].extra.remove("outputs");
        });
        let prepared = &opened.prepared;
        let plan = planned(&opened);
        let (route, visit) = (&plan.routes[0], &plan.routes[0].visits[0]);
        assert_eq!(visit.stage, Stage::Dig);
        let usual = prepared.work_of(&visit.job).unwrap().stages[0].work;
        let own = prepared
            .work_on(&visit.job, &route.gang, route.date)
            .unwrap();
        assert!(own.stages[0].work > usual, "{own:?}");
        let lasts = (visit.finish - visit.start).num_seconds();
        assert_eq!(lasts, own.stages[0].work.seconds());
        assert!(verify(&opened, &plan, None).sound);
    }

    #[test]
    fn recorded_outputs_replace_the_usual_ones_for_that_gang_alone() {
        let opened = changed(|programme| {
            for gang in &mut programme.gangs {
                gang.people = 3;
                gang.extra.remove("outputs");
            }
            let rows = json!([{
                "key": "stage.service_check", "value": 95, "unit": "min",
                "source": "own record", "date": "2026-11-02"
            }]);
            programme.gangs[0].extra.insert("outputs".to_owned(), rows);
        });
        let prepared = &opened.prepared;
        let first = prepared.programme.week.first_day;
        let [own, other] = [0, 1].map(|gang| prepared.paces.pace(gang, first));
        assert!(own != other);
        let job = (0..).find(|at| prepared.works[*at].is_some()).unwrap();
        let dig = |pace| {
            prepared.work_at(job, pace).unwrap().stages[0]
                .work
                .minutes_up()
        };
        let usual = prepared.method.value("stage.service_check").unwrap() as i64;
        assert_eq!(dig(own) - dig(other), 95 - usual);
    }

    /// By hand: 0.2 m3/h for the 10 min that concrete stays open is 0.033 m3, two bags a batch.
    #[test]
    fn a_gang_that_mixes_slowly_is_told_of_pours_that_the_usual_gang_could_place() {
        let slow = |rows: serde_json::Value| {
            changed(|programme| {
                programme.gangs.truncate(1);
                programme.gangs[0].extra.insert("outputs".to_owned(), rows);
            })
        };
        let pours = |opened: &Opened| {
            let report = verify(opened, &planned(opened), None);
            let found = report.findings.into_iter();
            found.filter(|one| one.code == "C-POUR").count()
        };
        let mixing = json!([{
            "key": "output.concrete", "value": 0.2, "unit": "m3/h",
            "source": "own record", "date": "2026-11-02"
        }]);
        assert_eq!(pours(&slow(json!([]))), 0);
        assert!(pours(&slow(mixing)) > 0);
    }

    #[test]
    fn waits_follow_the_temperature_of_the_day_and_a_cold_day_places_nothing() {
        let opened = changed(|programme| {
            let days: Vec<_> = programme.week.calendar_days().collect();
            let degrees = json!({ days[0].to_string(): 3.5, days[1].to_string(): 18.0 });
            programme
                .week
                .extra
                .insert("temperatures".to_owned(), degrees);
        });
        let prepared = &opened.prepared;
        let days: Vec<_> = prepared.programme.week.calendar_days().collect();
        let cures = |date| {
            let job = prepared
                .programme
                .jobs
                .iter()
                .enumerate()
                .find_map(|(at, job)| {
                    let base = prepared.works[at].as_ref()?.stages.iter();
                    let mut base = base.filter_map(|stage| stage.then);
                    base.any(|wait| wait.kind == WaitKind::BaseCure)
                        .then_some(&job.id)
                });
            let gang = &prepared.programme.gangs[0].id;
            let work = prepared.work_on(job.unwrap(), gang, date).unwrap();
            work.stages[1].wait()
        };
        assert!(
            cures(days[1]) < cures(days[2]),
            "warm concrete is done sooner"
        );
        let plan = planned(&opened);
        assert!(!plan.routes.is_empty());
        assert!(plan.routes.iter().all(|route| route.date != days[0]));
        assert!(verify(&opened, &plan, None).sound);
        let mut moved = plan.clone();
        let span = days[0] - moved.routes[0].date;
        let route = &mut moved.routes[0];
        route.date = days[0];
        route.depart += span;
        route.back += span;
        for visit in &mut route.visits {
            visit.arrive += span;
            visit.start += span;
            visit.finish += span;
        }
        let report = verify(&opened, &moved, None);
        let cold = report.findings.iter().find(|found| found.code == "R-COLD");
        let text = &cold.unwrap().text;
        assert!(text.contains(&format!("{} at 3.5 C", days[0])), "{text}");
    }

    #[test]
    fn a_job_whose_only_day_is_too_cold_is_told_the_date_and_the_temperature() {
        let mut job = String::new();
        let opened = changed(|programme| {
            let first = programme.week.first_day;
            let degrees = json!({ first.to_string(): 3.5 });
            let stated = &mut programme.week.extra;
            stated.insert("temperatures".to_owned(), degrees);
            let own = &mut programme.jobs[0];
            (own.earliest, own.latest) = (Some(first), Some(first));
            own.tickets.clear();
            job = own.id.to_string();
        });
        let plan = planned(&opened);
        let left = plan.unplanned.iter().find(|left| left.job.as_str() == job);
        let reason = &left.unwrap().reasons[0];
        assert_eq!(reason.code, "C-TOO-COLD");
        let told = reason.text.contains("only 3.5 °C") && reason.text.contains("below the 5 °C");
        assert!(told, "{}", reason.text);
    }
}
