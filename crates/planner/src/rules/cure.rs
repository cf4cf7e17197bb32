//! What was placed is ready when the day's temperatures have aged it enough, and is placed and left to
//! cure only while it is warm enough for it.
//!
//! Hard. A block that would end too early in the day's cold begins later; what waits for it waits for
//! as long as its own end asks. Where nothing is stated here, the block's own wait counts at any hour.

use gangday_model::{CureTimes, NOT_THAT_DAY};

use crate::setting::{FOREVER, Setting};
use crate::timing::Step;
use crate::{Block, Placed};

/// A block at a pace, with what it places.
pub(crate) struct Curing<'a> {
    block: Block,
    cure: Option<(&'a CureTimes, u32)>,
}

/// Of a task's block at a pace.
pub(crate) fn of<'a>(setting: &Setting<'a>, step: Step, pace: u32) -> Curing<'a> {
    let problem = setting.problem;
    let placed = || -> Option<Placed> {
        let at_pace = problem.tasks[step.task as usize]
            .placed
            .get(pace as usize)?;
        *at_pace.get(step.block as usize)?
    };
    let cure = (!problem.cures.is_empty())
        .then(placed)
        .flatten()
        .and_then(|placed| Some((problem.cures.get(placed.cure as usize)?, placed.placing)));
    let block = setting.block(step.task, step.block, pace);
    Curing { block, cure }
}

impl Curing<'_> {
    /// When the task's next block may start if this one ends then.
    pub(crate) fn ready(&self, end: u32) -> u32 {
        match self.cure {
            None => end.saturating_add(self.block.wait),
            Some((cure, _)) => cure.ready(end),
        }
    }

    /// The first start from this one on that keeps it warm enough.
    pub(crate) fn start(&self, start: u32) -> u32 {
        let Some((cure, placing)) = self.cure else {
            return start;
        };
        let end = cure.warm_end(start.saturating_add(self.block.work), placing);
        if end >= NOT_THAT_DAY {
            return FOREVER;
        }
        end - self.block.work
    }

    /// The last start up to this one that keeps it warm enough; this one where there is none.
    pub(crate) fn start_by(&self, start: u32) -> u32 {
        let Some((cure, placing)) = self.cure.filter(|_| start < FOREVER) else {
            return start;
        };
        let end = cure.last_warm_end(start.saturating_add(self.block.work), placing);
        end.map_or(start, |end| end.saturating_sub(self.block.work))
    }

    /// The last start after which the task's next block may start by `next`.
    pub(crate) fn start_for(&self, next: u32) -> u32 {
        let end = match self.cure {
            None => return next.saturating_sub(self.block.wait + self.block.work),
            Some((cure, _)) => cure.latest_end(next),
        };
        end.unwrap_or(0).saturating_sub(self.block.work)
    }
}
