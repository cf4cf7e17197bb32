//! All sets of tasks that one gang-day could serve, gone through for those that prices are unfair to.

use smallvec::SmallVec;

use super::Prices;
use super::chains::Chains;
use super::classes::Class;
use super::cuts::{Cut, is_in};
use crate::setting::Setting;
use crate::timing::{by_begun_hour, by_hour};

/// Tours go through so many nodes at most.
const TOUR: usize = 5;

/// Of one class, so many unfair sets are enough for one round.
const ENOUGH: usize = 12;

/// Tasks that one gang-day of a class could serve, and what that costs at the least.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Set {
    pub(super) class: usize,
    pub(super) tasks: Vec<u32>,
    pub(super) cost: i64,
}

/// Goes through sets; a set of buffers.
pub(super) struct Sets<'a> {
    setting: &'a Setting<'a>,
    classes: &'a [Class],
    metric: Metric,
    /// What prices of cuts are for.
    pub(super) cuts: Vec<Cut>,
    left: u64,
}

/// One class with its tasks, those whose price is most over what their own work and closure cost
/// first.
struct Walk<'a> {
    class: usize,
    /// The task, its price, and how much that is over.
    tasks: Vec<(u32, i64, i64)>,
    /// For each place in the list, the sum of what is over before it, none less than nothing.
    before: Vec<i64>,
    /// The least work of a task, and what a gang-day costs before any work, its price included.
    least: i64,
    base: i64,
    prices: &'a Prices,
    chosen: Vec<u32>,
    found: Vec<Set>,
}

impl Walk<'_> {
    /// The most that tasks from here on could have over, as many as there is room for.
    fn rest(&self, from: usize, room: i64) -> i64 {
        let count = usize::try_from(room / self.least).unwrap_or(0);
        let until = from.saturating_add(count).min(self.tasks.len());
        self.before[until.max(from)] - self.before[from]
    }
}

/// What the chosen set comes to so far.
#[derive(Clone, Copy, Default)]
struct Sums {
    price: i64,
    over: i64,
    work: i64,
    /// What its way and its set-ups cost at the least.
    way: i64,
}

impl<'a> Sets<'a> {
    pub(super) fn new(setting: &'a Setting<'a>, classes: &'a [Class], effort: u64) -> Self {
        Self {
            setting,
            classes,
            metric: Metric::of(setting),
            cuts: Vec::new(),
            left: effort,
        }
    }

    /// Sets that these prices are unfair to, some of each class; none at all only if there are none.
    /// Nothing where the effort is used up.
    pub(super) fn unfair(&mut self, prices: &Prices) -> Option<Vec<Set>> {
        let mut all = Vec::new();
        for class in 0..self.classes.len() {
            let mut walk = self.walk(class, prices);
            self.step(&mut walk, 0, Sums::default())?;
            all.append(&mut walk.found);
        }
        Some(all)
    }

    fn walk<'p>(&self, class: usize, prices: &'p Prices) -> Walk<'p> {
        let own = &self.classes[class];
        let rates = &self.setting.problem.rates;
        let work = |task: u32| i64::from(self.setting.facts_at(task, own.day.pace).work);
        let over = |task: u32| {
            let wages = by_hour(rates.crew_hour, work(task)) - 1;
            let price = prices.tasks[task as usize];
            (task, price, price - self.closure(own, task) - wages.max(0))
        };
        let mut tasks: Vec<(u32, i64, i64)> = own.tasks.iter().map(|&task| over(task)).collect();
        tasks.sort_by_key(|&(task, _, over)| (-over, task));
        let mut before = vec![0];
        for &(_, _, over) in &tasks {
            before.push(before[before.len() - 1] + over.max(0));
        }
        let empty = i64::from(own.day.load + own.day.unload);
        let before_work = by_hour(rates.crew_hour, empty) - 1;
        Walk {
            class,
            least: tasks
                .iter()
                .map(|task| work(task.0))
                .min()
                .unwrap_or(1)
                .max(1),
            tasks,
            before,
            base: rates.gang_day + before_work.max(0) + prices.days[class],
            prices,
            chosen: Vec::new(),
            found: Vec::new(),
        }
    }

    fn closure(&self, class: &Class, task: u32) -> i64 {
        let shortest = self.setting.facts_at(task, class.day.pace).shortest;
        by_begun_hour(self.setting.task(task).closure_hour, shortest)
    }

    fn step(&mut self, walk: &mut Walk<'_>, from: usize, sums: Sums) -> Option<()> {
        let class = &self.classes[walk.class];
        let (day, rates) = (&class.day, &self.setting.problem.rates);
        let lasts = i64::from(day.latest) - i64::from(day.start);
        let room = lasts - i64::from(day.load) - i64::from(day.unload);
        for at in from..walk.tasks.len() {
            let hopeless = sums.over + walk.rest(at, room - sums.work) <= walk.base + sums.way;
            if hopeless || walk.found.len() >= ENOUGH {
                return Some(());
            }
            self.left = self.left.checked_sub(1)?;
            let (task, price, over) = walk.tasks[at];
            walk.chosen.push(task);
            let tour = self.tour(class, &walk.chosen);
            let hourly = by_hour(rates.crew_hour + rates.travel_hour, i64::from(tour)) - 1;
            let sums = Sums {
                price: sums.price + price,
                over: sums.over + over,
                work: sums.work + i64::from(self.setting.facts_at(task, day.pace).work),
                way: hourly.max(0) + self.set_ups(&walk.chosen),
            };
            if sums.work + i64::from(tour) <= room {
                self.weigh(walk, sums, tour)?;
                self.step(walk, at + 1, sums)?;
            }
            walk.chosen.pop();
        }
        Some(())
    }

    fn tour(&self, class: &Class, tasks: &[u32]) -> u32 {
        let nodes: Vec<u32> = tasks
            .iter()
            .map(|&task| self.setting.task(task).node)
            .collect();
        self.metric.tour(class.day.depot, &nodes)
    }

    /// Adds the chosen set if the prices are unfair to it.
    fn weigh(&mut self, walk: &mut Walk<'_>, sums: Sums, tour: u32) -> Option<()> {
        let class = &self.classes[walk.class];
        let rates = &self.setting.problem.rates;
        let closures = walk.chosen.iter().map(|&task| self.closure(class, task));
        let closures: i64 = closures.sum();
        let travel = by_hour(rates.travel_hour, i64::from(tour)) - 1;
        let fixed = rates.gang_day + closures + self.set_ups(&walk.chosen);
        let cut = self.cut(walk);
        let most = sums.price - cut - walk.prices.days[walk.class] - fixed;
        let day = &class.day;
        let worked = day.start + day.load + sums.work as u32;
        let end = worked + tour + day.unload;
        if class.crew(self.setting, end) + travel.max(0) >= most {
            return Some(());
        }
        let chains = Chains::new(self.setting, class, &self.metric, &walk.chosen);
        if let Some(cost) = chains.cheapest(most, &mut self.left)? {
            walk.found.push(Set {
                class: walk.class,
                tasks: walk.chosen.clone(),
                cost: fixed + cost,
            });
        }
        Some(())
    }

    /// The prices of the cuts of which the chosen set has two tasks or three.
    fn cut(&self, walk: &Walk<'_>) -> i64 {
        let cuts = self.cuts.iter().zip(&walk.prices.cuts);
        let own = cuts.filter(|(cut, price)| **price > 0 && is_in(cut, &walk.chosen));
        own.map(|(_, price)| price).sum()
    }

    /// Once per street, the dearest.
    fn set_ups(&self, tasks: &[u32]) -> i64 {
        let dearer = |one: u32, other: u32| {
            let (a, b) = (self.setting.task(one), self.setting.task(other));
            a.street.is_some() && a.street == b.street && (b.set_up, other) > (a.set_up, one)
        };
        let own = tasks
            .iter()
            .filter(|&&task| !tasks.iter().any(|&other| dearer(task, other)));
        own.map(|&task| self.setting.task(task).set_up.max(0)).sum()
    }
}

/// Travel times that no detour shortens, between tasks and depots.
pub(super) struct Metric {
    width: usize,
    seconds: Vec<u32>,
    /// For each node of the problem, its place in the table.
    place: Vec<u32>,
}

impl Metric {
    fn of(setting: &Setting<'_>) -> Self {
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
    pub(super) fn tour(&self, depot: u32, nodes: &[u32]) -> u32 {
        let mut nodes: SmallVec<[u32; 8]> = nodes.iter().copied().take(TOUR).collect();
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
