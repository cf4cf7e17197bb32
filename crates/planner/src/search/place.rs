//! The cheapest place for one whole task in one gang-day.
//!
//! The task's blocks are laid into the route from left to right. A label is a way of having done the
//! route's first i steps and the task's first k blocks; of those that stand at the same i and k, only
//! the few that look best are kept. Each label knows whether what follows stays possible and how
//! much later the day would end, since the route's turns carry the latest starts that allow either.
//! The few best of the complete ways are then timed and priced exactly.

use smallvec::SmallVec;

use super::route::Route;
use crate::rules::{cure, locked, shake};
use crate::setting::{Facts, Setting};
use crate::timing::{NONE, Step, Timing, Turn, by_begun_hour, by_hour, crew};

/// How many labels are kept that stand at the same turn and block, for each of: at the task; away.
const KEPT: usize = 3;

/// How many complete ways are priced exactly.
const PRICED: usize = 4;

/// And how many where more than the gang-day itself has a say.
const WEIGHED: usize = 16;

/// Before which of the route's steps each block goes.
pub(crate) type Positions = SmallVec<[u16; 8]>;

/// A place, and what taking it adds to the route's cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Place {
    pub(crate) added: i64,
    pub(crate) at: Positions,
}

/// One step done: a step of the route, or a block of the task.
#[derive(Clone, Copy)]
struct Label {
    parent: u32,
    /// The route's step, or [`NONE`] for the task's.
    turn: u32,
    /// Of the route's steps, how many are done.
    at: u32,
    finish: u32,
    /// When the task's next block may start.
    ready: u32,
    /// When the task's first block started, and its window ends.
    first: u32,
    until: u32,
    /// Travel added so far.
    extra: i64,
    /// By how much the day's end is put off by what is done so far.
    late: u32,
    key: i64,
}

type Ids = SmallVec<[u32; 2 * KEPT + 2]>;

/// Looks for places; a set of buffers that are used again and again.
#[derive(Default)]
pub(crate) struct Placer {
    labels: Vec<Label>,
    /// By blocks done: the labels that stand at the present turn.
    here: Vec<Ids>,
    next: Vec<Ids>,
    /// Complete ways: estimate of the added cost, label.
    ways: Vec<(i64, u32)>,
    trial: Timing,
}

/// What is the same all through one search for places.
struct Case<'a> {
    setting: &'a Setting<'a>,
    route: &'a Route,
    task: u32,
    node: u32,
    blocks: u32,
}

impl Placer {
    /// The cheapest place found for the task in the route.
    pub(crate) fn best(
        &mut self,
        setting: &Setting<'_>,
        route: &Route,
        task: u32,
    ) -> Option<Place> {
        let case = self.ways(setting, route, task, PRICED)?;
        let priced = (0..self.ways.len()).filter_map(|way| self.priced(&case, way));
        priced.min_by_key(|place| place.added)
    }

    /// The cheapest place found, where its times cost something more.
    pub(crate) fn best_with(
        &mut self,
        setting: &Setting<'_>,
        route: &Route,
        task: u32,
        more: impl Fn(&Timing) -> i64,
    ) -> Option<Place> {
        let case = self.ways(setting, route, task, WEIGHED)?;
        let priced = (0..self.ways.len()).filter_map(|way| {
            let mut place = self.priced(&case, way)?;
            place.added += more(&self.trial);
            Some(place)
        });
        priced.min_by_key(|place| place.added)
    }

    /// The `pick`-th of the places that look best, counted round.
    pub(crate) fn other(
        &mut self,
        setting: &Setting<'_>,
        route: &Route,
        task: u32,
        pick: usize,
    ) -> Option<Place> {
        let case = self.ways(setting, route, task, PRICED)?;
        let way = pick.checked_rem(self.ways.len())?;
        self.priced(&case, way)
    }

    /// Finds the few complete ways that look best.
    fn ways<'a>(
        &mut self,
        setting: &'a Setting<'a>,
        route: &'a Route,
        task: u32,
        most: usize,
    ) -> Option<Case<'a>> {
        if !could(setting, route, task) {
            return None;
        }
        let stated = setting.task(task);
        let blocks = stated.blocks.len() as u32;
        let case = Case {
            setting,
            route,
            task,
            node: stated.node,
            blocks,
        };
        self.lay(&case);
        self.ways.sort_unstable();
        self.ways.truncate(most);
        Some(case)
    }

    fn lay(&mut self, case: &Case<'_>) {
        self.labels.clear();
        self.ways.clear();
        let blocks = case.blocks as usize;
        self.here.resize(blocks, Ids::new());
        self.next.resize(blocks, Ids::new());
        self.here.iter_mut().for_each(Ids::clear);
        let turns = case.route.timing.turns.len();
        for at in 0..=turns {
            self.do_blocks(case, at);
            if at < turns {
                self.move_on(case, at);
            }
        }
    }

    /// From all that stand before this turn, does the task's next blocks.
    fn do_blocks(&mut self, case: &Case<'_>, at: usize) {
        if let Some(label) = case.block(&self.labels, NONE, at, 0) {
            self.keep(case, 1, label);
        }
        for done in 1..case.blocks as usize {
            for from in 0..self.here[done].len() {
                let from = self.here[done][from];
                if let Some(label) = case.block(&self.labels, from, at, done as u32) {
                    self.keep(case, done + 1, label);
                }
            }
        }
    }

    fn keep(&mut self, case: &Case<'_>, done: usize, label: Label) {
        let id = self.labels.len() as u32;
        if done == case.blocks as usize {
            if let Some(estimate) = case.complete(&label) {
                self.labels.push(label);
                self.ways.push((estimate, id));
            }
            return;
        }
        self.labels.push(label);
        insert(&self.labels, &mut self.here[done], id);
    }

    /// Does the route's turn from all that stand before it.
    fn move_on(&mut self, case: &Case<'_>, at: usize) {
        for done in 1..case.blocks as usize {
            for from in 0..self.here[done].len() {
                let from = self.here[done][from];
                if let Some(label) = case.turn(&self.labels, from, at, done as u32) {
                    let id = self.labels.len() as u32;
                    self.labels.push(label);
                    insert(&self.labels, &mut self.next[done], id);
                }
            }
        }
        std::mem::swap(&mut self.here, &mut self.next);
        self.next.iter_mut().for_each(Ids::clear);
    }

    fn positions(&self, mut id: u32, blocks: u32) -> Positions {
        let mut at = Positions::new();
        while id != NONE {
            let label = &self.labels[id as usize];
            if label.turn == NONE {
                at.push(label.at as u16);
            }
            id = label.parent;
        }
        at.reverse();
        debug_assert_eq!(at.len(), blocks as usize);
        at
    }

    fn priced(&mut self, case: &Case<'_>, way: usize) -> Option<Place> {
        let at = self.positions(self.ways[way].1, case.blocks);
        let steps = merged(case.route, case.task, &at);
        if !self.trial.run(case.setting, &case.route.day, steps) {
            return None;
        }
        self.trial.settle(case.setting);
        let total = self.trial.price(case.setting, &case.route.day).total();
        Some(Place {
            added: total - case.route.total,
            at,
        })
    }
}

/// The route's steps with the task's blocks at these positions.
pub(crate) fn merged<'a>(
    route: &'a Route,
    task: u32,
    at: &'a Positions,
) -> impl Iterator<Item = Step> + 'a {
    let count = route.timing.turns.len() + at.len();
    let (mut turn, mut block) = (0, 0);
    (0..count).map(move |_| {
        if at
            .get(block)
            .is_some_and(|&before| usize::from(before) <= turn)
        {
            block += 1;
            return Step {
                task,
                block: block as u32 - 1,
            };
        }
        turn += 1;
        route.timing.turns[turn - 1].step
    })
}

/// Cheap tests that most hopeless pairs of task and gang-day fail.
pub(crate) fn could(setting: &Setting<'_>, route: &Route, task: u32) -> bool {
    let (day, facts) = (&route.day, setting.facts_at(task, route.day.pace));
    if !setting.may(task, day) || route.timing.turns.len() >= usize::from(u16::MAX) {
        return false;
    }
    let stated = setting.task(task);
    if day
        .payload
        .is_some_and(|payload| route.weight.saturating_add(stated.weight) > payload)
    {
        return false;
    }
    if !shake::keeps(day, route.shaken + u64::from(stated.shake)) {
        return false;
    }
    let node = stated.node;
    let earliest = day.start.saturating_add(day.load);
    let out = setting.drive(day, (day.depot, node), earliest).arrive;
    let done = out.saturating_add(facts.shortest);
    let home = setting.drive(day, (node, day.depot), done).arrive;
    let alone = home.saturating_add(day.unload);
    let all = day.start + day.load + day.unload;
    let all = all.saturating_add(route.work).saturating_add(facts.work);
    alone <= day.latest && all <= day.latest && facts.window(0, earliest).is_some()
}

/// Puts the label among those that stand at the same turn and block, best first, and drops what is
/// too many of its kind.
fn insert(labels: &[Label], ids: &mut Ids, id: u32) {
    let label = &labels[id as usize];
    let here = label.turn == NONE;
    let at = ids
        .iter()
        .position(|&other| labels[other as usize].key > label.key);
    ids.insert(at.unwrap_or(ids.len()), id);
    let same = |&&other: &&u32| (labels[other as usize].turn == NONE) == here;
    if ids.iter().filter(same).count() > KEPT
        && let Some(worst) = ids.iter().rposition(|other| same(&other))
    {
        ids.remove(worst);
    }
}

impl Case<'_> {
    /// What is worked out from the task for this gang-day.
    fn facts(&self) -> &Facts {
        self.setting.facts_at(self.task, self.route.day.pace)
    }

    /// Where the gang stands at a label, and since when.
    fn stands(&self, labels: &[Label], from: u32, at: usize) -> (u32, u32) {
        if from != NONE {
            let label = &labels[from as usize];
            let node = match label.turn {
                NONE => self.node,
                turn => self.route.timing.turns[turn as usize].node,
            };
            return (node, label.finish);
        }
        let day = &self.route.day;
        match at.checked_sub(1) {
            Some(last) => {
                let turn = &self.route.timing.turns[last];
                (turn.node, turn.finish)
            }
            None => (day.depot, day.start + day.load),
        }
    }

    /// Does the task's block `done` before the route's turn `at`.
    fn block(&self, labels: &[Label], from: u32, at: usize, done: u32) -> Option<Label> {
        let (node, left) = self.stands(labels, from, at);
        let leg = self.setting.lasts(&self.route.day, (node, self.node), left);
        let facts = self.facts();
        let fixed = self.fixed(done);
        let (start, first, until, extra, late) = if let Some(start) = fixed {
            let before = (from != NONE).then(|| &labels[from as usize]);
            let ready = before.map_or(0, |label| label.ready);
            if ready.max(left + leg) > start {
                return None;
            }
            let first = before.map_or(start, |label| label.first);
            let (extra, late) = before.map_or((0, 0), |label| (label.extra, label.late));
            (start, first, u32::MAX, extra, late)
        } else if from == NONE {
            let window = facts.window(0, left + leg)?;
            let start = window.open.max(left + leg);
            (start, start, window.until, 0, 0)
        } else {
            let label = &labels[from as usize];
            let start = label.ready.max(left + leg);
            (start, label.first, label.until, label.extra, label.late)
        };
        let step = Step {
            task: self.task,
            block: done,
        };
        let curing = cure::of(self.setting, step, self.route.day.pace);
        let start = if fixed.is_some() {
            start
        } else {
            curing.start(start)
        };
        let cap = until.min(self.route.day.latest - self.route.day.unload);
        if fixed.is_none() && start.saturating_add(facts.tail[done as usize]) > cap {
            return None;
        }
        let block = self.setting.block(self.task, done, self.route.day.pace);
        let finish = start + block.work;
        let ready = curing.ready(finish);
        let extra = extra + i64::from(leg);
        let label = Label {
            parent: from,
            turn: NONE,
            at: at as u32,
            finish,
            ready,
            first,
            until,
            extra,
            late,
            key: 0,
        };
        Some(self.rated(label))
    }

    /// When the task's block must start, if it is locked.
    fn fixed(&self, done: u32) -> Option<u32> {
        let step = Step {
            task: self.task,
            block: done,
        };
        locked::start(self.setting, step)
    }

    /// Does the route's turn `at`, with `done` of the task's blocks done.
    fn turn(&self, labels: &[Label], from: u32, at: usize, done: u32) -> Option<Label> {
        let label = labels[from as usize];
        let turn = &self.route.timing.turns[at];
        let (node, left) = self.stands(labels, from, at);
        let leg = self.leg(turn, node, left);
        let start = self.start(labels, from, at, left + leg);
        let finish = start + (turn.finish - turn.start);
        let tail = self.facts().tail[done as usize];
        let cap = label.until.min(self.route.day.latest);
        if start > turn.latest || label.ready.max(finish).saturating_add(tail) > cap {
            return None;
        }
        let extra = label.extra + i64::from(leg) - i64::from(turn.leg);
        let late = label.late.max(start.saturating_sub(turn.float));
        let (parent, turn, at) = (from, at as u32, at as u32 + 1);
        Some(self.rated(Label {
            parent,
            turn,
            at,
            finish,
            extra,
            late,
            ..label
        }))
    }

    /// From leaving a node to being at the route's turn, calls and the break on the way counted.
    fn leg(&self, turn: &Turn, node: u32, left: u32) -> u32 {
        let way = (node, turn.node);
        turn.stay + self.setting.lasts(&self.route.day, way, left + turn.stay)
    }

    /// When the route's turn `at` starts for a gang that is there at `arrive`.
    fn start(&self, labels: &[Label], from: u32, at: usize, arrive: u32) -> u32 {
        let turn = &self.route.timing.turns[at];
        let pace = self.route.day.pace;
        let start = if turn.prev == NONE {
            arrive.max(turn.open)
        } else {
            let before = &self.route.timing.turns[turn.prev as usize];
            let finish = self.finish(labels, from, turn.prev);
            arrive.max(cure::of(self.setting, before.step, pace).ready(finish))
        };
        cure::of(self.setting, turn.step, pace).start(start)
    }

    /// When the route's turn ended on the way to this label.
    fn finish(&self, labels: &[Label], mut from: u32, turn: u32) -> u32 {
        while from != NONE {
            let label = &labels[from as usize];
            if label.turn == turn {
                return label.finish;
            }
            from = label.parent;
        }
        self.route.timing.turns[turn as usize].finish
    }

    /// How good the label looks beside those at the same turn and block: money spent, and how late.
    fn rated(&self, mut label: Label) -> Label {
        let rates = &self.setting.problem.rates;
        let free = i64::from(label.finish) + i64::from(label.ready.max(label.finish));
        label.key = rates.travel_hour * label.extra
            + (rates.crew_hour + 1) * (i64::from(label.late) + free / 4);
        label
    }

    /// What the complete way adds, but for other tasks' closures and set-ups; nothing if what
    /// follows gets impossible.
    fn complete(&self, label: &Label) -> Option<i64> {
        let (route, left) = (self.route, label.finish);
        if let Some(turn) = route.timing.turns.get(label.at as usize) {
            let leg = self.leg(turn, self.node, left);
            let start = turn.open.max(left.saturating_add(leg));
            let extra = label.extra + i64::from(leg) - i64::from(turn.leg);
            let late = label.late.max(start.saturating_sub(turn.float));
            return (start <= turn.latest).then(|| self.estimate(label, extra, late));
        }
        let (way, pause) = ((self.node, route.day.depot), route.timing.home_pause);
        let leg = pause + self.setting.lasts(&route.day, way, left + pause);
        let end = left.saturating_add(leg).saturating_add(route.day.unload);
        let extra = label.extra + i64::from(leg) - i64::from(route.timing.home_leg);
        let late = label.late.max(end.saturating_sub(route.timing.end));
        (end <= route.day.latest).then(|| self.estimate(label, extra, late))
    }

    fn estimate(&self, label: &Label, extra: i64, late: u32) -> i64 {
        let (route, rates) = (self.route, &self.setting.problem.rates);
        let before = crew(self.setting, &route.day, route.timing.end);
        let after = crew(self.setting, &route.day, route.timing.end + late);
        let travel = by_hour(rates.travel_hour, extra);
        let stated = self.setting.task(self.task);
        let closure = by_begun_hour(stated.closure_hour, label.finish - label.first);
        after.0 + after.1 - before.0 - before.1 + travel + closure
    }
}
