//! The stages of one job, how long each lasts and what is waited for after it.

use gangday_model::{
    ClosureKind, CubicMillimetres, DayTemperature, Finding, Job, JobWork, ParameterTable, Position,
    Stage, StageWork, TakeOff, Wait, WaitKind, Work,
};

use crate::activities::{Activities, Activity};
use crate::along::{DayCures, shortest};
use crate::compaction::CompactionRules;
use crate::figures::Figures;
use crate::minutes::whole;
use crate::outputs::Outputs;
use crate::pour::PourRules;
use crate::waits::{Conditions, WaitRules, Waits};

/// What a position usually takes from the public, where nobody has said or proposed it.
///
/// Only the time that signing takes follows from it here; which closure is right is a competent
/// person's decision.
#[must_use]
pub fn likely_closure(position: Position) -> ClosureKind {
    match position {
        Position::Verge => ClosureKind::None,
        Position::Footway | Position::CycleTrack => ClosureKind::Footway,
        Position::Carriageway => ClosureKind::Lane,
    }
}

/// The tables read once, for the stages of many jobs.
#[derive(Clone, Debug)]
pub struct StageRules {
    pub(crate) outputs: Outputs,
    pub(crate) compaction: CompactionRules,
    pub(crate) pours: PourRules,
    waits: WaitRules,
    bituminous: i64,
}

impl StageRules {
    /// Reads the figures that stages need.
    ///
    /// # Errors
    /// Every figure that is missing or can't be used.
    pub fn read(method: &ParameterTable, materials: &ParameterTable) -> Result<Self, Vec<Finding>> {
        let mut weights = Figures::materials(materials);
        let bituminous = weights.density("density.bituminous");
        let mut faults = weights.into_faults();
        let outputs = Outputs::read(method).map_err(|own| faults.extend(own));
        let compaction = CompactionRules::read(method).map_err(|own| faults.extend(own));
        let pours = PourRules::read(method, materials).map_err(|own| faults.extend(own));
        let waits = WaitRules::read(materials).map_err(|own| faults.extend(own));
        match (outputs, compaction, pours, waits) {
            (Ok(outputs), Ok(compaction), Ok(pours), Ok(waits)) if faults.is_empty() => Ok(Self {
                outputs,
                compaction,
                pours,
                waits,
                bituminous,
            }),
            _ => Err(faults),
        }
    }

    /// The stages of one job with their work and waits.
    ///
    /// Work is rounded up to a whole minute once per stage, and so is each wait. A wait is the
    /// material's time at its reference temperature over the maturity factor; the hold before
    /// traffic is the same at any temperature.
    ///
    /// # Units
    /// Whole minutes.
    ///
    /// # Errors
    /// Ground without an output, a lift that is not permitted, a gang of nobody, or a temperature
    /// below the material's minimum, with the day that it is expected on.
    ///
    /// # Source
    /// Stages and outputs: common practice, no source. Temperature: see
    /// [`equivalent_age_factor`](crate::equivalent_age_factor).
    pub fn stage_work(
        &self,
        job: &Job,
        take_off: &TakeOff,
        conditions: Conditions,
    ) -> Result<JobWork, Vec<Finding>> {
        let waits = self.waits.waits(take_off, conditions);
        let work = Activities::of(self, job, take_off, conditions.people);
        match (waits, work) {
            (Ok(waits), Ok(work)) => Ok(JobWork {
                job: job.id.clone(),
                parted: Vec::new(),
                stages: chain(take_off, &work, &waits),
            }),
            (waits, work) => {
                let mut faults = waits.err().unwrap_or_default();
                faults.extend(work.err().unwrap_or_default());
                Err(faults)
            }
        }
    }

    /// When everything that may be placed is ready along the temperatures of a day.
    #[must_use]
    pub fn along(&self, day: &DayTemperature) -> DayCures {
        self.waits.along(day)
    }

    /// The stages of one job on a day whose temperatures differ by the hour; each wait is the shortest
    /// that it can have on that day, and [`DayCures`] says how long it is from when.
    ///
    /// # Units
    /// Whole minutes.
    ///
    /// # Errors
    /// As for [`StageRules::stage_work`], cold left aside: in which hours it is warm enough is in
    /// [`DayCures`].
    pub fn stage_work_along(
        &self,
        job: &Job,
        take_off: &TakeOff,
        people: Option<u32>,
        cures: &DayCures,
    ) -> Result<JobWork, Vec<Finding>> {
        let work = Activities::of(self, job, take_off, people)?;
        Ok(JobWork {
            job: job.id.clone(),
            parted: Vec::new(),
            stages: chain(take_off, &work, &shortest(&self.waits, cures)),
        })
    }

    /// What the gang does at each stage, each with the figure that it is worked by.
    ///
    /// # Errors
    /// As for [`StageRules::stage_work`], the temperature left aside.
    pub fn activities<'a>(
        &'a self,
        job: &Job,
        take_off: &'a TakeOff,
        people: Option<u32>,
    ) -> Result<Vec<Activity<'a>>, Vec<Finding>> {
        Activities::of(self, job, take_off, people).map(|activities| activities.all)
    }

    /// Pours that are larger than the gang can mix within the open time, with what can be done.
    ///
    /// # Errors
    /// A gang of nobody.
    pub fn large_pours(
        &self,
        take_off: &TakeOff,
        people: Option<u32>,
    ) -> Result<Vec<Finding>, Vec<Finding>> {
        let pours = self.pours.pours(take_off, self.outputs.slower(people)?);
        let found = pours.iter().filter_map(|pour| self.pours.too_large(pour));
        Ok(found
            .map(|finding| finding.in_file("jobs.geojson").at(take_off.job.as_str()))
            .collect())
    }

    /// What is dug as ground: the bound layer is broken out, an old chamber is lifted out.
    pub(crate) fn ground_volume(&self, take_off: &TakeOff) -> CubicMillimetres {
        let bound = take_off.bituminous.micrograms() / i128::from(self.bituminous.max(1));
        let old = match take_off.work {
            Work::Replace => take_off.volumes.inside,
            Work::New | Work::Adjust => CubicMillimetres::ZERO,
        };
        let bound = CubicMillimetres::from_mm3(i64::try_from(bound).unwrap_or(i64::MAX));
        (take_off.volumes.excavation - old - bound).or_nothing()
    }
}

/// The stages of one job with their work and waits; [`StageRules`] does the same for many jobs.
///
/// # Units
/// `temperature_c` in degrees Celsius; `people` in the gang, or the gang that the outputs stand
/// for; the answer in whole minutes.
///
/// # Errors
/// A figure that is missing, and as for [`StageRules::stage_work`].
///
/// ```
/// use gangday_calc::{shipped_materials, shipped_method, stage_work, take_off};
/// use gangday_model::{Job, LonLat, Position, Stage, Work};
///
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Verge);
/// let taken = take_off(&job, &method, &materials).unwrap();
/// let work = stage_work(&job, &taken, &method, &materials, 10.0, None).unwrap();
/// let stages: Vec<_> = work.stages.iter().map(|stage| stage.stage).collect();
/// assert_eq!(stages, [Stage::Dig, Stage::Base, Stage::Build, Stage::Surround, Stage::Reopen]);
/// ```
pub fn stage_work(
    job: &Job,
    take_off: &TakeOff,
    method: &ParameterTable,
    materials: &ParameterTable,
    temperature_c: f64,
    people: Option<u32>,
) -> Result<JobWork, Vec<Finding>> {
    let conditions = Conditions {
        people,
        ..Conditions::at(temperature_c)
    };
    StageRules::read(method, materials)?.stage_work(job, take_off, conditions)
}

fn chain(take_off: &TakeOff, work: &Activities, waits: &Waits) -> Vec<StageWork> {
    let volumes = &take_off.volumes;
    let after = |volume: CubicMillimetres, kind, time| {
        (volume > CubicMillimetres::ZERO).then_some(Wait { kind, time })
    };
    let base = after(volumes.base_concrete, WaitKind::BaseCure, waits.base);
    let mortar = after(volumes.mortar, WaitKind::MortarSet, waits.mortar);
    let surround = after(
        volumes.surround_concrete,
        WaitKind::InitialSet,
        waits.surround,
    );
    let hold = Wait {
        kind: WaitKind::Hold,
        time: waits.hold,
    };
    let stages = [
        (Stage::Dig, true, None),
        (Stage::Base, take_off.work != Work::Adjust, base),
        (Stage::Build, true, mortar),
        (Stage::Surround, true, surround),
        // The hold keeps traffic off new surfacing. A verge has none: where its job closes a lane or
        // the road, nothing was laid there that traffic would drive on, and the mortar's own wait has
        // passed before the gang reopens it.
        (
            Stage::Surface,
            take_off.position != Position::Verge,
            Some(hold),
        ),
        (Stage::Reopen, true, None),
    ];
    let done = stages.into_iter().filter(|(_, done, _)| *done);
    done.map(|(stage, _, then)| StageWork {
        stage,
        work: whole(work.minutes(stage)),
        then,
    })
    .collect()
}
