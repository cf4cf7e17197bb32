//! What the rounds of ruin and recreate need of a plan, whichever way its gang-days are kept.

use super::dice::Dice;
use super::recreate::{Mix, Order};
use crate::Solution;

/// How rounds go on one kind of plan.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Manner {
    /// How many tasks are taken out on average.
    pub(crate) mean: usize,
    /// The longest string.
    pub(crate) longest: usize,
    /// So many times in a thousand, a string leaves tasks in its middle standing.
    pub(crate) split: usize,
    /// So many at most are left standing.
    pub(crate) spared: usize,
    /// So many times in a thousand, one whole gang-day is cleared as well.
    pub(crate) clear: usize,
    /// So many times in a thousand, a round exchanges tails instead.
    pub(crate) cross: usize,
    /// So many times in a thousand, a round looks for a cheaper order of one gang-day instead.
    pub(crate) order: usize,
    /// In which orders tasks are put back.
    pub(crate) mix: Mix,
    /// The temperature to begin with is this part of what a task costs on average.
    pub(crate) warmth: (i64, i64),
    /// The temperature halves so many times.
    pub(crate) halvings: u64,
    /// Of that cooling only this stretch is gone through, in hundredths: from, to.
    pub(crate) stretch: (u32, u32),
}

/// A plan that can be changed and taken back to its mark.
///
/// Every task is in one gang-day or absent, but for those of which two parts are in two.
pub(crate) trait Plan {
    /// One gang-day as it is kept in the best plan.
    type Kept: Clone + Default;

    /// How rounds go.
    const MANNER: Manner;

    /// How many tasks there are.
    fn tasks(&self) -> usize;

    /// The whole task that this one is a part of; most are whole themselves.
    fn whole(&self, task: u32) -> u32 {
        task
    }

    /// Whether all of a task is locked to its times: there is nothing to gain from taking it out.
    fn stays(&self, _task: u32) -> bool {
        false
    }

    /// How many gang-days there are.
    fn gang_days(&self) -> usize;

    /// How many of them have nothing in them.
    fn idle(&self) -> usize;

    /// Tasks in no gang-day that some gang-day could do.
    fn absent(&self) -> &[u32];

    /// How many tasks are in gang-days.
    fn planned(&self) -> usize;

    /// All costs, left-out tasks counted.
    fn cost(&self) -> i64;

    /// Sets what a gang-day begun is thought to be worth, by the used part of the allowance.
    fn sway(&mut self, _used: u32) {}

    /// All costs, less what the gang-days begun are thought to be worth: by this plans are walked on
    /// from, by `cost` the best one is kept.
    fn swayed(&self) -> i64 {
        self.cost()
    }

    /// What all gang-days cost.
    fn spent(&self) -> i64;

    /// What leaving a task out costs.
    fn left_out(&self, task: u32) -> i64;

    /// The task's gang-day.
    fn home(&self, task: u32) -> Option<u32>;

    /// Tasks near this one, nearest first.
    fn near(&self, task: u32) -> &[u32];

    /// How many tasks are in the gang-day.
    fn length(&self, at: u32) -> usize;

    /// Lists the planned task and up to `reach` tasks either side of it in its gang-day, in order of
    /// their first blocks, and says which of them it is.
    fn around(&self, task: u32, reach: usize, out: &mut Vec<u32>) -> usize;

    /// From here on, changes can be undone.
    fn mark(&mut self);

    /// Back to the mark.
    fn undo(&mut self);

    /// The gang-days changed since the mark, some perhaps more than once.
    fn changed(&self, out: &mut Vec<u32>);

    /// Takes these tasks, in their order, out of their gang-day.
    fn remove(&mut self, at: u32, tasks: &[u32]);

    /// Puts one absent task back where it is cheapest among the places worth asking, if that is
    /// less than the limit.
    fn put(&mut self, dice: &mut Dice, task: u32, limit: i64);

    /// Puts one absent task into the cheapest place known, for the first plan.
    fn put_first(&mut self, dice: &mut Dice, task: u32);

    /// Puts one absent task into the cheapest place of all gang-days.
    fn put_anywhere(&mut self, task: u32);

    /// Exchanges the tails of the task's gang-day and of one near it, if that costs less than the
    /// leeway; true if it did.
    fn cross(&mut self, _task: u32, _leeway: i64) -> bool {
        false
    }

    /// Brings the gang-day into a cheaper order of the same tasks, if one is found.
    fn reorder(&mut self, _at: u32) {}

    /// Remembers the gang-days changed since the mark, if that is of use.
    fn remember(&mut self) {}

    /// A plan put together from what is remembered that costs less than this, if one is found.
    fn gathered(&mut self, _than: i64) -> Option<Vec<Self::Kept>> {
        None
    }

    /// Takes out what breaks a rule that the cost alone holds, if anything does.
    fn mend(&mut self) {}

    /// Where the task stands in this order: small comes first.
    fn rank(&self, order: Order, task: u32) -> i64;

    /// Copies a gang-day into one that is kept.
    fn keep(&self, at: u32, kept: &mut Self::Kept);

    /// Takes over a plan that was kept; there is no way back from it.
    fn adopt(&mut self, kept: &[Self::Kept]);

    /// The kept plan, for the caller.
    fn answer(&self, kept: &[Self::Kept]) -> Solution;
}
