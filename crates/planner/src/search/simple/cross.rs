//! Two gang-days exchange their tails: what strings of a few tasks can't do where days are long.

use super::chains::{Cart, Chains, NOWHERE};
use crate::search::bag::Bag;

/// Behind `one` comes what now follows `other`, and the other way round.
#[derive(Clone, Copy, Debug)]
struct Cross {
    one: u32,
    other: u32,
    /// What it adds.
    added: i64,
    /// How many gang-days more are begun.
    begun: i64,
}

impl Chains<'_> {
    /// Crosses the task's gang-day with that of a near one where it costs least, if it costs less
    /// than the leeway; true if it did.
    pub(crate) fn cross(&mut self, task: u32, leeway: i64) -> bool {
        if self.link(task).home == NOWHERE {
            return false;
        }
        let mut best: Option<Cross> = None;
        let mut limit = leeway;
        for &to in self.plain.near.after(task) {
            let other = self.link(to).prev;
            if other == NOWHERE || self.link(to).home == self.link(task).home {
                continue;
            }
            let cross = self.crossing(task, other);
            if self.swayed_by(cross) < limit && self.in_time(cross) && self.bearable(cross) {
                limit = self.swayed_by(cross);
                best = Some(cross);
            }
        }
        if let Some(cross) = self.parting(task)
            && self.swayed_by(cross) < limit
            && self.in_time(cross)
        {
            limit = self.swayed_by(cross);
            best = Some(cross);
        }
        if !self.plain.timed
            && let Some(turn) = self.turn_at(task, limit)
        {
            self.turn(turn);
            return true;
        }
        if let Some(cross) = best {
            self.exchange(cross);
        }
        best.is_some()
    }

    fn crossing(&self, one: u32, other: u32) -> Cross {
        let (link, mate) = (self.link(one), self.link(other));
        let legs = self.leg(one, mate.next) + self.leg(other, link.next) - link.leg - mate.leg;
        let emptied = !self.is_task(other) && !self.is_task(link.next);
        let idle = self.carts[mate.home as usize].length == 0;
        let begun = i64::from(idle) - i64::from(emptied);
        Cross {
            one,
            other,
            added: self.plain.second * i64::from(legs) + self.plain.gang_day * begun,
            begun,
        }
    }

    /// The tail of the task's gang-day begins one of its own, if there is a tail and one is idle.
    fn parting(&self, task: u32) -> Option<Cross> {
        let &idle = self.idle.list().last()?;
        let parts = self.is_task(self.link(task).next);
        parts.then(|| self.crossing(task, self.first(idle)))
    }

    /// What it adds, less what the gang-days begun are thought to be worth.
    fn swayed_by(&self, cross: Cross) -> i64 {
        cross.added - self.lure * cross.begun
    }

    fn in_time(&self, cross: Cross) -> bool {
        !self.plain.timed
            || self.may_follow(cross.one, self.link(cross.other).next)
                && self.may_follow(cross.other, self.link(cross.one).next)
    }

    /// Whether what follows stays possible if `next` came right after `link`.
    fn may_follow(&self, link: u32, next: u32) -> bool {
        self.link(link).finish + self.leg(link, next) <= self.link(next).latest
    }

    fn bearable(&self, cross: Cross) -> bool {
        let (one, other) = (self.link(cross.one).home, self.link(cross.other).home);
        let all = self.carts[one as usize].weight + self.carts[other as usize].weight;
        let (tail, back) = (self.tail(cross.one), self.tail(cross.other));
        let first = self.carts[one as usize].weight - tail.weight + back.weight;
        first <= self.plain.payload && all - first <= self.plain.payload
    }

    /// What comes behind the link, weighed and counted.
    pub(super) fn tail(&self, link: u32) -> Cart {
        let mut tail = Cart::default();
        let mut at = self.link(link).next;
        while self.is_task(at) {
            tail.weight += self.plain.sites[at as usize].weight;
            tail.length += 1;
            at = self.link(at).next;
        }
        tail
    }

    fn exchange(&mut self, cross: Cross) {
        let (one, other) = (self.link(cross.one).home, self.link(cross.other).home);
        let (tail, back) = (self.tail(cross.one), self.tail(cross.other));
        let (next, mate) = (self.link(cross.one).next, self.link(cross.other).next);
        self.move_tail(cross.one, mate, one);
        self.move_tail(cross.other, next, other);
        self.reload(one, tail, back);
        self.reload(other, back, tail);
        self.spent += cross.added;
        if self.plain.timed {
            for link in [cross.one, cross.other] {
                let fits = self.retime_after(link);
                debug_assert!(fits, "the crossing was tried");
                self.retime_before(self.link(link).next);
            }
        }
    }

    /// Lets the tail from `next` on follow the link, in the gang-day `home`.
    fn move_tail(&mut self, link: u32, next: u32, home: u32) {
        let (mut last, mut at) = (link, next);
        while self.is_task(at) {
            if last == link {
                self.join(link, at);
            }
            self.edit(at).home = home;
            last = at;
            at = self.link(at).next;
        }
        self.join(last, self.first(home) + 1);
    }

    pub(super) fn reload(&mut self, home: u32, gone: Cart, come: Cart) {
        let cart = &mut self.carts[home as usize];
        self.cart_log.push((home, *cart));
        cart.weight = cart.weight - gone.weight + come.weight;
        cart.length = cart.length - gone.length + come.length;
        note(&mut self.idle, home, cart.length);
    }
}

fn note(idle: &mut Bag, home: u32, length: u32) {
    if length == 0 {
        idle.add(home);
    } else {
        idle.drop(home);
    }
}
