//! What one gang-day's crew and way cost at the least for a set of tasks, and what their closures cost more
//! than at their shortest, by trying every order of their blocks that could still be cheaper.

use smallvec::SmallVec;

use super::classes::Class;
use super::labels::{Key, Label, Labels};
use super::metric::Metric;
use super::spans::Spans;
use crate::Block;
use crate::setting::{FOREVER, Setting, Window};
use crate::timing::{by_begun_hour, by_hour};

/// Of one set, so many steps are tried at most; then the set counts at what is certain.
const TRIED: u32 = 30_000;

/// And so many to find out soon what it costs about.
pub(super) const SOON: u32 = 60;

/// One task while orders are tried.
#[derive(Clone, Copy)]
struct Chain {
    task: u32,
    node: u32,
    /// How many of its blocks are done, and how many there are.
    done: u32,
    blocks: u32,
    /// When its next block may start, and by when its last must be done.
    ready: u32,
    until: u32,
}

type All = SmallVec<[Chain; 6]>;

/// A set of tasks on a gang-day of a class.
pub(super) struct Chains<'a> {
    setting: &'a Setting<'a>,
    class: &'a Class,
    metric: &'a Metric,
    chains: All,
    /// How long closures last at the least by the order so far, and what the done ones cost more for it.
    spans: Spans,
    longer: i64,
    /// Which tasks' closures have a price, and what was stood at before.
    priced: SmallVec<[bool; 6]>,
    labels: Labels,
}

/// Where the gang is, since when, how much of its work is left and how far it has driven.
#[derive(Clone, Copy)]
struct Stand {
    node: u32,
    time: u32,
    work: u32,
    driven: u32,
}

/// The cheapest so far, the steps left, and whether all were tried.
struct Best {
    cost: i64,
    found: bool,
    left: u32,
    all: bool,
    /// Whether an order was given up for its cost alone.
    dear: bool,
}

/// What came of trying the orders.
pub(super) struct Tried {
    /// The least cost below the most asked for, if there is one.
    pub(super) cost: Option<i64>,
    /// Whether it can't be done in any order, whatever it costs.
    pub(super) never: bool,
    /// Whether orders are left untried, so that the set may cost more.
    pub(super) given_up: bool,
    pub(super) steps: u32,
}

impl<'a> Chains<'a> {
    pub(super) fn new(
        setting: &'a Setting<'a>,
        class: &'a Class,
        metric: &'a Metric,
        tasks: &[u32],
    ) -> Self {
        let chain = |&task: &u32| Chain {
            task,
            node: setting.task(task).node,
            done: 0,
            blocks: setting.task(task).blocks.len() as u32,
            ready: 0,
            until: FOREVER,
        };
        Self {
            setting,
            class,
            metric,
            chains: tasks.iter().map(chain).collect(),
            spans: Spans::new(tasks.len()),
            longer: 0,
            priced: tasks
                .iter()
                .map(|&task| setting.task(task).closure_hour > 0)
                .collect(),
            labels: Labels::default(),
        }
    }

    /// What the first few orders that are tried cost at the least, if that is below `most`.
    pub(super) fn soon(mut self, most: i64) -> Option<i64> {
        let (stand, mut best) = self.begin(most, SOON);
        self.go(stand, &mut best);
        best.found.then_some(best.cost)
    }

    fn begin(&self, most: i64, left: u32) -> (Stand, Best) {
        let day = &self.class.day;
        let works = self
            .chains
            .iter()
            .map(|chain| self.setting.facts_at(chain.task, day.pace).work);
        let stand = Stand {
            node: day.depot,
            time: day.start + day.load,
            work: works.sum(),
            driven: 0,
        };
        let best = Best {
            cost: most,
            found: false,
            left,
            all: true,
            dear: false,
        };
        (stand, best)
    }

    /// The least cost below `most`. Where too many orders would have to be tried, less than the least.
    pub(super) fn cheapest(mut self, most: i64) -> Tried {
        let (stand, mut best) = self.begin(most, TRIED);
        let certain = self.certain(stand, best.cost);
        self.go(stand, &mut best);
        let cost = match certain {
            Some(certain) if !best.all => (certain < most).then_some(certain),
            _ => best.found.then_some(best.cost),
        };
        Tried {
            cost,
            never: certain.is_none() || !best.found && best.all && !best.dear,
            given_up: !best.all,
            steps: TRIED - best.left,
        }
    }

    fn go(&mut self, stand: Stand, best: &mut Best) {
        let Some(spent) = best.left.checked_sub(1) else {
            best.all = false;
            return;
        };
        best.left = spent;
        match self.certain(stand, best.cost) {
            Some(certain) if certain < best.cost => {
                if stand.work == 0 && self.chains.iter().all(|chain| chain.done == chain.blocks) {
                    (best.cost, best.found) = (certain, true);
                    return;
                }
            }
            Some(_) => {
                best.dear = true;
                return;
            }
            None => return,
        }
        if self.is_stale(stand) {
            return;
        }
        let mut next: SmallVec<[(u32, usize); 6]> = (0..self.chains.len())
            .filter(|&at| self.chains[at].done < self.chains[at].blocks)
            .map(|at| (self.start(stand, at), at))
            .collect();
        next.sort_unstable();
        for (start, at) in next {
            let mut from = 0;
            while let Some(window) = self.window(at, from, start) {
                self.take(stand, (at, window), best);
                from = window.index + 1;
            }
        }
    }

    /// Whether an order that was tried before has come to the same point no later and no dearer.
    fn is_stale(&mut self, stand: Stand) -> bool {
        let Some(key) = self.key(stand) else {
            return false;
        };
        let label = Label {
            time: stand.time,
            driven: stand.driven,
            longer: self.longer,
            tasks: self
                .chains
                .iter()
                .filter(|chain| chain.done < chain.blocks)
                .map(|chain| (chain.ready, chain.until))
                .collect(),
            spans: self.spans.clone(),
        };
        !self.labels.is_new(key, label, &self.priced)
    }

    /// Where the gang is and how many blocks of each task are done, four bits a task; none where they
    /// don't hold it.
    fn key(&self, stand: Stand) -> Option<Key> {
        let fits = self.chains.len() <= 16 && self.chains.iter().all(|chain| chain.blocks < 16);
        let done = self.chains.iter();
        let done = done.fold(0, |all, chain| all << 4 | u64::from(chain.done));
        fits.then_some((done, stand.node))
    }

    /// The window, from the `from`-th on, in which the chain's next block may start so early or when it
    /// opens: of a chain that is begun, the one it is in.
    fn window(&self, at: usize, from: u32, start: u32) -> Option<Window> {
        let chain = &self.chains[at];
        if chain.done == 0 && self.setting.task(chain.task).locked.is_none() {
            let facts = self.setting.facts_at(chain.task, self.class.day.pace);
            let window = facts.window(from, start)?;
            let open = window.open.max(start);
            return Some(Window { open, ..window });
        }
        (from == 0).then_some(Window {
            index: 0,
            open: start,
            until: chain.until,
        })
    }

    /// Does the chain's next block, at the window's opening, and goes on.
    fn take(&mut self, stand: Stand, (at, window): (usize, Window), best: &mut Best) {
        let before = self.chains[at];
        let kept = (self.spans.clone(), self.longer);
        let block = self.block(before.task, before.done);
        let time = window.open + block.work;
        self.span(stand, at, block.work);
        let chain = &mut self.chains[at];
        (chain.done, chain.until) = (chain.done + 1, window.until);
        chain.ready = time.saturating_add(block.wait);
        let on = Stand {
            node: before.node,
            time,
            work: stand.work - block.work,
            driven: stand.driven + self.metric.seconds(stand.node, before.node),
        };
        self.go(on, best);
        self.chains[at] = before;
        (self.spans, self.longer) = kept;
    }

    fn block(&self, task: u32, block: u32) -> Block {
        self.setting.block(task, block, self.class.day.pace)
    }

    /// The wait before the next block of a chain that is begun.
    fn wait(&self, chain: &Chain) -> u32 {
        let before = chain.done.checked_sub(1);
        before.map_or(0, |before| self.block(chain.task, before).wait)
    }

    /// Lets the closures that are there last through the next block of this chain.
    fn span(&mut self, stand: Stand, at: usize, work: u32) {
        let chain = self.chains[at];
        let leg = self.metric.seconds(stand.node, chain.node);
        let wait = self.wait(&chain);
        self.spans.step(at, chain.done == 0, (leg, wait), work);
        if chain.done + 1 == chain.blocks {
            let lasts = self.spans.so_far(at);
            self.longer += self.over(&chain, lasts);
            self.spans.end(at);
        }
    }

    /// What a closure that lasts so long costs more than at its shortest.
    fn over(&self, chain: &Chain, lasts: u32) -> i64 {
        let rate = self.setting.task(chain.task).closure_hour;
        let shortest = self
            .setting
            .facts_at(chain.task, self.class.day.pace)
            .shortest;
        by_begun_hour(rate, lasts.max(shortest)) - by_begun_hour(rate, shortest)
    }

    fn start(&self, stand: Stand, at: usize) -> u32 {
        let chain = &self.chains[at];
        let there = stand.time + self.metric.seconds(stand.node, chain.node);
        there.max(chain.ready)
    }

    /// No sooner is the gang back, if it could break every block off and go on with it, and was at its places
    /// at once.
    fn without_ways(&self, stand: Stand) -> u32 {
        let pace = self.class.day.pace;
        // When each block is ready, its work, and what comes after it.
        let mut blocks: SmallVec<[(u32, u32, u32); 24]> = SmallVec::new();
        for chain in self.chains.iter().filter(|chain| chain.done < chain.blocks) {
            let tail = &self.setting.facts_at(chain.task, pace).tail;
            let back = self.metric.seconds(chain.node, self.class.day.depot);
            let stated = self.setting.task(chain.task).blocks_at(pace);
            let mut ready = chain
                .ready
                .max(stand.time + self.metric.seconds(stand.node, chain.node));
            for at in chain.done as usize..stated.len() {
                let block = stated[at];
                blocks.push((ready, block.work, tail[at] - block.work + back));
                ready = ready.saturating_add(block.work).saturating_add(block.wait);
            }
        }
        blocks.sort_unstable_by_key(|block| block.0);
        preemptive(stand.time, &blocks)
    }

    /// Less than whatever comes costs, or nothing where it can't be done any more.
    fn certain(&self, stand: Stand, most: i64) -> Option<i64> {
        let day = &self.class.day;
        let (mut end, mut drive) = (stand.time + stand.work, 0);
        let mut home = self.metric.seconds(stand.node, day.depot);
        let mut longer = self.longer;
        let chains = self.chains.iter().enumerate();
        for (at, chain) in chains.filter(|(_, chain)| chain.done < chain.blocks) {
            let out = self.metric.seconds(stand.node, chain.node);
            let back = self.metric.seconds(chain.node, day.depot);
            let window = self.window(at, 0, chain.ready.max(stand.time + out))?;
            let tail = self.setting.facts_at(chain.task, day.pace).tail[chain.done as usize];
            let done = window.open.saturating_add(tail);
            if done > window.until {
                return None;
            }
            if chain.done > 0 {
                let lasts = self
                    .spans
                    .next(at, out, self.wait(chain))
                    .saturating_add(tail);
                longer += self.over(chain, lasts);
            }
            end = end.max(done.saturating_add(back));
            drive = drive.max(out + back);
            home = home.min(back);
        }
        let drive = drive.max(home);
        let end = end
            .max(stand.time + stand.work + drive)
            .saturating_add(day.unload);
        if end > day.latest {
            return None;
        }
        let rate = self.setting.problem.rates.travel_hour;
        let travel = by_hour(rate, i64::from(stand.driven + drive)) - 1;
        let rest = travel.max(0) + longer;
        let cost = self.class.crew(self.setting, end) + rest;
        let left = self.chains.iter().filter(|chain| chain.done < chain.blocks);
        if cost >= most || left.count() < 2 {
            return Some(cost);
        }
        let end = end.max(self.without_ways(stand).saturating_add(day.unload));
        if end > day.latest {
            return None;
        }
        Some(self.class.crew(self.setting, end) + rest)
    }
}

/// When all blocks are done and what comes after each is over, at the least, where every block is broken off
/// and gone on with as it serves best: always the ready one after which most is to come. Blocks are in order of
/// when they are ready, each with its work and what comes after it.
///
/// # Source
/// J. R. Jackson's preemptive schedule, as a bound for one machine with heads and tails: Carlier, "The
/// One-Machine Sequencing Problem", European Journal of Operational Research 11(1), 1982.
fn preemptive(mut time: u32, blocks: &[(u32, u32, u32)]) -> u32 {
    // Ready ones, with what comes after them and their work that is left; most to come last.
    let mut open: SmallVec<[(u32, u32); 24]> = SmallVec::new();
    let (mut next, mut end) = (0, 0);
    loop {
        let Some((tail, left)) = open.pop() else {
            let Some(block) = blocks.get(next) else {
                return end;
            };
            time = time.max(block.0);
            open.push((block.2, block.1));
            next += 1;
            continue;
        };
        let until = blocks.get(next).map_or(FOREVER, |block| block.0);
        if time + left <= until {
            time += left;
            end = end.max(time.saturating_add(tail));
            continue;
        }
        let rest = left - until.saturating_sub(time);
        time = time.max(until);
        open.push((tail, rest));
        let block = blocks[next];
        let at = open.partition_point(|(tail, _)| *tail <= block.2);
        open.insert(at, (block.2, block.1));
        next += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Carlier 1982: the preemptive schedule ends when the worst of all sets of blocks does, each of which
        /// takes its least head, all its work and its least tail.
        #[test]
        fn it_ends_with_the_worst_set_of_blocks(
            mut blocks in prop::collection::vec((0_u32..40, 1_u32..12, 0_u32..40), 1..9),
        ) {
            blocks.sort_unstable();
            let sets = 1_u32..1 << blocks.len();
            let worst = sets.map(|set| {
                let own = (0..blocks.len()).filter(|at| set >> at & 1 == 1);
                let own: Vec<(u32, u32, u32)> = own.map(|at| blocks[at]).collect();
                let head = own.iter().map(|block| block.0).min().unwrap();
                let tail = own.iter().map(|block| block.2).min().unwrap();
                head + own.iter().map(|block| block.1).sum::<u32>() + tail
            });
            prop_assert_eq!(preemptive(0, &blocks), worst.max().unwrap());
        }
    }
}
