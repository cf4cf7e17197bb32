//! A search on a thread of its own, watched and stopped from elsewhere.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{JoinHandle, spawn};

use gangday_model::Plan;

use crate::opened::Opened;
use crate::planning::{PlanOptions, make};
use crate::prepared::Prepared;
use crate::view::{ProgressView, Refusal};

/// A search under way.
pub struct Search {
    shared: Arc<Shared>,
    prepared: Arc<Prepared>,
    thread: JoinHandle<Plan>,
}

struct Shared {
    stop: AtomicBool,
    progress: Mutex<ProgressView>,
}

impl Search {
    /// Begins.
    pub fn begin(opened: Opened, options: PlanOptions, keep: Option<Arc<Plan>>) -> Self {
        let prepared = Arc::clone(&opened.prepared);
        let shared = Arc::new(Shared {
            stop: AtomicBool::new(false),
            progress: Mutex::new(ProgressView {
                running: true,
                words: "Sorting the jobs by what lies near".to_owned(),
                ..idle()
            }),
        });
        let seen = Arc::clone(&shared);
        let thread = spawn(move || {
            make(&opened, &options, keep.as_deref(), &mut |progress| {
                *seen.progress.lock().unwrap_or_else(PoisonError::into_inner) = progress.clone();
                !seen.stop.load(Ordering::Relaxed)
            })
        });
        Self {
            shared,
            prepared,
            thread,
        }
    }

    /// How far it is.
    pub fn progress(&self) -> ProgressView {
        self.shared
            .progress
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    /// Asks it to end with the best so far.
    pub fn stop(&self) {
        self.shared.stop.store(true, Ordering::Relaxed);
    }

    /// Whether its plan is there.
    pub fn has_ended(&self) -> bool {
        self.thread.is_finished()
    }

    /// Its plan, and what it was made for; waits for it.
    pub fn plan(self) -> Result<(Arc<Prepared>, Plan), Refusal> {
        let plan = self.thread.join().map_err(|_| {
            Refusal::plain("Planning ended in a fault of the program; the programme is as it was.")
        })?;
        Ok((self.prepared, plan))
    }
}

/// No search.
pub fn idle() -> ProgressView {
    ProgressView {
        running: false,
        reading: false,
        fraction: 0.0,
        words: String::new(),
        trace: Vec::new(),
        planned: 0,
        of: 0,
    }
}
