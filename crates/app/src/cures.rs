//! What jobs place and wait for along a day's temperatures, as the search is told it.

use gangday_model::{CureTimes, JobWork, WaitKind};
use gangday_planner::Placed;

use crate::prepared::Prepared;

/// All that may cure, one after another, and where each is.
#[derive(Debug, Default)]
pub struct Cures {
    /// As the problem has them.
    pub all: Vec<CureTimes>,
    /// Of each of the paces' days: kind and place.
    of: Vec<Vec<(WaitKind, u32)>>,
}

const KINDS: [WaitKind; 4] = [
    WaitKind::BaseCure,
    WaitKind::MortarSet,
    WaitKind::InitialSet,
    WaitKind::Hold,
];

impl Cures {
    /// Of all days whose temperature differs by the hour.
    #[must_use]
    pub fn of(prepared: &Prepared) -> Self {
        let mut cures = Self::default();
        for day in prepared.paces.cures() {
            let mut own = Vec::new();
            for (kind, cure) in KINDS
                .into_iter()
                .filter_map(|kind| Some((kind, day.of(kind)?)))
            {
                own.push((kind, u32::try_from(cures.all.len()).unwrap_or(u32::MAX)));
                cures.all.push(cure.clone());
            }
            cures.of.push(own);
        }
        cures
    }

    /// What each block of a job places, at each pace from the usual one on.
    #[must_use]
    pub fn placed(&self, prepared: &Prepared, job: usize) -> Vec<Vec<Option<Placed>>> {
        if self.all.is_empty() {
            return Vec::new();
        }
        let others = prepared.paces.others().iter();
        let others = others.map(|pace| match (&pace.works[job], pace.cures) {
            (Some(work), Some(day)) => self.blocks(work, &self.of[day]),
            _ => Vec::new(),
        });
        std::iter::once(Vec::new()).chain(others).collect()
    }

    /// What each block of a job's stages places: what its last stage waits for.
    fn blocks(&self, work: &JobWork, day: &[(WaitKind, u32)]) -> Vec<Option<Placed>> {
        let placed = |block: &&[gangday_model::StageWork]| {
            let last = block.last()?;
            let kind = last.then?.kind;
            let (_, cure) = day.iter().find(|(own, _)| *own == kind)?;
            Some(Placed {
                cure: *cure,
                placing: u32::try_from(last.work.seconds()).unwrap_or(0),
            })
        };
        work.blocks().iter().map(placed).collect()
    }
}
