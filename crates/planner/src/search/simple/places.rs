//! Where one more task goes: a place is tried without looking at the rest of its gang-day.

use super::chains::{Chains, Link, NOWHERE};
use super::plain::{Plain, Site};
use crate::search::dice::Dice;

/// One time in so many, the best place so far is passed over, so that the cheapest isn't always
/// taken.
const BLINK: usize = 100;

/// The place being looked for.
struct Look<'a> {
    row: &'a [i32],
    site: Site,
    timed: bool,
    /// A gang-day with more aboard has no room.
    room: u32,
    /// The cheapest so far: how much travel it adds, and the link that it is behind.
    added: i64,
    behind: u32,
}

impl<'a> Chains<'a> {
    /// Puts the task where it adds least beside its near ones, if that costs less than the limit.
    pub(crate) fn put_beside(&mut self, mut dice: Option<&mut Dice>, task: u32, limit: i64) {
        let Some(mut look) = self.look(task, limit) else {
            return;
        };
        let near = &self.plain.near;
        for &other in near.before(task) {
            let link = self.link(other);
            if link.home != NOWHERE {
                self.try_behind(&mut look, other, link, &mut dice);
            }
        }
        for &other in near.after(task) {
            let prev = self.link(other).prev;
            if prev != NOWHERE {
                self.try_behind(&mut look, prev, self.link(prev), &mut dice);
            }
        }
        if look.behind == NOWHERE {
            self.try_all(&mut look, &mut dice);
        }
        self.take(&mut look, task, limit);
    }

    /// Puts the task where it adds least in all gang-days, if that costs less than the limit.
    pub(crate) fn put_in_any(&mut self, task: u32, limit: i64) {
        if let Some(mut look) = self.look(task, limit) {
            self.try_all(&mut look, &mut None);
            self.take(&mut look, task, limit);
        }
    }

    fn look(&self, task: u32, limit: i64) -> Option<Look<'a>> {
        let plain: &'a Plain = self.plain;
        let site = plain.sites[task as usize];
        let added = match plain.second {
            0 => i64::from(limit > 0) * i64::MAX,
            second => limit.div_euclid(second) + i64::from(limit.rem_euclid(second) > 0),
        };
        Some(Look {
            row: plain.row(task as usize),
            site,
            timed: plain.timed,
            room: plain.payload.checked_sub(site.weight)?,
            added,
            behind: NOWHERE,
        })
    }

    #[inline]
    fn try_behind(&self, look: &mut Look<'_>, at: u32, link: &Link, dice: &mut Option<&mut Dice>) {
        let to = look.row[self.place(at)];
        let from = look.row[self.place(link.next)];
        let added = i64::from(to + from - link.leg);
        if added >= look.added || self.carts[link.home as usize].weight > look.room {
            return;
        }
        if look.timed {
            let start = look.site.open.max(link.finish + to);
            let next = start + look.site.work + from;
            if start > look.site.due || next > self.link(link.next).latest {
                return;
            }
        }
        if dice.as_mut().is_some_and(|dice| dice.below(BLINK) == 0) {
            return;
        }
        (look.added, look.behind) = (added, at);
    }

    fn try_all(&self, look: &mut Look<'_>, dice: &mut Option<&mut Dice>) {
        for at in 0..self.carts.len() as u32 {
            let cart = self.carts[at as usize];
            if cart.length == 0 || cart.weight > look.room {
                continue;
            }
            let mut at = self.first(at);
            loop {
                let link = self.link(at);
                self.try_behind(look, at, link, dice);
                at = link.next;
                if !self.is_task(at) {
                    break;
                }
            }
        }
    }

    /// Takes the place found, or begins a gang-day where that is cheaper.
    fn take(&mut self, look: &mut Look<'_>, task: u32, limit: i64) {
        if let Some(&idle) = self.idle.list().last() {
            let there = look.row[self.plain.sites.len()];
            let alone = 2 * i64::from(there) * self.plain.second + self.plain.gang_day - self.lure;
            let found = self.plain.second.saturating_mul(look.added);
            let cheaper = alone < limit && (look.behind == NOWHERE || alone < found);
            if cheaper && self.plain.could(task) {
                look.behind = self.first(idle);
            }
        }
        if look.behind != NOWHERE {
            self.insert(task, look.behind);
        }
    }
}
