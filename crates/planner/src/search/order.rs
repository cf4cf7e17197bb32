//! The cheapest order of what one gang-day does, gone through block by block within a stated number of
//! tries: whole tasks put back one after the other never come by some orders.

use smallvec::SmallVec;

use super::route::Route;
use crate::setting::Setting;
use crate::timing::{Step, Timing, by_hour, crew};

/// Longer gang-days have too many orders.
const MOST_STEPS: usize = 20;

/// So many blocks are tried at most.
const TRIES: u32 = 2_000;

/// A task on its way.
#[derive(Clone, Copy)]
struct Chain {
    task: u32,
    node: u32,
    /// How many of its blocks are done, of how many.
    done: u32,
    blocks: u32,
    /// When the next of them may start.
    ready: u32,
}

/// Where the gang is, since when, and how it got there.
#[derive(Clone, Copy)]
struct Stand {
    node: u32,
    left: u32,
    driven: u32,
    /// Work still to do.
    work: u32,
}

/// Buffers that are used again and again.
#[derive(Default)]
pub(crate) struct Order {
    chains: SmallVec<[Chain; 8]>,
    steps: SmallVec<[Step; 32]>,
    trial: Timing,
    tries: u32,
    /// Costs that no order changes, or only adds to.
    fixed: i64,
    least: i64,
    found: Option<SmallVec<[Step; 32]>>,
}

impl Order {
    /// Steps of the same tasks that cost less than the gang-day's own, if some are found.
    pub(crate) fn cheaper(
        &mut self,
        setting: &Setting<'_>,
        route: &Route,
    ) -> Option<SmallVec<[Step; 32]>> {
        let turns = route.timing.turns.len();
        if route.tasks().nth(1).is_none() || turns > MOST_STEPS {
            return None;
        }
        self.chains.clear();
        self.chains.extend(route.tasks().map(|task| {
            let stated = setting.task(task);
            Chain {
                task,
                node: stated.node,
                done: 0,
                blocks: stated.blocks.len() as u32,
                ready: 0,
            }
        }));
        (self.tries, self.least, self.found) = (TRIES, route.total, None);
        self.fixed = route.costs.set_ups + route.costs.gang_days;
        self.steps.clear();
        let day = &route.day;
        let stand = Stand {
            node: day.depot,
            left: day.start.saturating_add(day.load),
            driven: 0,
            work: route.work,
        };
        self.go(setting, route, stand);
        self.found.take()
    }

    /// Does one more block, whichever: what can start soonest first.
    fn go(&mut self, setting: &Setting<'_>, route: &Route, stand: Stand) {
        let mut next: SmallVec<[(u32, u32); 8]> = SmallVec::new();
        for (at, chain) in (0..).zip(&self.chains) {
            if chain.done < chain.blocks
                && let Some(start) = start(setting, route, chain, stand)
            {
                next.push((start, at));
            }
        }
        next.sort_unstable();
        for (start, at) in next {
            if self.tries == 0 {
                return;
            }
            self.tries -= 1;
            self.step(setting, route, stand, (start, at as usize));
        }
    }

    fn step(
        &mut self,
        setting: &Setting<'_>,
        route: &Route,
        stand: Stand,
        (start, at): (u32, usize),
    ) {
        let before = self.chains[at];
        let (task, block) = (before.task, before.done);
        let todo = setting.block(task, block, route.day.pace);
        let left = start.saturating_add(todo.work);
        let way = (stand.node, before.node);
        let drive = setting.drive(&route.day, way, stand.left).lasts;
        let stand = Stand {
            node: before.node,
            left,
            driven: stand.driven + drive,
            work: stand.work.saturating_sub(todo.work),
        };
        self.chains[at].done += 1;
        self.chains[at].ready = left.saturating_add(todo.wait);
        self.steps.push(Step { task, block });
        if self.at_least(setting, route, stand) < self.least {
            if self.chains.iter().all(|chain| chain.done == chain.blocks) {
                self.price(setting, route);
            } else {
                self.go(setting, route, stand);
            }
        }
        self.steps.pop();
        self.chains[at] = before;
    }

    /// What a gang-day that begins like this costs at least.
    fn at_least(&self, setting: &Setting<'_>, route: &Route, stand: Stand) -> i64 {
        let day = &route.day;
        let travel = |from, to| setting.travel(day, from, to);
        let mut home = travel(stand.node, day.depot);
        let mut end = stand.left + stand.work;
        let (mut near, mut far) = (u32::MAX, 0);
        for chain in self.chains.iter().filter(|chain| chain.done < chain.blocks) {
            let (there, back) = (
                travel(stand.node, chain.node),
                travel(chain.node, day.depot),
            );
            let tail = setting.facts_at(chain.task, day.pace).tail[chain.done as usize];
            let start = chain.ready.max(stand.left.saturating_add(there));
            end = end.max(start.saturating_add(tail).saturating_add(back));
            (near, far) = (near.min(back), far.max(there + back));
        }
        if far > 0 {
            home = near;
        }
        end = end.max(stand.left + stand.work + home);
        let end = end.saturating_add(day.unload);
        if end > day.latest {
            return i64::MAX;
        }
        let (within, past) = crew(setting, day, end);
        let driven = i64::from(stand.driven + far.max(home));
        self.fixed + within + past + by_hour(setting.problem.rates.travel_hour, driven)
    }

    fn price(&mut self, setting: &Setting<'_>, route: &Route) {
        let steps = self.steps.iter().copied();
        if !self.trial.run(setting, &route.day, steps) {
            return;
        }
        self.trial.settle(setting);
        let total = self.trial.price(setting, &route.day).total();
        if total < self.least {
            self.least = total;
            self.found = Some(self.steps.clone());
        }
    }
}

/// When the chain's next block can start; none where it can't any more.
fn start(setting: &Setting<'_>, route: &Route, chain: &Chain, stand: Stand) -> Option<u32> {
    let drive = setting.drive(&route.day, (stand.node, chain.node), stand.left);
    let arrive = chain.ready.max(drive.arrive);
    if chain.done > 0 {
        return Some(arrive);
    }
    let window = setting
        .facts_at(chain.task, route.day.pace)
        .window(0, arrive)?;
    Some(arrive.max(window.open))
}
