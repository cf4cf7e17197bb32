//! A programme with everything that is worked out from it before anybody plans.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use gangday_calc::{
    Conditions, StageRules, TakeOffRules, as_recorded, cold_days, review, week_conditions,
};
use gangday_files::{JOBS, METHOD};
use gangday_ground::{Plane, Straight, shipped_travel};
use gangday_model::{
    ClosureKind, Finding, Job, JobId, JobWork, LonLat, Network, ParameterTable, PlanePoint,
    Programme, Seconds, TakeOff,
};
use gangday_traffic::{Rules, shipped_traffic};

use crate::rates;

/// The closure that a job takes, and why.
#[derive(Clone, Debug)]
pub struct ClosureCall {
    /// What is taken.
    pub kind: ClosureKind,
    /// Whether it was proposed here.
    pub proposed: bool,
    /// The rule that led to it.
    pub because: String,
}

/// A programme, prepared.
#[derive(Debug)]
pub struct Prepared {
    /// As it was read.
    pub programme: Programme,
    /// The shipped method with the programme's own over it.
    pub method: ParameterTable,
    /// The shipped materials with the programme's own over it.
    pub materials: ParameterTable,
    /// The shipped rates with the week's own over it.
    pub rates: ParameterTable,
    /// The working plane.
    pub plane: Plane,
    /// The road network that is kept with the programme, if there is one.
    pub network: Option<Arc<Network>>,
    /// How gangs get about.
    pub travel: Straight,
    /// By what figures closures are proposed and drawn.
    pub traffic: Rules,
    /// Each job's place on the plane; none where it can't be projected.
    pub points: Vec<Option<PlanePoint>>,
    /// The figures that stages are worked out by; none where the tables have faults.
    pub stages: Option<StageRules>,
    /// The weather and gang that stages are worked out for.
    pub conditions: Conditions,
    /// Each job's take-off; none where it was refused.
    pub take_offs: Vec<Option<TakeOff>>,
    /// Each job's stages; none where they were refused.
    pub works: Vec<Option<JobWork>>,
    /// Each job's closure.
    pub closures: Vec<ClosureCall>,
    /// Each job's street, as an index into the programme's.
    pub streets: Vec<Option<usize>>,
    /// What somebody should look at.
    pub findings: Vec<Finding>,
    by_id: HashMap<JobId, usize>,
}

impl Prepared {
    /// Works out everything; what can't be worked out for one job never hides the others.
    #[must_use]
    pub fn new(programme: Programme) -> Self {
        Self::on_roads(programme, None)
    }

    /// The same with the road network that is kept with the programme.
    #[must_use]
    pub fn on_roads(programme: Programme, network: Option<Arc<Network>>) -> Self {
        let method = shipped_travel()
            .overlaid(&gangday_calc::shipped_method())
            .overlaid(&programme.method);
        let materials = gangday_calc::shipped_materials().overlaid(&programme.materials);
        let rates =
            rates::shipped().overlaid(&ParameterTable::new(programme.week.rates.iter().cloned()));
        let plane = Plane::for_places(places(&programme));
        let mut findings = Vec::new();
        let travel = Straight::from_table(&method).unwrap_or_else(|fault| {
            findings.push(fault.in_file(METHOD));
            Straight::shipped()
        });
        let figures = shipped_traffic().overlaid(&programme.method);
        let traffic = Rules::from_table(&figures).unwrap_or_else(|faults| {
            findings.extend(faults.into_iter().map(|fault| fault.in_file(METHOD)));
            Rules::shipped().clone()
        });
        let points: Vec<_> = programme
            .jobs
            .iter()
            .map(|job| plane.to_plane(job.at))
            .collect();
        let streets = crate::streets::of_jobs(&programme, &plane, &points);
        let by_id = programme
            .jobs
            .iter()
            .enumerate()
            .map(|(at, job)| (job.id.clone(), at))
            .collect();
        let mut prepared = Self {
            conditions: week_conditions(&programme.week, &materials),
            stages: None,
            programme,
            method,
            materials,
            rates,
            plane,
            network,
            travel,
            traffic,
            points,
            take_offs: Vec::new(),
            works: Vec::new(),
            closures: Vec::new(),
            streets,
            findings,
            by_id,
        };
        prepared.work_out();
        prepared.findings = each_once(std::mem::take(&mut prepared.findings));
        prepared
    }

    fn work_out(&mut self) {
        let rules = match TakeOffRules::read(&self.method, &self.materials) {
            Ok(rules) => Some(rules),
            Err(faults) => {
                self.findings.extend(faults);
                None
            }
        };
        match StageRules::read(&self.method, &self.materials) {
            Ok(rules) => self.stages = Some(rules),
            Err(faults) => self.findings.extend(faults),
        }
        self.findings
            .extend(cold_days(&self.programme.week, &self.materials));
        for gang in &self.programme.gangs {
            let faults = as_recorded(&self.method, gang).err();
            self.findings.extend(faults.into_iter().flatten());
        }
        for at in 0..self.programme.jobs.len() {
            let call = self.closure_call(at);
            let mut job = self.programme.jobs[at].clone();
            job.closure = Some(call.kind);
            self.closures.push(call);
            let take_off = rules
                .as_ref()
                .and_then(|rules| self.take_off(rules, &job, at));
            let work = take_off.as_ref().and_then(|taken| self.stages(&job, taken));
            self.take_offs.push(take_off);
            self.works.push(work);
        }
    }

    fn closure_call(&self, at: usize) -> ClosureCall {
        let street = self.streets[at].map(|street| &self.programme.streets[street]);
        let (kind, proposed, because) = self.traffic.propose(&self.programme.jobs[at], street);
        ClosureCall {
            kind,
            proposed,
            because,
        }
    }

    fn take_off(&mut self, rules: &TakeOffRules, job: &Job, at: usize) -> Option<TakeOff> {
        let street = self.streets[at].map(|street| &self.programme.streets[street]);
        match rules.take_off_in(job, street) {
            Ok(taken) => {
                let found = review(job, &taken, &self.method);
                self.findings
                    .extend(found.into_iter().map(|finding| about(job, finding)));
                Some(taken)
            }
            Err(faults) => {
                self.findings
                    .extend(faults.into_iter().map(|fault| about(job, fault)));
                None
            }
        }
    }

    fn stages(&mut self, job: &Job, taken: &TakeOff) -> Option<JobWork> {
        let rules = self.stages.as_ref()?;
        match rules.stage_work(job, taken, self.conditions) {
            Ok(work) => {
                let pours = rules.large_pours(taken, self.conditions.people);
                self.findings.extend(pours.unwrap_or_default());
                Some(work)
            }
            Err(faults) => {
                self.findings
                    .extend(faults.into_iter().map(|fault| about(job, fault)));
                None
            }
        }
    }

    /// The index of a job.
    #[must_use]
    pub fn index_of(&self, job: &JobId) -> Option<usize> {
        self.by_id.get(job).copied()
    }

    /// Where a job is.
    #[must_use]
    pub fn place_of(&self, job: &JobId) -> Option<LonLat> {
        self.index_of(job).map(|at| self.programme.jobs[at].at)
    }

    /// The stages of a job.
    #[must_use]
    pub fn work_of(&self, job: &JobId) -> Option<&JobWork> {
        self.index_of(job).and_then(|at| self.works[at].as_ref())
    }

    /// How long it takes from place to place; an hour and more where a place is off the plane.
    #[must_use]
    pub fn travel_time(&self, from: LonLat, to: LonLat) -> Seconds {
        match self.plane.to_plane(from).zip(self.plane.to_plane(to)) {
            Some((from, to)) => self.travel.time(from, to),
            None => Seconds::from_minutes(24 * 60),
        }
    }

    /// The same in minutes, for showing.
    #[must_use]
    pub fn travel_minutes(&self, from: LonLat, to: LonLat) -> u32 {
        u32::try_from(self.travel_time(from, to).minutes_up()).unwrap_or(u32::MAX)
    }

    /// Road metres from place to place, by the same way of reckoning.
    #[must_use]
    pub fn travel_metres(&self, from: LonLat, to: LonLat) -> f64 {
        let ends = self.plane.to_plane(from).zip(self.plane.to_plane(to));
        ends.map_or(0.0, |(from, to)| self.travel.metres(from, to))
    }

    /// Loading at the depot, in whole minutes.
    #[must_use]
    pub fn load_minutes(&self) -> u32 {
        minutes(&self.method, "depot.load_min")
    }

    /// Unloading at the depot, in whole minutes.
    #[must_use]
    pub fn unload_minutes(&self) -> u32 {
        minutes(&self.method, "depot.unload_min")
    }
}

/// A whole number of minutes, the begun one counted; nothing where the table has no such row.
fn minutes(table: &ParameterTable, key: &str) -> u32 {
    table
        .value(key)
        .map_or(0, |value| value.ceil().clamp(0.0, 1440.0) as u32)
}

/// A finding of one job names it; one of a table of figures is everybody's.
fn about(job: &Job, finding: Finding) -> Finding {
    if finding.place.feature.is_some() || finding.code.starts_with("P-") {
        finding
    } else {
        finding.in_file(JOBS).at(job.id.as_str())
    }
}

/// The same findings, each once, in the order in which they first came.
fn each_once(findings: Vec<Finding>) -> Vec<Finding> {
    let mut seen = HashSet::new();
    let first = |finding: &Finding| seen.insert(finding.clone());
    findings.into_iter().filter(first).collect()
}

fn places(programme: &Programme) -> impl Iterator<Item = LonLat> + '_ {
    let jobs = programme.jobs.iter().map(|job| job.at);
    let depots = programme.gangs.iter().map(|gang| gang.depot);
    let tips = programme.tips.iter().map(|tip| tip.at);
    let streets = programme
        .streets
        .iter()
        .flat_map(|street| street.lines.iter().flatten().copied());
    jobs.chain(depots).chain(tips).chain(streets)
}
