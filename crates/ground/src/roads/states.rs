//! Where a vehicle can be, as far as what it may do next depends on it.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use gangday_model::Passage;

use super::bans::{Bans, Memory};
use super::runs::{Leaving, Run, back_of};

/// A vehicle about to drive a run: what it remembers, and whether it has left the open roads for
/// its destination.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct State {
    run: u32,
    late: bool,
    memory: Memory,
}

/// Edges by where they begin.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Fan {
    first: Vec<u32>,
    ends: Vec<u32>,
}

impl Fan {
    /// Of pairs in any order; ends come in the order of the pairs.
    pub(super) fn of(count: usize, pairs: &[(u32, u32)]) -> Self {
        let mut first = vec![0; count + 1];
        for (from, _) in pairs {
            first[*from as usize + 1] += 1;
        }
        for at in 0..count {
            first[at + 1] += first[at];
        }
        let mut next = first.clone();
        let mut ends = vec![0; pairs.len()];
        for (from, to) in pairs {
            let place = &mut next[*from as usize];
            ends[*place as usize] = *to;
            *place += 1;
        }
        Self { first, ends }
    }

    pub(super) fn of_one(&self, from: u32) -> &[u32] {
        let at = from as usize;
        &self.ends[self.first[at] as usize..self.first[at + 1] as usize]
    }
}

/// All states, those of one run together, and what may follow what.
///
/// From a state one comes to the next by driving the state's own run to its end.
#[derive(Clone, Debug)]
pub(super) struct States {
    /// The run of each.
    pub(super) run: Vec<u32>,
    /// Which may follow each.
    pub(super) next: Fan,
    /// Which each may follow.
    pub(super) before: Fan,
    first: Vec<u32>,
}

impl States {
    /// The states of these runs.
    ///
    /// Turning round at a junction is for dead ends only: it may be done where no other run leaves
    /// the junction, unless that is forbidden too. Roads for destinations only may begin a journey
    /// and end it: once a vehicle has left the open roads for one it can't come back to them.
    pub(super) fn of(runs: &[Run], leaving: &Leaving, bans: &Bans) -> Self {
        let mut found = Found::default();
        for (run, one) in (0..).zip(runs) {
            if one.is_driven() {
                found.number(State {
                    run,
                    late: false,
                    memory: 0,
                });
            }
        }
        let mut pairs = Vec::new();
        let mut at = 0;
        while let Some(state) = found.states.get(at).copied() {
            for next in following(state, runs, leaving, bans) {
                pairs.push((at as u32, found.number(next)));
            }
            at += 1;
        }
        Self::sorted(&found.states, &pairs, runs.len())
    }

    fn sorted(states: &[State], pairs: &[(u32, u32)], runs: usize) -> Self {
        let mut order: Vec<u32> = (0..states.len() as u32).collect();
        order.sort_unstable_by_key(|state| states[*state as usize]);
        let mut place = vec![0; states.len()];
        for (new, old) in (0..).zip(&order) {
            place[*old as usize] = new;
        }
        let moved = |state: u32| place[state as usize];
        let mut pairs: Vec<_> = pairs.iter().map(|(a, b)| (moved(*a), moved(*b))).collect();
        pairs.sort_unstable();
        let back: Vec<_> = pairs.iter().map(|(a, b)| (*b, *a)).collect();
        let run: Vec<u32> = order.iter().map(|old| states[*old as usize].run).collect();
        Self {
            next: Fan::of(run.len(), &pairs),
            before: Fan::of(run.len(), &back),
            first: firsts(&run, runs),
            run,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.run.len()
    }

    /// The states of a run; the first is that of a vehicle that begins its journey on it.
    pub(super) fn of_run(&self, run: u32) -> std::ops::Range<u32> {
        self.first[run as usize]..self.first[run as usize + 1]
    }

    /// The state of a vehicle that begins its journey on a run; none where nobody drives it.
    pub(super) fn beginning(&self, run: u32) -> Option<u32> {
        let all = self.of_run(run);
        (!all.is_empty()).then_some(all.start)
    }
}

/// Where each run's states begin in the list of all.
fn firsts(run_of: &[u32], runs: usize) -> Vec<u32> {
    let mut first = vec![0; runs + 1];
    for run in run_of {
        first[*run as usize + 1] += 1;
    }
    for at in 0..runs {
        first[at + 1] += first[at];
    }
    first
}

#[derive(Default)]
struct Found {
    states: Vec<State>,
    numbers: HashMap<State, u32>,
}

impl Found {
    fn number(&mut self, state: State) -> u32 {
        match self.numbers.entry(state) {
            Entry::Occupied(known) => *known.get(),
            Entry::Vacant(new) => {
                let number = self.states.len() as u32;
                self.states.push(state);
                *new.insert(number)
            }
        }
    }
}

fn following(state: State, runs: &[Run], leaving: &Leaving, bans: &Bans) -> Vec<State> {
    let on = runs[state.run as usize];
    let leave = leaving.from(on.to);
    let round = back_of(state.run);
    let dead_end = leave.iter().all(|run| *run == round);
    let mut all = Vec::with_capacity(leave.len());
    for &run in leave {
        let Some(late) = lateness(state.late, on.passage, runs[run as usize].passage) else {
            continue;
        };
        if run != round || dead_end {
            let memory = bans.step(state.memory, state.run, run);
            all.extend(memory.map(|memory| State { run, late, memory }));
        }
    }
    all
}

/// Whether the open roads are left behind after this step, or nothing where it may not be taken.
fn lateness(late: bool, on: Passage, next: Passage) -> Option<bool> {
    match next {
        Passage::Open => (!late).then_some(false),
        Passage::Destination => Some(late || on == Passage::Open),
        Passage::Shut => None,
    }
}
