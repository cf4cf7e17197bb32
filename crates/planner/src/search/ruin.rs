//! Which tasks are taken out: strings of neighbouring tasks from gang-days near each other.
//!
//! # Source
//! Christiaens and Vanden Berghe, "Slack Induction by String Removals for Vehicle Routing Problems",
//! Transportation Science 54(2), 2020, section 4; a string here is a run of tasks in order of their
//! first blocks.

use smallvec::SmallVec;

use super::dice::Dice;
use super::plan::Plan;

/// Buffers for taking out.
#[derive(Default)]
pub(crate) struct Ruin {
    ruined: SmallVec<[u32; 16]>,
    string: Vec<u32>,
}

impl Ruin {
    /// Takes tasks out and lists them in `out`.
    pub(crate) fn ruin<P: Plan>(&mut self, plan: &mut P, dice: &mut Dice, out: &mut Vec<u32>) {
        out.clear();
        self.ruined.clear();
        if plan.planned() == 0 {
            return;
        }
        let seed = dice.below(plan.tasks()) as u32;
        let (strings, longest) = sizes(plan, dice);
        if P::MANNER.clear > 0 && dice.per_mille(P::MANNER.clear) {
            self.clear(plan, dice, seed, out);
        }
        self.take_around(plan, dice, seed, longest, out);
        for at in 0..plan.near(seed).len() {
            if self.ruined.len() >= strings {
                break;
            }
            let task = plan.near(seed)[at];
            self.take_around(plan, dice, task, longest, out);
        }
        if out.is_empty() {
            take_any(plan, dice, out);
        }
    }

    /// Takes a string round the task out, if it is planned and its gang-day not yet ruined.
    fn take_around<P: Plan>(
        &mut self,
        plan: &mut P,
        dice: &mut Dice,
        task: u32,
        longest: usize,
        out: &mut Vec<u32>,
    ) {
        let Some(home) = plan.home(task) else {
            return;
        };
        if self.ruined.contains(&home) || out.contains(&task) {
            return;
        }
        self.pick_string(plan, dice, (home, task), longest);
        self.string.retain(|&task| !plan.stays(task));
        plan.remove(home, &self.string);
        out.extend(self.string.iter().map(|&task| plan.whole(task)));
        self.ruined.push(home);
    }

    fn pick_string<P: Plan>(
        &mut self,
        plan: &P,
        dice: &mut Dice,
        (home, task): (u32, u32),
        longest: usize,
    ) {
        let length = plan.length(home);
        let count = 1 + dice.below(longest.min(length));
        let spared = if count > 1 && count < length && dice.per_mille(P::MANNER.split) {
            1 + dice.below((length - count).min(P::MANNER.spared))
        } else {
            0
        };
        let span = count + spared;
        let at = plan.around(task, span - 1, &mut self.string);
        let first = at
            .saturating_sub(dice.below(span))
            .min(self.string.len() - span);
        self.string.truncate(first + span);
        self.string.drain(..first);
        if spared > 0 {
            let from = dice.below(span - spared + 1);
            self.string.drain(from..from + spared);
        }
    }

    /// Takes out the whole gang-day of the seed, or of a task near it.
    fn clear<P: Plan>(&mut self, plan: &mut P, dice: &mut Dice, seed: u32, out: &mut Vec<u32>) {
        let pick = dice.below((plan.near(seed).len() + 1).min(8));
        let picked = match pick.checked_sub(1) {
            Some(at) => plan.near(seed)[at],
            None => seed,
        };
        let Some(home) = plan.home(picked) else {
            return;
        };
        plan.around(picked, plan.length(home), &mut self.string);
        self.string.retain(|&task| !plan.stays(task));
        plan.remove(home, &self.string);
        self.ruined.push(home);
        out.extend(self.string.iter().map(|&task| plan.whole(task)));
    }
}

/// How many strings, and how long at most.
fn sizes<P: Plan>(plan: &P, dice: &mut Dice) -> (usize, usize) {
    let busy = (plan.gang_days() - plan.idle()).max(1);
    let longest = P::MANNER.longest.min(plan.planned().div_ceil(busy)).max(1);
    // Evenly from 1 up to 4 x mean / (1 + longest), which is no whole number, and cut.
    let spread = (4 * P::MANNER.mean).saturating_sub(1 + longest);
    (1 + dice.below_part(spread, 1 + longest), longest)
}

/// Takes out one planned task, whichever.
fn take_any<P: Plan>(plan: &mut P, dice: &mut Dice, out: &mut Vec<u32>) {
    let tasks = plan.tasks();
    let from = dice.below(tasks);
    let mut all = (from..tasks).chain(0..from).map(|task| task as u32);
    let free = |task: u32| {
        plan.home(task)
            .filter(|_| !plan.stays(task))
            .map(|home| (home, task))
    };
    if let Some((home, task)) = all.find_map(free) {
        plan.remove(home, &[task]);
        out.push(task);
    }
}
