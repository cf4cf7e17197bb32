//! How much work the bound has taken so far, and whether it may take more.

use crate::stop::{Stop, WHOLE};

/// After so many steps it is asked again whether to stop.
const ASKING: u64 = 2_000;

/// Counts steps, and asks now and then whether to stop.
pub(super) struct Effort<'a> {
    stop: &'a mut dyn Stop,
    gone: u64,
    /// How many when it is asked next.
    asking: u64,
}

impl<'a> Effort<'a> {
    pub(super) fn new(stop: &'a mut dyn Stop) -> Self {
        Self {
            stop,
            gone: 0,
            asking: 1,
        }
    }

    /// So many more steps; nothing where the effort is used up.
    pub(super) fn spend(&mut self, steps: usize) -> Option<()> {
        self.gone += steps as u64;
        if self.gone < self.asking {
            return Some(());
        }
        self.asking = self.gone + ASKING;
        (self.stop.used(self.gone) < WHOLE).then_some(())
    }

    /// How many steps were taken.
    pub(super) fn gone(&self) -> u64 {
        self.gone
    }
}
