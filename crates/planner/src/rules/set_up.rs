//! Traffic management: tasks of one street share one set-up on one gang-day.
//!
//! No limit. It costs the dearest set-up of each street once; where no street is known, each its own.

use smallvec::SmallVec;

use crate::setting::Setting;
use crate::timing::Turn;

/// What all set-ups of these turns cost.
pub(crate) fn price(setting: &Setting<'_>, turns: &[Turn]) -> i64 {
    let mut alone = 0;
    let mut streets: SmallVec<[(u32, i64); 16]> = SmallVec::new();
    for turn in turns.iter().filter(|turn| turn.step.block == 0) {
        let task = setting.task(turn.step.task);
        match task.street {
            _ if task.set_up == 0 => {}
            None => alone += task.set_up,
            Some(street) => match streets.iter_mut().find(|shared| shared.0 == street) {
                Some(shared) => shared.1 = shared.1.max(task.set_up),
                None => streets.push((street, task.set_up)),
            },
        }
    }
    alone + streets.iter().map(|shared| shared.1).sum::<i64>()
}
