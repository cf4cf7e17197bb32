//! Over which nights a task's works may be left.

use crate::{Kept, Locked};

/// Where a task's works may be left over nights, and how an earlier plan has them left.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Nights {
    /// Between which blocks; of a task with windows, or with a most time between the two, none counts.
    pub cuts: Vec<Cut>,
    /// How an earlier plan has it left; none where that has it on one gang-day, or nowhere.
    pub left: Option<Left>,
}

/// Between two blocks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cut {
    /// After which block.
    pub after: u32,
    /// On which days it may be left and gone on with; whatever the block before the night needs is over
    /// when the second begins, however late the first ends. The nights between are their difference. They hold
    /// whatever `Task::days` says of the whole.
    pub days: Vec<(u32, u32)>,
}

/// A task that an earlier plan has left over a night.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Left {
    /// After which block.
    pub after: u32,
    /// Where what is done afterwards stays, its starts counted from the first block after the night;
    /// then it stays left here. What stays before the night is `Task::locked`.
    pub rest: Option<Locked>,
    /// Where what is done afterwards was.
    pub kept: Option<Kept>,
}
