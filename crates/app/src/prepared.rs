//! A programme with everything that is worked out from it before anybody plans.

mod once;
mod own_tables;

use std::collections::HashMap;
use std::sync::{Arc, OnceLock};

use gangday_calc::{
    Conditions, StageRules, TakeOffRules, as_recorded, cold_days, day_vibration, odd_temperatures,
    review, week_conditions,
};
use gangday_files::{GANGS, JOBS, METHOD};
use gangday_ground::roads::shipped_roads;
use gangday_ground::{Plane, shipped_travel};
use gangday_model::{
    ClashPair, ClosureKind, Finding, Gang, Job, JobId, JobWork, LonLat, Network, ParameterTable,
    PlanePoint, Programme, Seconds, TakeOff,
};
use gangday_traffic::{Roads, Rules, StreetNames, shipped_traffic};

use once::each_once;

use crate::paces::Paces;
use crate::travel::{Drive, Travel};
use crate::{closures, driving, rates};

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
    pub travel: Arc<Travel>,
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
    /// Each job's stages by the usual gang; none where they were refused.
    pub works: Vec<Option<JobWork>>,
    /// How long each gang takes over them on each day.
    pub paces: Paces,
    /// Each job's closure.
    pub closures: Vec<ClosureCall>,
    /// Each job's street, as an index into the programme's.
    pub streets: Vec<Option<usize>>,
    /// What somebody should look at.
    pub findings: Vec<Finding>,
    /// Worked out when they are first asked for.
    clash_pairs: OnceLock<Vec<ClashPair>>,
    by_id: HashMap<JobId, usize>,
}

impl Prepared {
    /// Works out everything; what can't be worked out for one job never hides the others.
    #[must_use]
    pub fn new(programme: Programme) -> Self {
        Self::on_roads(programme, None, None)
    }

    /// The same with a road network, if there is one, and with the preparation of it that was kept,
    /// if one was; without a network gangs drive over the programme's own streets.
    #[must_use]
    pub fn on_roads(
        programme: Programme,
        network: Option<Arc<Network>>,
        kept: Option<&[u8]>,
    ) -> Self {
        let plane = Plane::for_places(places(&programme));
        let travel = Travel::of(&programme, network.clone(), &plane, kept);
        Self::travelling(programme, network, plane, Arc::new(travel))
    }

    /// The same programme with other jobs: its roads are taken over as they are, unless the jobs
    /// lie so differently that the plane is another.
    #[must_use]
    pub fn with_jobs(&self, jobs: Vec<Job>) -> Self {
        self.with_programme(Programme {
            jobs,
            ..self.programme.clone()
        })
    }

    /// Another programme of the same streets, network and figures of travel; its roads are taken over
    /// in the same way.
    #[must_use]
    pub fn with_programme(&self, programme: Programme) -> Self {
        let plane = Plane::for_places(places(&programme));
        if !self.travel.is_on(&plane) {
            return Self::on_roads(programme, self.network.clone(), None);
        }
        let travel = Arc::clone(&self.travel);
        Self::travelling(programme, self.network.clone(), plane, travel)
    }

    fn travelling(
        programme: Programme,
        network: Option<Arc<Network>>,
        plane: Plane,
        travel: Arc<Travel>,
    ) -> Self {
        let method = shipped_travel()
            .overlaid(&shipped_roads())
            .overlaid(&gangday_calc::shipped_method())
            .overlaid(&programme.method);
        let materials = gangday_calc::shipped_materials().overlaid(&programme.materials);
        let rates =
            rates::shipped().overlaid(&ParameterTable::new(programme.week.rates.iter().cloned()));
        let mut findings = travel.faults.clone();
        let (own_faults, unread) = own_tables::findings(&programme);
        let usable = own_faults.is_empty();
        findings.extend(own_faults);
        findings.extend(unread);
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
            paces: Paces::default(),
            closures: Vec::new(),
            streets,
            findings,
            clash_pairs: OnceLock::new(),
            by_id,
        };
        prepared.work_out(usable);
        prepared.findings = each_once(std::mem::take(&mut prepared.findings));
        prepared
    }

    /// Take-offs and stages; neither where the programme's own tables are not `usable`, so that a
    /// figure in a wrong unit gives no quantity.
    fn work_out(&mut self, usable: bool) {
        let rules = match TakeOffRules::read(&self.method, &self.materials) {
            Ok(rules) => usable.then_some(rules),
            Err(faults) => {
                self.findings.extend(faults);
                None
            }
        };
        match StageRules::read(&self.method, &self.materials) {
            Ok(rules) => self.stages = usable.then_some(rules),
            Err(faults) => self.findings.extend(faults),
        }
        self.findings
            .extend(cold_days(&self.programme.week, &self.materials));
        self.findings.extend(odd_temperatures(&self.programme.week));
        for gang in &self.programme.gangs {
            let faults = as_recorded(&self.method, gang).err();
            self.findings.extend(faults.into_iter().flatten());
            self.findings.extend(driving::fault(gang));
        }
        let off_road = self.off_road();
        self.findings.extend(off_road);
        for at in 0..self.programme.jobs.len() {
            let call = self.closure_call(at);
            self.closures.push(call);
            let job = self.as_closed(at, &self.programme.jobs[at]);
            let take_off = rules
                .as_ref()
                .and_then(|rules| self.take_off(rules, &job, at));
            let work = take_off.as_ref().and_then(|taken| self.stages(&job, taken));
            self.take_offs.push(take_off);
            self.works.push(work);
        }
        self.paces = Paces::of(self);
    }

    /// The job with the closure that it takes, on which the time for signing depends.
    #[must_use]
    pub fn as_closed(&self, at: usize, job: &Job) -> Job {
        Job {
            closure: Some(self.closures[at].kind),
            ..job.clone()
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
                self.findings.extend(self.past_limit(rules, job, taken));
                Some(work)
            }
            Err(faults) => {
                self.findings
                    .extend(faults.into_iter().map(|fault| about(job, fault)));
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

    /// Which two jobs must not stand at the same time, whenever they are planned, with how much it
    /// weighs.
    #[must_use]
    pub fn clash_pairs(&self) -> &[ClashPair] {
        self.clash_pairs.get_or_init(|| closures::clash_pairs(self))
    }

    /// The roads that traffic is led round closures on, if there are any.
    #[must_use]
    pub fn roads(&self) -> Option<Roads<'_>> {
        self.travel.roads.as_ref().map(|roads| Roads {
            graph: &roads.graph,
            index: &roads.index,
            doors: &roads.doors,
            names: &self.travel.names,
        })
    }

    /// What the streets are called in words.
    #[must_use]
    pub fn street_names(&self) -> &StreetNames {
        &self.travel.names
    }

    /// What was worked out of the road network that is kept with the programme, to be kept too.
    #[must_use]
    pub fn kept_roads(&self) -> Option<Vec<u8>> {
        self.network.as_ref()?;
        let roads = self.travel.roads.as_ref()?;
        Some(roads.hierarchy.to_bytes())
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

    /// The stages of a job by the usual gang.
    #[must_use]
    pub fn work_of(&self, job: &JobId) -> Option<&JobWork> {
        self.index_of(job).and_then(|at| self.works[at].as_ref())
    }

    /// Jobs and depots that no road reaches, while there are roads.
    fn off_road(&self) -> Vec<Finding> {
        let far = |at: LonLat| {
            self.plane
                .to_plane(at)
                .is_some_and(|at| self.travel.off_road(at))
        };
        let note = |what: String, file: &str, id: &str| {
            let text = format!(
                "{what} is too far from any road that can be driven to and from; journeys to it \
                 are by the straight line."
            );
            let remedy = "Move it nearer to its road, or raise `travel.road_reach_m`.";
            Finding::note("T-OFF-ROAD", text, remedy)
                .in_file(file)
                .at(id)
        };
        let jobs = self.programme.jobs.iter().filter(|job| far(job.at));
        let jobs = jobs.map(|job| note(format!("Job {}", job.id), JOBS, job.id.as_str()));
        let gangs = self.programme.gangs.iter().filter(|gang| far(gang.depot));
        let depot = |gang: &Gang| {
            note(
                format!("The depot of gang {}", gang.id),
                GANGS,
                gang.id.as_str(),
            )
        };
        jobs.chain(gangs.map(depot)).collect()
    }

    /// How much longer this gang's journeys take than usual, in thousandths.
    #[must_use]
    pub fn journey_factor(&self, gang: &Gang) -> u32 {
        driving::factor(&self.travel.speeds, gang)
    }

    /// How long it takes a gang from place to place; a whole day where one is off the plane.
    #[must_use]
    pub fn travel_time(&self, gang: &Gang, from: LonLat, to: LonLat) -> Seconds {
        self.travel.time(self.journey_factor(gang), from, to)
    }

    /// The same in minutes, for showing.
    #[must_use]
    pub fn travel_minutes(&self, gang: &Gang, from: LonLat, to: LonLat) -> u32 {
        u32::try_from(self.travel_time(gang, from, to).minutes_up()).unwrap_or(u32::MAX)
    }

    /// The way from place to place.
    #[must_use]
    pub fn drive(&self, from: LonLat, to: LonLat) -> Drive {
        self.travel.drive(from, to)
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever file of any room is shipped: each row has a source, and what is counted or measured in it
    /// a unit and a date.
    #[test]
    fn every_row_of_every_shipped_file_has_its_source() {
        let rooms = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
        let mut files = 0;
        for room in std::fs::read_dir(rooms).unwrap().flatten() {
            let Ok(shipped) = std::fs::read_dir(room.path().join("defaults")) else {
                continue;
            };
            for file in shipped.flatten() {
                files += 1;
                let text = std::fs::read_to_string(file.path()).unwrap();
                let table: serde_json::Value = serde_json::from_str(&text).unwrap();
                let rows = table
                    .get("parameters")
                    .unwrap_or(&table)
                    .as_array()
                    .unwrap();
                assert!(!rows.is_empty());
                let counted = file.file_name() == "kit.json";
                for row in rows {
                    let text = |name: &str| row[name].as_str().unwrap_or_default().trim().len();
                    assert!(
                        text("source") > 4,
                        "{:?}: {row} has no source",
                        file.file_name()
                    );
                    if counted || row.get("value").is_some() {
                        assert!(text("unit") > 0, "{row} has no unit");
                        assert_eq!(text("date"), 10, "{row} has no date");
                    }
                }
            }
        }
        assert_eq!(files, 10);
    }

    /// Five tables are shipped; each row has a unit, and a document, "common practice, no source"
    /// or "from memory" for a source.
    #[test]
    fn every_shipped_figure_has_a_unit_a_source_and_a_date() {
        let tables = [
            gangday_calc::shipped_method(),
            gangday_calc::shipped_materials(),
            shipped_travel().clone(),
            shipped_traffic().clone(),
            rates::shipped(),
        ];
        let mut seen: HashMap<&str, &gangday_model::Parameter> = HashMap::new();
        for row in tables.iter().flat_map(ParameterTable::rows) {
            assert!(!row.unit.trim().is_empty(), "{} has no unit", row.key);
            assert!(row.source.trim().len() > 4, "{} has no source", row.key);
            assert_eq!(row.date.len(), 10, "{} has no date", row.key);
            // Two rooms may need the same figure; then both ship the same one.
            let other = seen.insert(&row.key, row).unwrap_or(row);
            assert_eq!(
                (other.value, &other.unit),
                (row.value, &row.unit),
                "{}",
                row.key
            );
        }
        assert!(seen.len() > 300, "only {}", seen.len());
    }
}
