//! Travel times that no detour shortens, between tasks and depots.

use smallvec::SmallVec;

use crate::setting::Setting;

/// Tours go through so many nodes at most.
pub(super) const TOUR: usize = 5;

/// The shortest way between any two nodes.
pub(super) struct Metric {
    width: usize,
    seconds: Vec<u32>,
    /// For each node of the problem, its place in the table.
    place: Vec<u32>,
}

impl Metric {
    pub(super) fn of(setting: &Setting<'_>) -> Self {
        let problem = setting.problem;
        let tasks = problem.tasks.iter().map(|task| task.node);
        let mut nodes: Vec<u32> = tasks
            .chain(problem.gang_days.iter().map(|day| day.depot))
            .collect();
        nodes.sort_unstable();
        nodes.dedup();
        let width = nodes.len();
        let mut place = vec![0; nodes.last().map_or(0, |&last| last as usize + 1)];
        (0..)
            .zip(&nodes)
            .for_each(|(at, &node)| place[node as usize] = at);
        let mut seconds: Vec<u32> = nodes
            .iter()
            .flat_map(|&from| nodes.iter().map(move |&to| setting.least_travel(from, to)))
            .collect();
        shorten(&mut seconds, width);
        Self {
            width,
            seconds,
            place,
        }
    }

    /// The shortest way from node to node.
    pub(super) fn seconds(&self, from: u32, to: u32) -> u32 {
        let (from, to) = (self.place[from as usize], self.place[to as usize]);
        self.seconds[from as usize * self.width + to as usize]
    }

    /// The shortest tour from the depot through these nodes; of more than a few, through the first few.
    pub(super) fn tour(&self, depot: u32, nodes: impl Iterator<Item = u32>) -> u32 {
        let mut nodes: SmallVec<[u32; 8]> = nodes.take(TOUR).collect();
        self.through(depot, depot, &mut nodes, 0, u32::MAX)
    }

    fn through(&self, at: u32, depot: u32, left: &mut [u32], so_far: u32, best: u32) -> u32 {
        if so_far >= best {
            return best;
        }
        if left.is_empty() {
            return best.min(so_far + self.seconds(at, depot));
        }
        let mut best = best;
        for next in 0..left.len() {
            left.swap(0, next);
            let node = left[0];
            let there = so_far + self.seconds(at, node);
            best = self.through(node, depot, &mut left[1..], there, best);
            left.swap(0, next);
        }
        best
    }
}

/// By way of every node, if that is shorter.
fn shorten(seconds: &mut [u32], width: usize) {
    for via in 0..width {
        for from in 0..width {
            let first = seconds[from * width + via];
            for to in 0..width {
                let round = first.saturating_add(seconds[via * width + to]);
                let direct = &mut seconds[from * width + to];
                *direct = (*direct).min(round);
            }
        }
    }
}
