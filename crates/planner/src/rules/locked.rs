//! Locked visits: a gang, a day and times that stay, since the work is done or was promised.
//!
//! Hard. They cost what they cost; leaving them out is priced by whoever locks them.

use crate::setting::Setting;
use crate::timing::Step;
use crate::{GangDay, Task};

/// When the step must start, if it is locked.
pub(crate) fn start(setting: &Setting<'_>, step: Step) -> Option<u32> {
    let locked = setting.task(step.task).locked.as_ref()?;
    locked.starts.get(step.block as usize).copied().flatten()
}

/// Whether the task may be on this gang-day.
pub(crate) fn may(task: &Task, day: &GangDay) -> bool {
    let locked = task.locked.as_ref();
    locked.is_none_or(|locked| (locked.gang, locked.day) == (day.gang, day.day))
}

/// Shown when it bites.
pub(crate) fn words() -> String {
    "It is locked to a gang, a day and times that can't be kept any more; unlock it or change what \
     stands in its way."
        .to_owned()
}
