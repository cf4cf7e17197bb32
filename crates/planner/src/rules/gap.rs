//! The most time between two blocks of a task, where one is stated.
//!
//! Hard. A block that would come too late after the one before pulls that one later. It costs nothing.

use crate::setting::Setting;
use crate::timing::{NONE, Timing, Turn};

/// How often a day's blocks are pulled later, for each turn, before the order is given up.
pub(crate) const PULLS: usize = 8;

/// The start that the turn before this one has to be put off to, and that turn; none where all is
/// well.
pub(crate) fn pull(setting: &Setting<'_>, turns: &[Turn], at: usize) -> Option<(usize, u32)> {
    let turn = &turns[at];
    if turn.prev == NONE {
        return None;
    }
    let before = &turns[turn.prev as usize];
    let most = setting.most(before.step)?;
    let late = turn.start.checked_sub(before.finish.saturating_add(most))?;
    (late > 0).then(|| (turn.prev as usize, before.start + late))
}

impl Timing {
    /// Caps turns that settling has put too late after the one before; true where it capped any.
    pub(crate) fn cap_gaps(&mut self, setting: &Setting<'_>) -> bool {
        let mut capped = false;
        for at in 0..self.turns.len() {
            let turn = self.turns[at];
            if turn.prev == NONE {
                continue;
            }
            let before = self.turns[turn.prev as usize];
            let Some(most) = setting.most(before.step) else {
                continue;
            };
            let cap = before.settled + (before.finish - before.start) + most;
            if turn.settled > cap {
                self.turns[at].cap = cap;
                capped = true;
            }
        }
        capped
    }
}

/// Shown when it bites even on a day of its own.
pub(crate) fn words() -> String {
    "One of its stages may not wait for the next as long as it has to wait; check the longest and \
     the shortest time between them."
        .to_owned()
}
