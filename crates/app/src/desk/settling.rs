//! What takes long to work out of a programme as it lies on the desk: the checker's findings, closures,
//! notices, loads and orders. It is done on a thread of its own, for the latest state only.

use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::{scope, spawn};
use std::time::{Duration, Instant};

use super::marks::Marks;
use crate::changes::State;
use crate::closures::{self, closures_geojson};
use crate::reports::broken_rules;
use crate::sheet;
use crate::view::Sheet;

/// What was worked out.
pub struct Settled {
    /// The sheet, but for what only the desk knows.
    pub sheet: Sheet,
    /// By what its rows are told apart from others.
    pub marks: Marks,
    /// The closures, where a file is to have them.
    pub closures: Option<Vec<u8>>,
}

/// Work under way, or done and not yet taken.
#[derive(Clone)]
pub struct Settling {
    slot: Arc<Slot>,
    edition: u32,
}

#[derive(Default)]
struct Slot {
    so_far: Mutex<SoFar>,
    bell: Condvar,
    let_go: AtomicBool,
}

#[derive(Default)]
enum SoFar {
    #[default]
    Working,
    Done(Box<Settled>),
    /// It was taken or let go.
    Over,
    /// It ended in a fault of the program.
    Failed,
}

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// It is there to be taken.
    Done,
    /// Not yet.
    NotYet,
    /// It is not there any more, and never will be.
    Over,
    /// It ended in a fault of the program.
    Failed,
}

impl Settling {
    /// Begins, once what was begun before has ended: only one works at a time.
    pub fn begin(state: State, edition: u32, with_closures: bool, turn: Arc<Mutex<()>>) -> Self {
        let slot = Arc::new(Slot::default());
        let own = Arc::clone(&slot);
        spawn(move || {
            let turn = turn.lock().unwrap_or_else(PoisonError::into_inner);
            let work = || (!own.is_let_go()).then(|| settle(&state, with_closures));
            let settled = catch_unwind(AssertUnwindSafe(work));
            drop(turn);
            *own.lock() = match settled {
                Ok(Some(settled)) => SoFar::Done(Box::new(settled)),
                Ok(None) => SoFar::Over,
                Err(_) => SoFar::Failed,
            };
            own.bell.notify_all();
        });
        Self { slot, edition }
    }

    /// Whether it is of what lies there under this number.
    pub fn is_of(&self, edition: u32) -> bool {
        self.edition == edition && !matches!(*self.slot.lock(), SoFar::Over | SoFar::Failed)
    }

    /// The number of what it is of.
    pub fn edition(&self) -> u32 {
        self.edition
    }

    /// Says that nobody wants it any more.
    pub fn let_go(&self) {
        self.slot.let_go.store(true, Ordering::Relaxed);
        let mut so_far = self.slot.lock();
        if matches!(*so_far, SoFar::Working) {
            *so_far = SoFar::Over;
            self.slot.bell.notify_all();
        }
    }

    /// Waits for it, at most so long; with nothing locked.
    pub fn wait(&self, most: Option<Duration>) -> Ended {
        let until = most.map(|most| Instant::now() + most);
        let mut so_far = self.slot.lock();
        loop {
            match *so_far {
                SoFar::Done(_) => return Ended::Done,
                SoFar::Over => return Ended::Over,
                SoFar::Failed => return Ended::Failed,
                SoFar::Working => {}
            }
            let left = until.map(|until| until.saturating_duration_since(Instant::now()));
            if left.is_some_and(|left| left.is_zero()) {
                return Ended::NotYet;
            }
            let (next, _) = self
                .slot
                .bell
                .wait_timeout(so_far, left.unwrap_or(Duration::from_secs(60)))
                .unwrap_or_else(PoisonError::into_inner);
            so_far = next;
        }
    }

    /// Takes it, if it is there.
    pub fn take(&self) -> Option<Settled> {
        let mut so_far = self.slot.lock();
        match std::mem::replace(&mut *so_far, SoFar::Over) {
            SoFar::Done(settled) => Some(*settled),
            other => {
                *so_far = other;
                None
            }
        }
    }
}

impl Slot {
    fn lock(&self) -> MutexGuard<'_, SoFar> {
        self.so_far.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn is_let_go(&self) -> bool {
        self.let_go.load(Ordering::Relaxed)
    }
}

fn settle(state: &State, with_closures: bool) -> Settled {
    let opened = &state.opened;
    let plan = state.plan.as_deref();
    // What takes longest goes on beside what the sheet is drawn from.
    let (public, looked_at) = scope(|both| {
        let broken = both.spawn(|| plan.map(|plan| broken_rules(opened, plan)));
        let public = plan.map(|plan| closures::of_plan(&opened.prepared, plan));
        let drawn = plan.map(|plan| sheet::draw(opened, plan));
        let broken = broken.join().unwrap_or_else(|fault| resume_unwind(fault));
        let mut looked_at = drawn.unwrap_or_default();
        looked_at.broken = broken.unwrap_or_default();
        (public.unwrap_or_default(), looked_at)
    });
    let closures =
        (with_closures && plan.is_some()).then(|| closures_geojson(opened, &public).into_bytes());
    let mut sheet = sheet::sheet(opened, plan, (public, looked_at));
    Settled {
        marks: Marks::of(&mut sheet),
        sheet,
        closures,
    }
}
