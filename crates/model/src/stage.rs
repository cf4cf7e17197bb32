//! The stages of one job and the waits between them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{JobId, Seconds};

/// A stage of work on one spot, in the order in which they come.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Set out signing and guarding, break out, excavate, check for services, check the formation.
    Dig,
    /// Mix and place the base, first section set level.
    Base,
    /// Stack the sections, type 1 in lifts, bed the ironwork.
    Build,
    /// Surround concrete, or topsoil in a verge.
    Surround,
    /// Seal edges, place and compact surfacing, clear.
    Surface,
    /// Remove signing and guarding once traffic may return.
    Reopen,
}

/// What is waited for.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum WaitKind {
    /// The base cures.
    BaseCure,
    /// The bedding mortar sets.
    MortarSet,
    /// The surround concrete sets.
    InitialSet,
    /// No traffic yet.
    Hold,
}

/// The least time between the end of one stage and the start of the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wait {
    /// What is waited for.
    pub kind: WaitKind,
    /// How long at the least.
    pub time: Seconds,
}

/// One stage of one job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StageWork {
    /// The stage.
    pub stage: Stage,
    /// How long the gang works, in whole minutes.
    pub work: Seconds,
    /// The wait after it, if any.
    pub then: Option<Wait>,
}

impl StageWork {
    /// The least time from the end of this stage to the start of the next.
    #[must_use]
    pub fn wait(&self) -> Seconds {
        self.then.map_or(Seconds::ZERO, |wait| wait.time)
    }
}

/// All stages of one job, in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobWork {
    /// The job.
    pub job: JobId,
    /// Its stages.
    pub stages: Vec<StageWork>,
    /// Stages after which it was left although nothing is waited for there, in order.
    pub parted: Vec<Stage>,
}

impl JobWork {
    /// How long the gang works on it in all.
    #[must_use]
    pub fn work(&self) -> Seconds {
        self.stages.iter().map(|stage| stage.work).sum()
    }

    /// Its stages in blocks, each done in one go: a wait ends a block, and so does leaving the work.
    #[must_use]
    pub fn blocks(&self) -> Vec<&[StageWork]> {
        let ends = |own: &StageWork| own.wait() > Seconds::ZERO || self.parted.contains(&own.stage);
        self.stages.split_inclusive(ends).collect()
    }

    /// From the first stage's start to the last one's end if nobody is ever late: the shortest closure.
    #[must_use]
    pub fn shortest(&self) -> Seconds {
        let waits = self.stages.iter().rev().skip(1).map(StageWork::wait).sum();
        self.work() + waits
    }
}
