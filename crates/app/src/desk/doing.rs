//! Something long that the desk does while others look on: how far it is, and whether it is to be stopped.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError, Weak};

use super::search::idle;
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
    /// Begins.
    pub fn begin(title: &str, words: &str) -> Arc<Self> {
        Arc::new(Self {
            stop: AtomicBool::new(false),
            progress: Mutex::new(ProgressView {
                running: true,
                reading: true,
                title: title.to_owned(),
                words: words.to_owned(),
                ..idle()
            }),
        })
    }

    /// How far it is.
    pub fn progress(&self) -> ProgressView {
        let progress = self.progress.lock();
        progress.unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Asks it to end with nothing.
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
            let mut progress = self.progress.lock().unwrap_or_else(PoisonError::into_inner);
            progress.fraction = fraction;
            words.clone_into(&mut progress.words);
            !self.is_stopped()
        };
        what(Watch::new(&see))
    }
}
