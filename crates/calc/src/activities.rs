//! What a gang does at each stage: a quantity, the figure it is worked by, minutes, machine.

use gangday_model::{ClosureKind, CubicMillimetres, Finding, Job, Position, Stage, TakeOff, Work};
use schemars::JsonSchema;
use serde::Serialize;

use crate::chamber;
use crate::compaction::CompactedLift;
use crate::outputs::Rate;
use crate::stages::{StageRules, likely_closure};

/// One thing that the gang does.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Activity<'a> {
    /// The stage that it belongs to.
    pub stage: Stage,
    /// What is done.
    pub what: &'static str,
    /// How much of it.
    pub quantity: f64,
    /// The unit of `quantity`.
    pub unit: &'static str,
    /// The row that it is worked by: so much an hour, or so many minutes each.
    pub key: &'a str,
    /// How long it takes.
    pub minutes: f64,
    /// The tool that shakes whoever holds it meanwhile, as `vibration.*` names it.
    pub tool: Option<&'a str>,
    /// The lifts that are compacted, where any are.
    pub lifts: Vec<CompactedLift<'a>>,
}

/// The tool that bound material is broken out with.
const BREAKER: &str = "breaker";

/// Gathers the activities of one job.
pub(crate) struct Activities<'a> {
    stage: Stage,
    slower: f64,
    pub(crate) all: Vec<Activity<'a>>,
}

impl<'a> Activities<'a> {
    /// What is done about this job, in the order of the work.
    ///
    /// # Errors
    /// A gang of nobody, ground without an output, or a lift that is not permitted.
    pub(crate) fn of(
        rules: &'a StageRules,
        job: &Job,
        take_off: &'a TakeOff,
        people: Option<u32>,
    ) -> Result<Self, Vec<Finding>> {
        let mut own = Self {
            stage: Stage::Dig,
            slower: rules.outputs.slower(people)?,
            all: Vec::with_capacity(16),
        };
        let closure = job.closure.unwrap_or(likely_closure(job.position));
        let mut faults = own
            .dig(rules, job, take_off, closure)
            .err()
            .unwrap_or_default();
        if take_off.work != Work::Adjust {
            own.stage = Stage::Base;
            own.concrete(rules, take_off.volumes.base_concrete);
            own.fixed(
                "level the first section",
                1,
                &rules.outputs.level_first_section,
            );
        }
        own.stage = Stage::Build;
        faults.extend(own.build(rules, take_off).err().unwrap_or_default());
        own.stage = Stage::Surround;
        own.surround(rules, take_off);
        if take_off.position != Position::Verge {
            own.stage = Stage::Surface;
            faults.extend(own.surface(rules, take_off).err().unwrap_or_default());
        }
        own.stage = Stage::Reopen;
        own.fixed(
            "take in signing and guarding",
            1,
            rules.outputs.reopen(closure),
        );
        if faults.is_empty() {
            Ok(own)
        } else {
            Err(faults
                .into_iter()
                .map(|fault| fault.at(job.id.as_str()))
                .collect())
        }
    }

    /// Minutes of one stage.
    pub(crate) fn minutes(&self, stage: Stage) -> f64 {
        let own = self.all.iter().filter(|activity| activity.stage == stage);
        own.map(|activity| activity.minutes).sum()
    }

    fn dig(
        &mut self,
        rules: &'a StageRules,
        job: &Job,
        take_off: &TakeOff,
        closure: ClosureKind,
    ) -> Result<(), Vec<Finding>> {
        let outputs = &rules.outputs;
        let ironwork = take_off.ironwork_length * take_off.ironwork_width;
        let dig = take_off.dig_length * take_off.dig_width;
        let (broken_out, old_sections, old_ironwork) = match take_off.work {
            Work::New => (dig, 0, 0),
            Work::Replace => (dig - ironwork, take_off.sections, 1),
            Work::Adjust => (dig - ironwork, 0, 1),
        };
        self.fixed("set out signing and guarding", 1, outputs.set_out(closure));
        self.fixed("check for services", 1, &outputs.service_check);
        let break_out = &outputs.break_out[chamber::index(take_off.position)];
        self.rated("break out", (broken_out.m2(), "m2"), break_out);
        if let (Some(last), true) = (self.all.last_mut(), take_off.bituminous.micrograms() > 0) {
            last.tool = Some(BREAKER);
        }
        let excavate = outputs.excavate(job);
        if let Ok(rate) = &excavate {
            self.rated("excavate", (rules.ground_volume(take_off).m3(), "m3"), rate);
        }
        self.fixed("lift old ironwork", old_ironwork, &outputs.lift_ironwork);
        self.fixed("lift old sections", old_sections, &outputs.remove_section);
        let formation = u32::from(take_off.work != Work::Adjust);
        self.fixed("check the formation", formation, &outputs.formation_check);
        excavate.map(|_| ())
    }

    fn build(&mut self, rules: &'a StageRules, take_off: &TakeOff) -> Result<(), Vec<Finding>> {
        let outputs = &rules.outputs;
        self.fixed(
            "stack sections",
            take_off.sections.saturating_sub(1),
            &outputs.section,
        );
        self.rated(
            "place type 1",
            (take_off.volumes.type1.m3(), "m3"),
            &outputs.type1,
        );
        let lifts = rules.compaction.type1(take_off)?;
        self.compacted("compact type 1", &lifts);
        self.fixed("bed the ironwork", 1, &outputs.bed_ironwork);
        Ok(())
    }

    fn surround(&mut self, rules: &'a StageRules, take_off: &TakeOff) {
        let outputs = &rules.outputs;
        if take_off.position == Position::Verge {
            let topsoil = take_off.volumes.topsoil.m3();
            self.rated("place topsoil", (topsoil, "m3"), &outputs.topsoil);
            self.fixed("clear", 1, &outputs.clear);
        } else {
            self.concrete(rules, take_off.volumes.surround_concrete);
        }
    }

    fn surface(
        &mut self,
        rules: &'a StageRules,
        take_off: &'a TakeOff,
    ) -> Result<(), Vec<Finding>> {
        let outputs = &rules.outputs;
        let ironwork = take_off.ironwork_length * take_off.ironwork_width;
        let ring = take_off.dig_length * take_off.dig_width - ironwork;
        self.rated(
            "seal edges",
            (take_off.sealed_edges.m2(), "m2"),
            &outputs.seal,
        );
        self.rated("lay surfacing", (ring.m2(), "m2"), &outputs.surfacing);
        let lifts = rules.compaction.surfacing(take_off)?;
        self.compacted("compact surfacing", &lifts);
        self.fixed("clear", 1, &outputs.clear);
        Ok(())
    }

    /// Mixed and placed batch by batch, each within the open time.
    fn concrete(&mut self, rules: &'a StageRules, volume: CubicMillimetres) {
        let batches = rules.pours.batches(volume, self.slower);
        let before = self.all.len();
        self.rated(
            "mix and place concrete",
            (volume.m3(), "m3"),
            &rules.outputs.concrete,
        );
        for activity in &mut self.all[before..] {
            activity.minutes /= rules.pours.mixers;
        }
        self.fixed("begin a batch", batches, &rules.outputs.batch);
    }

    fn rated(&mut self, what: &'static str, (quantity, unit): (f64, &'static str), rate: &'a Rate) {
        let minutes = quantity / rate.value * 60.0 * self.slower;
        self.push(what, (quantity, unit), (rate.key.as_str(), None), minutes);
    }

    fn fixed(&mut self, what: &'static str, count: u32, rate: &'a Rate) {
        let count = f64::from(count);
        self.push(
            what,
            (count, "no."),
            (rate.key.as_str(), None),
            count * rate.value,
        );
    }

    fn compacted(&mut self, what: &'static str, lifts: &[CompactedLift<'a>]) {
        for lifts in lifts.chunk_by(|a, b| a.plant == b.plant) {
            let passed = lifts
                .iter()
                .map(|lift| f64::from(lift.passes) * lift.area_m2)
                .sum();
            let minutes = lifts.iter().map(|lift| lift.minutes).sum();
            let by = ("lift.walking_speed", Some(lifts[0].plant));
            self.push(what, (passed, "m2 passed over"), by, minutes);
            if let Some(pushed) = self.all.last_mut().filter(|_| passed > 0.0) {
                pushed.lifts = lifts.to_vec();
            }
        }
    }

    fn push(
        &mut self,
        what: &'static str,
        (quantity, unit): (f64, &'static str),
        (key, tool): (&'a str, Option<&'a str>),
        minutes: f64,
    ) {
        if quantity > 0.0 {
            self.all.push(Activity {
                stage: self.stage,
                what,
                quantity,
                unit,
                key,
                minutes,
                tool,
                lifts: Vec::new(),
            });
        }
    }
}
