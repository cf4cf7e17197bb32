//! Which tasks are taken out: strings of neighbouring tasks from gang-days near each other.
//!
//! # Source
//! Christiaens and Vanden Berghe, "Slack Induction by String Removals for Vehicle Routing Problems",
//! Transportation Science 54(2), 2020, section 4; a string here is a run of tasks in order of their
//! first blocks.

use super::dice::Dice;
use super::state::State;

/// How many tasks are taken out on average.
const MEAN: usize = 8;

/// The longest string.
const LONGEST: usize = 8;

/// So many times in a thousand, a string leaves tasks in its middle standing.
const SPLIT: usize = 300;

/// So many times in a thousand, one whole gang-day is cleared as well.
const CLEAR: usize = 60;

/// Takes tasks out and lists them in `out`.
pub(crate) fn ruin(state: &mut State<'_>, dice: &mut Dice, out: &mut Vec<u32>) {
    out.clear();
    let tasks = state.setting.facts.len();
    if state.planned() == 0 || tasks == 0 {
        return;
    }
    let seed = dice.below(tasks) as u32;
    let (strings, longest) = sizes(state, dice);
    let mut ruined: Vec<u32> = Vec::new();
    if dice.per_mille(CLEAR) {
        clear(state, dice, seed, &mut ruined, out);
    }
    let near = neighbours(state, seed);
    for task in near {
        if ruined.len() >= strings {
            break;
        }
        let Some(home) = state.home(task) else {
            continue;
        };
        if !ruined.contains(&home) && !out.contains(&task) {
            take_string(state, dice, (home, task), longest, out);
            ruined.push(home);
        }
    }
    if out.is_empty() {
        take_any(state, dice, out);
    }
}

/// How many strings, and how long at most.
fn sizes(state: &State<'_>, dice: &mut Dice) -> (usize, usize) {
    let busy = (state.routes.len() - state.idle().len()).max(1);
    let longest = LONGEST.min(state.planned().div_ceil(busy)).max(1);
    let most = (4 * MEAN / (1 + longest)).max(2) - 1;
    (1 + dice.below(most), longest)
}

/// The seed and its neighbours, nearest first.
fn neighbours(state: &State<'_>, seed: u32) -> Vec<u32> {
    let near = state.setting.problem.near.get(seed as usize);
    std::iter::once(seed)
        .chain(near.into_iter().flatten().copied())
        .collect()
}

fn take_string(
    state: &mut State<'_>,
    dice: &mut Dice,
    (home, task): (u32, u32),
    longest: usize,
    out: &mut Vec<u32>,
) {
    let tasks: Vec<u32> = state.routes[home as usize].tasks().collect();
    let at = tasks.iter().position(|&other| other == task).unwrap_or(0);
    let count = 1 + dice.below(longest.min(tasks.len()));
    let spared = if count > 1 && count < tasks.len() && dice.per_mille(SPLIT) {
        1 + dice.below((tasks.len() - count).min(2))
    } else {
        0
    };
    let span = count + spared;
    let first = at.saturating_sub(dice.below(span)).min(tasks.len() - span);
    let mut string = tasks[first..first + span].to_vec();
    if spared > 0 {
        let from = dice.below(string.len() - spared + 1);
        string.drain(from..from + spared);
    }
    state.remove(home, &string);
    out.extend(string);
}

/// Takes out the whole gang-day of the seed, or of a task near it.
fn clear(
    state: &mut State<'_>,
    dice: &mut Dice,
    seed: u32,
    ruined: &mut Vec<u32>,
    out: &mut Vec<u32>,
) {
    let near = neighbours(state, seed);
    let picked = near[dice.below(near.len().min(8))];
    let Some(home) = state.home(picked) else {
        return;
    };
    let tasks: Vec<u32> = state.routes[home as usize].tasks().collect();
    state.remove(home, &tasks);
    ruined.push(home);
    out.extend(tasks);
}

/// Takes out one planned task, whichever.
fn take_any(state: &mut State<'_>, dice: &mut Dice, out: &mut Vec<u32>) {
    let tasks = state.setting.facts.len();
    let from = dice.below(tasks);
    let all = (from..tasks).chain(0..from).map(|task| task as u32);
    let found = all
        .filter_map(|task| state.home(task).map(|home| (home, task)))
        .next();
    if let Some((home, task)) = found {
        state.remove(home, &[task]);
        out.push(task);
    }
}
