//! A programme with everything that is worked out from it before anybody plans.

mod jobs;
mod once;
mod own_tables;
mod standing;
mod stray;

use std::collections::HashMap;
use std::sync::{Arc, OnceLock};

use chrono::NaiveDateTime;
use gangday_calc::{
    Conditions, StageRules, TakeOffRules, as_recorded, cold_days, odd_temperatures, week_conditions,
};
use gangday_files::METHOD;
use gangday_ground::roads::shipped_roads;
use gangday_ground::{Plane, shipped_travel};
use gangday_model::{
    ClosureKind, Finding, Gang, Job, JobId, JobWork, LonLat, Network, ParameterTable, PlanePoint,
    Programme, TakeOff,
};
use gangday_traffic::{Roads, Rules, StreetNames, shipped_traffic};

use once::each_once;

use crate::begun::{Begun, Past};
use crate::paces::Paces;
use crate::streets::StreetLines;
use crate::travel::{Drive, Travel};
use crate::{driving, rates};

/// The closure that a job takes, and why.
#[derive(Clone, Debug)]
pub struct ClosureCall {
    /// What is taken.
    pub kind: ClosureKind,
    /// Whether it was proposed here.
    pub proposed: bool,
    /// The rule that led to it.
    pub because: Arc<str>,
}

impl Default for ClosureCall {
    fn default() -> Self {
        Self {
            kind: ClosureKind::None,
            proposed: false,
            because: "".into(),
        }
    }
}

/// A programme, prepared; cheap to copy beside its size, since what is worked out of single jobs and
/// of what they don't touch is shared.
#[derive(Clone, Debug)]
pub struct Prepared {
    /// As it was read.
    pub programme: Arc<Programme>,
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
    pub stages: Option<Arc<StageRules>>,
    /// The weather and gang that stages are worked out for.
    pub conditions: Conditions,
    /// Each job's take-off; none where it was refused.
    pub take_offs: Vec<Option<Arc<TakeOff>>>,
    /// What was done of jobs before the week and in it.
    pub past: Past,
    /// What is left of each job of which a part was done before the week.
    pub begun: Vec<Option<Arc<Begun>>>,
    /// Each job's stages by the usual gang, as far as they are left; none where they were refused.
    pub works: Vec<Option<Arc<JobWork>>>,
    /// How long each gang takes over them on each day.
    pub paces: Paces,
    /// Each job's closure.
    pub closures: Vec<ClosureCall>,
    /// Each job's street, as an index into the programme's.
    pub streets: Vec<Option<usize>>,
    /// The streets by id and by place.
    pub lines: Arc<StreetLines>,
    /// The figures that take-offs are worked out by; none where the tables have faults.
    take_off_rules: Option<Arc<TakeOffRules>>,
    /// What somebody should look at that is about no job.
    general: Arc<Vec<Finding>>,
    /// What somebody should look at of each job.
    of_jobs: Vec<Arc<[Finding]>>,
    /// All of them, each once, when they are first asked for.
    findings: OnceLock<Vec<Finding>>,
    /// Worked out when they are first asked for.
    standing: standing::Kept,
    by_id: Arc<HashMap<JobId, usize>>,
    /// The same for all that differ by nothing but their jobs.
    kin: Arc<()>,
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
        Self::with_past(programme, (network, kept), Past::default())
    }

    fn with_past(
        programme: Programme,
        (network, kept): (Option<Arc<Network>>, Option<&[u8]>),
        past: Past,
    ) -> Self {
        let plane = Plane::for_places(places(&programme));
        let travel = Travel::of(&programme, network.clone(), &plane, kept);
        Self::travelling(programme, (network, plane, Arc::new(travel)), past)
    }

    /// Another programme of the same streets, network and figures of travel; its roads are taken over
    /// as they are, unless its places lie so differently that the plane is another. What was done of jobs is what
    /// it was.
    #[must_use]
    pub fn with_programme(&self, programme: Programme) -> Self {
        let plane = Plane::for_places(places(&programme));
        if !self.travel.is_on(&plane) {
            return Self::with_past(programme, (self.network.clone(), None), self.past.clone());
        }
        let travel = Arc::clone(&self.travel);
        let roads = (self.network.clone(), plane, travel);
        Self::travelling(programme, roads, self.past.clone())
    }

    fn travelling(
        programme: Programme,
        (network, plane, travel): (Option<Arc<Network>>, Plane, Arc<Travel>),
        past: Past,
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
        let mut prepared = Self {
            conditions: week_conditions(&programme.week, &materials),
            lines: Arc::new(StreetLines::of(&programme, &plane)),
            programme: Arc::new(programme),
            method,
            materials,
            rates,
            plane,
            network,
            travel,
            traffic,
            stages: None,
            take_off_rules: None,
            points: Vec::new(),
            take_offs: Vec::new(),
            past,
            begun: Vec::new(),
            works: Vec::new(),
            paces: Paces::default(),
            closures: Vec::new(),
            streets: Vec::new(),
            general: Arc::default(),
            of_jobs: Vec::new(),
            findings: OnceLock::new(),
            standing: standing::Kept::default(),
            by_id: Arc::default(),
            kin: Arc::default(),
        };
        findings.extend(prepared.read_rules(usable));
        findings.extend(prepared.of_week_and_gangs());
        prepared.general = Arc::new(findings);
        prepared.work_out_jobs();
        prepared.paces = Paces::of(&prepared);
        prepared
    }

    /// The figures of take-offs and stages; neither where the programme's own tables are not
    /// `usable`, so that a figure in a wrong unit gives no quantity.
    fn read_rules(&mut self, usable: bool) -> Vec<Finding> {
        let mut findings = Vec::new();
        match TakeOffRules::read(&self.method, &self.materials) {
            Ok(rules) => self.take_off_rules = usable.then(|| Arc::new(rules)),
            Err(faults) => findings.extend(faults),
        }
        match StageRules::read(&self.method, &self.materials) {
            Ok(rules) => self.stages = usable.then(|| Arc::new(rules)),
            Err(faults) => findings.extend(faults),
        }
        findings
    }

    fn of_week_and_gangs(&self) -> Vec<Finding> {
        let week = &self.programme.week;
        let mut findings = cold_days(week, &self.materials);
        findings.extend(odd_temperatures(week));
        for gang in &self.programme.gangs {
            let faults = as_recorded(&self.method, gang).err();
            findings.extend(faults.into_iter().flatten());
            findings.extend(driving::fault(gang));
        }
        findings.extend(self.depots_off_road());
        findings
    }

    /// What somebody should look at, each once.
    #[must_use]
    pub fn findings(&self) -> &[Finding] {
        self.findings.get_or_init(|| {
            let of_jobs = self.of_jobs.iter().flat_map(|found| found.iter());
            each_once(self.general.iter().chain(of_jobs))
        })
    }

    /// Whether another one differs by nothing but its jobs.
    #[must_use]
    pub fn is_kin_of(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.kin, &other.kin)
    }

    /// The job with the closure that it takes, on which the time for signing depends.
    #[must_use]
    pub fn as_closed(&self, at: usize, job: &Job) -> Job {
        Job {
            closure: Some(self.closures[at].kind),
            ..job.clone()
        }
    }

    /// The roads that traffic is led round closures on, if there are any.
    #[must_use]
    pub fn roads(&self) -> Option<Roads<'_>> {
        self.travel.roads.as_ref().map(|roads| Roads {
            graph: &roads.graph,
            index: &roads.index,
            doors: &roads.doors,
            rounds: &roads.rounds,
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

    /// The index of a job that most likely stands where it stood in another state.
    #[must_use]
    pub fn index_near(&self, at: usize, job: &JobId) -> Option<usize> {
        let stays = self
            .programme
            .jobs
            .get(at)
            .is_some_and(|own| own.id == *job);
        if stays { Some(at) } else { self.index_of(job) }
    }

    /// Where a job is.
    #[must_use]
    pub fn place_of(&self, job: &JobId) -> Option<LonLat> {
        self.index_of(job).map(|at| self.programme.jobs[at].at)
    }

    /// The stages of a job by the usual gang.
    #[must_use]
    pub fn work_of(&self, job: &JobId) -> Option<&JobWork> {
        self.index_of(job).and_then(|at| self.works[at].as_deref())
    }

    /// How much longer this gang's journeys take than usual if they begin in each hour of the day, in
    /// thousandths.
    #[must_use]
    pub fn journey_factors(&self, gang: &Gang) -> [u32; 24] {
        driving::factors(&self.travel.speeds, gang)
    }

    /// How long a gang that is free to leave then drives from place to place, in whole minutes, for
    /// showing; a whole day where a place is off the plane.
    #[must_use]
    pub fn travel_minutes(
        &self,
        gang: &Gang,
        (from, to): (LonLat, LonLat),
        free: NaiveDateTime,
    ) -> u32 {
        let factors = self.journey_factors(gang);
        let by_hour = |hour: u32| self.travel.time(factors[hour as usize % 24], from, to);
        let drive = driving::drive(free, by_hour);
        u32::try_from(drive.minutes_up()).unwrap_or(u32::MAX)
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
