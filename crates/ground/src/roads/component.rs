//! The main roads: the largest part in which one can get from everywhere to everywhere.

use super::RoadGraph;
use super::runs::link_of;
use super::states::Fan;

/// Marks what can be come to and gone from, and a state of the main roads.
pub(super) fn mark(graph: &mut RoadGraph) {
    let open = |state: u32| graph.is_open(state);
    let Some(main) = largest(graph.states.len(), &graph.states.next, open) else {
        return;
    };
    let Some(seed) = main.iter().copied().min() else {
        return;
    };
    graph.usable = both_ways(graph, seed, |_| true);
    graph.main = graph.usable.contains(&true).then_some(seed);
}

/// Which links one can come to from a state and go from to it, over the allowed runs.
pub(super) fn both_ways(graph: &RoadGraph, main: u32, allowed: impl Fn(u32) -> bool) -> Vec<bool> {
    let states = &graph.states;
    let may = |state: u32| allowed(states.run[state as usize]);
    let come = reached(states.len(), &states.next, main, may);
    let go = reached(states.len(), &states.before, main, may);
    let (mut comes, mut goes) = (
        vec![false; graph.lengths.len()],
        vec![false; graph.lengths.len()],
    );
    for state in 0..states.len() as u32 {
        let run = states.run[state as usize];
        let link = link_of(run) as usize;
        comes[link] |= come[state as usize];
        let begins = states.beginning(run) == Some(state);
        goes[link] |= begins
            && states
                .next
                .of_one(state)
                .iter()
                .any(|next| go[*next as usize]);
    }
    comes
        .iter()
        .zip(&goes)
        .map(|(comes, goes)| *comes && *goes)
        .collect()
}

/// What can be reached from a state.
pub(super) fn reached(count: usize, fan: &Fan, from: u32, may: impl Fn(u32) -> bool) -> Vec<bool> {
    let mut seen = vec![false; count];
    seen[from as usize] = true;
    let mut left = vec![from];
    while let Some(at) = left.pop() {
        for &next in fan.of_one(at) {
            if !seen[next as usize] && may(next) {
                seen[next as usize] = true;
                left.push(next);
            }
        }
    }
    seen
}

/// The largest strongly connected part; of two as large, the one with the lowest state.
///
/// # Source
/// R. Tarjan, "Depth-first search and linear graph algorithms", SIAM Journal on Computing 1 (1972),
/// without recursion, so that a long road can't exhaust the stack.
pub(super) fn largest(count: usize, fan: &Fan, may: impl Fn(u32) -> bool) -> Option<Vec<u32>> {
    let mut walk = Walk::new(count);
    for from in (0..count as u32).filter(|state| may(*state)) {
        if walk.order[from as usize] == 0 {
            walk.from(from, fan, &may);
        }
    }
    walk.best
}

struct Walk {
    order: Vec<u32>,
    low: Vec<u32>,
    on_stack: Vec<bool>,
    stack: Vec<u32>,
    seen: u32,
    best: Option<Vec<u32>>,
}

impl Walk {
    fn new(count: usize) -> Self {
        Self {
            order: vec![0; count],
            low: vec![0; count],
            on_stack: vec![false; count],
            stack: Vec::new(),
            seen: 0,
            best: None,
        }
    }

    fn from(&mut self, from: u32, fan: &Fan, may: &impl Fn(u32) -> bool) {
        let mut path = vec![(from, 0_usize)];
        self.enter(from);
        while let Some((at, tried)) = path.last_mut() {
            let (here, next) = (*at, fan.of_one(*at).get(*tried).copied());
            *tried += 1;
            match next {
                Some(next) if !may(next) => {}
                Some(next) if self.order[next as usize] == 0 => {
                    self.enter(next);
                    path.push((next, 0));
                }
                Some(next) if self.on_stack[next as usize] => {
                    self.lower(here, self.order[next as usize]);
                }
                Some(_) => {}
                None => {
                    path.pop();
                    if let Some((above, _)) = path.last() {
                        self.lower(*above, self.low[here as usize]);
                    }
                    self.close(here);
                }
            }
        }
    }

    fn enter(&mut self, state: u32) {
        self.seen += 1;
        self.order[state as usize] = self.seen;
        self.low[state as usize] = self.seen;
        self.on_stack[state as usize] = true;
        self.stack.push(state);
    }

    fn lower(&mut self, state: u32, to: u32) {
        let low = &mut self.low[state as usize];
        *low = (*low).min(to);
    }

    /// Takes a part off the stack where this state is its first.
    fn close(&mut self, state: u32) {
        if self.low[state as usize] != self.order[state as usize] {
            return;
        }
        let from = self.stack.iter().rposition(|on| *on == state).unwrap_or(0);
        let part = self.stack.split_off(from);
        for inside in &part {
            self.on_stack[*inside as usize] = false;
        }
        if self.best.as_ref().is_none_or(|best| is_larger(&part, best)) {
            self.best = Some(part);
        }
    }
}

fn is_larger(part: &[u32], best: &[u32]) -> bool {
    let key = |part: &[u32]| (part.len(), std::cmp::Reverse(part.iter().min().copied()));
    key(part) > key(best)
}
