//! Rounds on gang-days of any kind, their steps timed and priced exactly.

use super::asking::Asking;
use super::dice::Dice;
use super::plan::{Manner, Plan};
use super::recreate::Order;
use super::route::Route;
use super::state::{State, answer};
use crate::Solution;
use crate::setting::Setting;

impl State<'_> {
    /// Lets the buffers for asking work on this plan.
    fn ask(&mut self, work: impl FnOnce(&mut Asking, &mut Self)) {
        if let Some(mut asking) = self.asking.take() {
            work(&mut asking, self);
            self.asking = Some(asking);
        }
    }
}

impl Plan for State<'_> {
    type Kept = Route;

    const MANNER: Manner = Manner {
        mean: 8,
        longest: 8,
        split: 300,
        spared: 2,
        clear: 60,
        cross: 0,
        order: 3,
        mix: &[
            (4, Order::Mixed),
            (3, Order::LongestFirst),
            (2, Order::FarthestFirst),
            (1, Order::NearestFirst),
            (2, Order::DearestFirst),
            (2, Order::TightestFirst),
        ],
        warmth: (1, 4),
        halvings: 7,
        stretch: (0, 100),
    };

    fn tasks(&self) -> usize {
        self.setting.wholes().len()
    }

    fn whole(&self, task: u32) -> u32 {
        self.setting.parts.whole(task)
    }

    fn stays(&self, task: u32) -> bool {
        let stated = self.setting.task(task);
        let locked = stated.locked.as_ref();
        locked.is_some_and(|locked| {
            let starts = locked.starts.iter().take(stated.blocks.len());
            starts.clone().all(Option::is_some) && starts.count() == stated.blocks.len()
        })
    }

    fn gang_days(&self) -> usize {
        self.routes.len()
    }

    fn idle(&self) -> usize {
        self.idle_days().len()
    }

    fn absent(&self) -> &[u32] {
        self.absent_tasks()
    }

    fn planned(&self) -> usize {
        self.planned_tasks()
    }

    fn cost(&self) -> i64 {
        self.cost
    }

    fn spent(&self) -> i64 {
        self.routes.iter().map(|route| route.total).sum()
    }

    fn left_out(&self, task: u32) -> i64 {
        self.setting.left_out(task)
    }

    fn home(&self, task: u32) -> Option<u32> {
        self.home_of(task)
    }

    fn near(&self, task: u32) -> &[u32] {
        let near = self.setting.problem.near.get(task as usize);
        near.map_or(&[], Vec::as_slice)
    }

    fn length(&self, at: u32) -> usize {
        self.routes[at as usize].tasks().count()
    }

    fn around(&self, task: u32, reach: usize, out: &mut Vec<u32>) -> usize {
        out.clear();
        let task = self.stands_for(task);
        let Some(home) = self.route_of(task) else {
            return 0;
        };
        out.extend(self.routes[home as usize].tasks());
        let at = out.iter().position(|&other| other == task).unwrap_or(0);
        out.truncate(at.saturating_add(reach).saturating_add(1));
        out.drain(..at.saturating_sub(reach));
        at.min(reach)
    }

    fn mark(&mut self) {
        self.set_mark();
    }

    fn undo(&mut self) {
        self.take_back();
    }

    fn changed(&self, out: &mut Vec<u32>) {
        out.extend(self.touched_days());
    }

    fn remove(&mut self, at: u32, tasks: &[u32]) {
        self.take_whole(at, tasks);
    }

    fn put(&mut self, dice: &mut Dice, task: u32, limit: i64) {
        self.ask(|asking, state| asking.put_near(state, dice, task, limit));
    }

    fn put_first(&mut self, dice: &mut Dice, task: u32) {
        self.ask(|asking, state| asking.put_first(state, dice, task));
    }

    fn put_anywhere(&mut self, task: u32) {
        self.ask(|asking, state| asking.put_anywhere(state, task));
    }

    fn reorder(&mut self, at: u32) {
        self.order_anew(at);
    }

    fn remember(&mut self) {
        self.remember_touched();
    }

    fn gathered(&mut self, than: i64) -> Option<Vec<Route>> {
        self.gather_cheaper(than)
    }

    fn mend(&mut self) {
        self.part_clashes();
    }

    fn rank(&self, order: Order, task: u32) -> i64 {
        let (setting, stated) = (self.setting, self.setting.task(task));
        let from_depot = || {
            let day = setting.problem.gang_days.first();
            day.map_or(0, |day| {
                i64::from(setting.travel(day, day.depot, stated.node))
            })
        };
        match order {
            Order::Mixed => 0,
            Order::LongestFirst => -i64::from(setting.facts(task).shortest),
            Order::HeaviestFirst => -i64::from(stated.weight),
            Order::FarthestFirst => -from_depot(),
            Order::NearestFirst => from_depot(),
            Order::DearestFirst => -stated.left_out,
            Order::TightestFirst => tightness(setting, task),
            Order::EarliestFirst => opens(setting, task),
            Order::LatestFirst => -opens(setting, task),
        }
    }

    fn keep(&self, at: u32, kept: &mut Route) {
        kept.clone_from(&self.routes[at as usize]);
    }

    fn adopt(&mut self, kept: &[Route]) {
        self.take_over(kept);
    }

    fn answer(&self, kept: &[Route]) -> Solution {
        answer(self.setting, kept)
    }
}

fn opens(setting: &Setting<'_>, task: u32) -> i64 {
    let first = setting.facts(task).windows.first();
    first.map_or(0, |&(open, _)| i64::from(open))
}

/// The spare time in the widest window, less where few days are allowed.
fn tightness(setting: &Setting<'_>, task: u32) -> i64 {
    let facts = setting.facts(task);
    let widest = facts
        .windows
        .iter()
        .map(|&(open, until)| until.saturating_sub(open))
        .max();
    let spare = i64::from(widest.unwrap_or(86_400)) - i64::from(facts.shortest);
    let days = &setting.task(task).days;
    let allowed = days.iter().filter(|&&day| day).count();
    spare * if days.is_empty() { 7 } else { allowed as i64 }
}
