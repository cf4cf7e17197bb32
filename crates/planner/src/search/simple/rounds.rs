//! Rounds on simple gang-days.

use super::chains::{Chains, NOWHERE};
use crate::Solution;
use crate::search::dice::Dice;
use crate::search::plan::{Manner, Plan};
use crate::search::recreate::Order;
use crate::search::route::Route;
use crate::search::state::answer;
use crate::stop::WHOLE;
use crate::timing::Step;

/// What a gang-day begun is thought to be worth in the beginning, as a part of a mean way there and back.
const LURE: (i64, i64) = (1, 5);

/// It is worth nothing any more after so much of the allowance.
const FADED: u32 = WHOLE / 5 * 3;

impl Plan for Chains<'_> {
    type Kept = Vec<u32>;

    const MANNER: Manner = Manner {
        mean: 10,
        longest: 10,
        split: 500,
        spared: 1,
        clear: 0,
        cross: 400,
        order: 0,
        mix: &[
            (4, Order::Mixed),
            (4, Order::HeaviestFirst),
            (2, Order::FarthestFirst),
            (1, Order::NearestFirst),
            (2, Order::TightestFirst),
            (2, Order::EarliestFirst),
            (2, Order::LatestFirst),
        ],
        warmth: (5, 4),
        halvings: 8,
        stretch: (20, 75),
    };

    fn tasks(&self) -> usize {
        self.plain.sites.len()
    }

    fn gang_days(&self) -> usize {
        self.carts.len()
    }

    fn idle(&self) -> usize {
        self.idle.list().len()
    }

    fn absent(&self) -> &[u32] {
        self.absent.list()
    }

    fn planned(&self) -> usize {
        self.plain.sites.len() - self.hopeless - self.absent.list().len()
    }

    fn cost(&self) -> i64 {
        self.spent + self.unplanned
    }

    /// Strings put back one by one close gang-days easily and hardly ever begin one. So at first a
    /// gang-day begun counts as if it cost less, by a part of a mean way there and back; that fades.
    /// Where time is never short, loads say how many gang-days there are.
    fn sway(&mut self, used: u32) {
        if !self.plain.timed {
            return;
        }
        let left = FADED.saturating_sub(used);
        let (part, of) = LURE;
        let all = self.plain.there_and_back * part / of;
        self.lure = all * i64::from(left) / i64::from(FADED);
    }

    fn swayed(&self) -> i64 {
        let begun = self.carts.len() - self.idle.list().len();
        self.cost() - self.lure * begun as i64
    }

    fn spent(&self) -> i64 {
        self.spent
    }

    fn left_out(&self, task: u32) -> i64 {
        self.plain.sites[task as usize].left_out
    }

    fn home(&self, task: u32) -> Option<u32> {
        let home = self.link(task).home;
        (home != NOWHERE).then_some(home)
    }

    fn near(&self, task: u32) -> &[u32] {
        self.plain.near.around(task)
    }

    fn length(&self, at: u32) -> usize {
        self.carts[at as usize].length as usize
    }

    fn around(&self, task: u32, reach: usize, out: &mut Vec<u32>) -> usize {
        out.clear();
        let mut link = self.link(task).prev;
        while out.len() < reach && self.is_task(link) {
            out.push(link);
            link = self.link(link).prev;
        }
        out.reverse();
        let at = out.len();
        out.push(task);
        link = self.link(task).next;
        while out.len() <= at + reach && self.is_task(link) {
            out.push(link);
            link = self.link(link).next;
        }
        at
    }

    fn mark(&mut self) {
        self.set_mark();
    }

    fn undo(&mut self) {
        self.take_back();
    }

    fn changed(&self, out: &mut Vec<u32>) {
        out.extend(self.cart_log.iter().map(|&(at, _)| at));
    }

    fn remove(&mut self, at: u32, tasks: &[u32]) {
        self.take_out(at, tasks);
    }

    fn put(&mut self, dice: &mut Dice, task: u32, limit: i64) {
        self.put_beside(Some(dice), task, limit);
    }

    fn put_first(&mut self, _dice: &mut Dice, task: u32) {
        self.put_beside(None, task, self.left_out(task));
    }

    fn put_anywhere(&mut self, task: u32) {
        self.put_in_any(task, self.left_out(task));
    }

    fn cross(&mut self, task: u32, leeway: i64) -> bool {
        Self::cross(self, task, leeway)
    }

    fn rank(&self, order: Order, task: u32) -> i64 {
        let site = self.plain.sites[task as usize];
        let depot = || i64::from(self.plain.row(task as usize)[self.plain.sites.len()]);
        match order {
            Order::Mixed => 0,
            Order::LongestFirst => -i64::from(site.work),
            Order::HeaviestFirst => -i64::from(site.weight),
            Order::FarthestFirst => -depot(),
            Order::NearestFirst => depot(),
            Order::DearestFirst => -site.left_out,
            Order::TightestFirst => i64::from(site.due) - i64::from(site.open),
            Order::EarliestFirst => i64::from(site.open),
            Order::LatestFirst => -i64::from(site.due),
        }
    }

    fn keep(&self, at: u32, kept: &mut Vec<u32>) {
        kept.clear();
        kept.extend(self.tasks_of(at));
    }

    fn adopt(&mut self, kept: &[Vec<u32>]) {
        for at in 0..self.carts.len() as u32 {
            let tasks: Vec<u32> = self.tasks_of(at).collect();
            self.take_out(at, &tasks);
        }
        for (at, tasks) in (0..).zip(kept) {
            let mut last = self.first(at);
            for &task in tasks {
                self.insert(task, last);
                last = task;
            }
        }
        self.set_mark();
    }

    fn answer(&self, kept: &[Vec<u32>]) -> Solution {
        let days = (0..).zip(&self.setting.problem.gang_days).zip(kept);
        let routes: Vec<Route> = days
            .map(|((at, day), tasks)| {
                let steps: Vec<Step> = tasks.iter().map(|&task| Step { task, block: 0 }).collect();
                let mut route = Route::empty(at, *day);
                let fits = route.set(self.setting, &steps, 0);
                debug_assert!(fits, "a simple gang-day keeps every rule");
                route
            })
            .collect();
        answer(self.setting, &routes)
    }
}
