//! Parts of gang-days the other way round, where time is never short: a stretch of one gang-day turned
//! round, or two gang-days that join their beginnings and their ends.
//!
//! # Source
//! Croes, "A Method for Solving Traveling-Salesman Problems", Operations Research 6(6), 1958; between
//! two routes as in Vidal, "Hybrid genetic search for the CVRP: Open-source implementation and SWAP*
//! neighborhood", Computers & Operations Research 140, 2022, moves 7 and 8.

use smallvec::SmallVec;

use super::chains::{Cart, Chains, NOWHERE};

/// `one` and `other` become neighbours, and so do what follows the one and what follows the other.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turn {
    one: u32,
    other: u32,
    added: i64,
}

type Tasks = SmallVec<[u32; 64]>;

impl Chains<'_> {
    /// The cheapest turn at the task, if one costs less than the limit.
    pub(super) fn turn_at(&self, one: u32, mut limit: i64) -> Option<Turn> {
        let mut best = None;
        let link = self.link(one);
        for &other in self.plain.near.after(one) {
            let mate = self.link(other);
            if mate.home == NOWHERE || other == link.next || mate.next == one {
                continue;
            }
            let legs = self.leg(one, other) + self.leg(link.next, mate.next) - link.leg - mate.leg;
            let emptied =
                mate.home != link.home && !self.is_task(link.next) && !self.is_task(mate.next);
            let begun = if emptied { self.plain.gang_day } else { 0 };
            let added = self.plain.second * i64::from(legs) - begun;
            let turn = Turn { one, other, added };
            if added < limit && (mate.home == link.home || self.bears(turn)) {
                limit = added;
                best = Some(turn);
            }
        }
        best
    }

    fn bears(&self, turn: Turn) -> bool {
        let (one, other) = (self.link(turn.one).home, self.link(turn.other).home);
        let (tail, back) = (self.tail(turn.one).weight, self.tail(turn.other).weight);
        let all = self.carts[one as usize].weight + self.carts[other as usize].weight;
        let ends = tail + back;
        ends <= self.plain.payload && all - ends <= self.plain.payload
    }

    pub(super) fn turn(&mut self, turn: Turn) {
        if self.link(turn.one).home == self.link(turn.other).home {
            self.turn_stretch(turn);
        } else {
            self.turn_both(turn);
        }
        self.spent += turn.added;
    }

    /// Turns what lies between the two round.
    fn turn_stretch(&mut self, turn: Turn) {
        let home = self.link(turn.one).home;
        let ahead = self.behind(turn.one).contains(&turn.other);
        let (one, other) = if ahead {
            (turn.one, turn.other)
        } else {
            (turn.other, turn.one)
        };
        let after = self.link(other).next;
        let mut stretch = self.behind(one);
        let end = stretch.iter().position(|&task| task == other);
        stretch.truncate(end.map_or(0, |end| end + 1));
        stretch.reverse();
        self.cart_log.push((home, self.carts[home as usize]));
        self.lay(one, &stretch, after, home);
    }

    /// Joins the beginnings of the two gang-days, and their ends.
    fn turn_both(&mut self, turn: Turn) {
        let (one, other) = (self.link(turn.one).home, self.link(turn.other).home);
        let (tail, back) = (self.tail(turn.one), self.tail(turn.other));
        let all = self.carts[other as usize];
        let begun = Cart {
            weight: all.weight - back.weight,
            length: all.length - back.length,
        };
        let mut head: Tasks = self.tasks_of(other).collect();
        head.truncate(begun.length as usize);
        head.reverse();
        let mut ends = self.behind(turn.one);
        ends.reverse();
        let after = self.link(turn.other).next;
        self.lay(turn.one, &head, self.first(one) + 1, one);
        self.lay(self.first(other), &ends, after, other);
        self.reload(one, tail, begun);
        self.reload(other, begun, tail);
    }

    /// The tasks that follow the link.
    fn behind(&self, link: u32) -> Tasks {
        let mut at = link;
        let tasks = std::iter::from_fn(|| {
            at = self.link(at).next;
            self.is_task(at).then_some(at)
        });
        tasks.collect()
    }

    /// Lets these tasks stand between two links of a gang-day.
    fn lay(&mut self, from: u32, tasks: &[u32], to: u32, home: u32) {
        let mut last = from;
        for &task in tasks {
            self.join(last, task);
            self.edit(task).home = home;
            last = task;
        }
        self.join(last, to);
    }
}
