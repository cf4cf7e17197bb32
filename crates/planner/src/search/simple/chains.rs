//! The gang-days as chains of tasks, with the way back.

use super::plain::Plain;
use crate::search::bag::Bag;
use crate::setting::Setting;

/// In no gang-day.
pub(crate) const NOWHERE: u32 = u32::MAX;

/// A task's link in the chain of its gang-day; or where a gang-day begins or ends.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Link {
    pub(crate) prev: u32,
    pub(crate) next: u32,
    pub(crate) home: u32,
    /// Travel to the next one.
    pub(crate) leg: i32,
    /// The earliest end of its work.
    pub(crate) finish: i32,
    /// The latest start that leaves what follows possible.
    pub(crate) latest: i32,
}

/// What a gang-day carries, and how many tasks it has.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Cart {
    pub(crate) weight: u32,
    pub(crate) length: u32,
}

/// The plan. Links are numbered: the tasks, then two for each gang-day, its beginning and its end.
pub(crate) struct Chains<'a> {
    pub(crate) setting: &'a Setting<'a>,
    pub(crate) plain: &'a Plain,
    pub(crate) links: Vec<Link>,
    pub(crate) carts: Vec<Cart>,
    pub(crate) absent: Bag,
    pub(crate) idle: Bag,
    /// How many tasks no gang-day could do: they are never tried.
    pub(crate) hopeless: usize,
    pub(crate) spent: i64,
    pub(crate) unplanned: i64,
    /// What a gang-day begun is thought to be worth.
    pub(super) lure: i64,
    /// What links and carts were before each change since the mark.
    log: Vec<(u32, Link)>,
    pub(crate) cart_log: Vec<(u32, Cart)>,
    before: (i64, i64),
}

impl<'a> Chains<'a> {
    /// With every task absent.
    pub(crate) fn new(setting: &'a Setting<'a>, plain: &'a Plain) -> Self {
        let (tasks, days) = (plain.sites.len(), setting.problem.gang_days.len());
        let mut chains = Self {
            setting,
            plain,
            links: vec![loose(); tasks],
            carts: vec![Cart::default(); days],
            absent: Bag::new(tasks),
            idle: Bag::new(days),
            hopeless: 0,
            spent: 0,
            lure: 0,
            unplanned: plain.sites.iter().map(|site| site.left_out).sum(),
            log: Vec::new(),
            cart_log: Vec::new(),
            before: (0, 0),
        };
        for at in 0..days as u32 {
            let ends = chains.ends(at);
            chains.links.extend(ends);
            chains.idle.add(at);
        }
        let hopeful = (0..tasks as u32).filter(|&task| plain.could(task));
        hopeful.for_each(|task| chains.absent.add(task));
        chains.hopeless = tasks - chains.absent.list().len();
        chains
    }

    /// The beginning and the end of a gang-day with nothing in it.
    fn ends(&self, at: u32) -> [Link; 2] {
        let (first, last) = (self.first(at), self.first(at) + 1);
        let end = |prev, next| Link {
            prev,
            next,
            home: at,
            leg: 0,
            finish: self.plain.start,
            latest: self.plain.end,
        };
        [end(first, last), end(first, last)]
    }

    /// The link where the gang-day begins; the next number is where it ends.
    pub(crate) fn first(&self, at: u32) -> u32 {
        (self.plain.sites.len() + 2 * at as usize) as u32
    }

    /// Whether the link is a task.
    pub(crate) fn is_task(&self, link: u32) -> bool {
        (link as usize) < self.plain.sites.len()
    }

    /// Where the link is in the table of travel times.
    pub(crate) fn place(&self, link: u32) -> usize {
        (link as usize).min(self.plain.sites.len())
    }

    pub(crate) fn link(&self, at: u32) -> &Link {
        &self.links[at as usize]
    }

    /// The link, to be changed.
    pub(crate) fn edit(&mut self, at: u32) -> &mut Link {
        let link = &mut self.links[at as usize];
        self.log.push((at, *link));
        link
    }

    /// The tasks of a gang-day.
    pub(crate) fn tasks_of(&self, at: u32) -> impl Iterator<Item = u32> + '_ {
        let mut link = self.first(at);
        std::iter::from_fn(move || {
            link = self.link(link).next;
            self.is_task(link).then_some(link)
        })
    }

    /// Travel from one link to another.
    pub(crate) fn leg(&self, one: u32, next: u32) -> i32 {
        if self.is_task(one) || self.is_task(next) {
            self.plain.row(self.place(one))[self.place(next)]
        } else {
            0
        }
    }

    /// Lets one link follow another.
    pub(crate) fn join(&mut self, one: u32, next: u32) {
        let leg = self.leg(one, next);
        let link = self.edit(one);
        (link.next, link.leg) = (next, leg);
        self.edit(next).prev = one;
    }

    /// Puts an absent task behind a link, where it must fit.
    pub(crate) fn insert(&mut self, task: u32, prev: u32) {
        let Link {
            next, home, leg, ..
        } = *self.link(prev);
        self.edit(task).home = home;
        self.join(prev, task);
        self.join(task, next);
        let added = self.link(prev).leg + self.link(task).leg - leg;
        self.spent += self.plain.second * i64::from(added);
        self.absent.drop(task);
        self.unplanned -= self.plain.sites[task as usize].left_out;
        self.load(home, task);
        if self.plain.timed {
            let fits = self.retime_after(prev);
            debug_assert!(fits, "the place was tried");
            self.retime_before(next);
        }
    }

    fn load(&mut self, home: u32, task: u32) {
        let cart = &mut self.carts[home as usize];
        self.cart_log.push((home, *cart));
        cart.weight += self.plain.sites[task as usize].weight;
        cart.length += 1;
        if cart.length == 1 {
            self.idle.drop(home);
            self.spent += self.plain.gang_day;
        }
    }

    /// Takes tasks out of their gang-day, all of it where what is left can't be done in time.
    pub(crate) fn take_out(&mut self, home: u32, tasks: &[u32]) {
        let mut fits = true;
        for (at, &task) in tasks.iter().enumerate() {
            let (prev, next) = self.unlink(home, task);
            // A run of neighbours is timed once, when its last one is out.
            if self.plain.timed && tasks.get(at + 1) != Some(&next) {
                fits &= self.retime_after(prev);
                self.retime_before(next);
            }
        }
        if !fits {
            while self.is_task(self.link(self.first(home)).next) {
                self.unlink(home, self.link(self.first(home)).next);
            }
            let (first, ends) = (self.first(home), self.ends(home));
            *self.edit(first) = ends[0];
            *self.edit(first + 1) = ends[1];
        }
    }

    fn unlink(&mut self, home: u32, task: u32) -> (u32, u32) {
        let Link {
            prev, next, leg, ..
        } = *self.link(task);
        let before = self.link(prev).leg + leg;
        self.join(prev, next);
        let saved = before - self.link(prev).leg;
        self.spent -= self.plain.second * i64::from(saved);
        *self.edit(task) = loose();
        self.absent.add(task);
        self.unplanned += self.plain.sites[task as usize].left_out;
        let cart = &mut self.carts[home as usize];
        self.cart_log.push((home, *cart));
        cart.weight -= self.plain.sites[task as usize].weight;
        cart.length -= 1;
        if cart.length == 0 {
            self.idle.add(home);
            self.spent -= self.plain.gang_day;
        }
        (prev, next)
    }

    /// From here on, changes can be undone.
    pub(crate) fn set_mark(&mut self) {
        self.log.clear();
        self.cart_log.clear();
        self.before = (self.spent, self.unplanned);
    }

    /// Back to the mark.
    pub(crate) fn take_back(&mut self) {
        for &(at, link) in self.log.iter().rev() {
            self.links[at as usize] = link;
        }
        for &(at, cart) in self.cart_log.iter().rev() {
            self.carts[at as usize] = cart;
        }
        for &(at, _) in &self.log {
            if at as usize >= self.plain.sites.len() {
                continue;
            }
            if self.links[at as usize].home == NOWHERE {
                self.absent.add(at);
            } else {
                self.absent.drop(at);
            }
        }
        for &(at, _) in &self.cart_log {
            if self.carts[at as usize].length == 0 {
                self.idle.add(at);
            } else {
                self.idle.drop(at);
            }
        }
        (self.spent, self.unplanned) = self.before;
        self.log.clear();
        self.cart_log.clear();
    }
}

/// A task in no gang-day.
const fn loose() -> Link {
    Link {
        prev: NOWHERE,
        next: NOWHERE,
        home: NOWHERE,
        leg: 0,
        finish: 0,
        latest: 0,
    }
}
