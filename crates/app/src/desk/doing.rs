//! Something long that the desk does while others look on: how far it is, and whether it is to be stopped.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, Weak};

use crate::view::ProgressView;
use crate::watching::Watch;

/// It, as whoever does it holds it.
pub struct Doing {
    stop: AtomicBool,
    progress: Mutex<ProgressView>,
}

/// It, as the desk knows it for as long as somebody does it.
pub type Known = Weak<Doing>;

impl Doing {
    /// Begins, so far.
    pub fn begin(progress: ProgressView) -> Arc<Self> {
        Arc::new(Self {
            stop: AtomicBool::new(false),
            progress: Mutex::new(progress),
        })
    }

    /// Begins what leaves nothing where it is stopped.
    pub fn begin_whole(title: &str, words: &str) -> Arc<Self> {
        Self::begin(ProgressView {
            running: true,
            reading: true,
            title: title.to_owned(),
            words: words.to_owned(),
            ..idle()
        })
    }

    fn shown(&self) -> MutexGuard<'_, ProgressView> {
        self.progress.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How far it is.
    pub fn progress(&self) -> ProgressView {
        self.shown().clone()
    }

    /// Says how far it is.
    pub fn show(&self, progress: &ProgressView) {
        self.shown().clone_from(progress);
    }

    /// Asks it to end.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    /// Whether it is to end.
    pub fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// Does it, watched.
    pub fn watched<T>(&self, what: impl FnOnce(Watch<'_>) -> T) -> T {
        let see = |fraction: f64, words: &str| {
            let mut progress = self.shown();
            progress.fraction = fraction;
            words.clone_into(&mut progress.words);
            !self.is_stopped()
        };
        what(Watch::new(&see))
    }
}

/// Nothing is under way.
pub fn idle() -> ProgressView {
    ProgressView {
        running: false,
        reading: false,
        title: String::new(),
        fraction: 0.0,
        words: String::new(),
        trace: Vec::new(),
        planned: 0,
        of: 0,
    }
}
