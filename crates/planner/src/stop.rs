//! When the search stops: criteria as values. The crate itself reads no clock.

/// The whole allowance, in the parts that [`Stop::used`] counts.
pub const WHOLE: u32 = 1 << 16;

/// Says when the search stops, and how far along it is, since it cools by that.
pub trait Stop {
    /// How much of the allowance is used up before this iteration, in parts of [`WHOLE`]; the
    /// search stops at `WHOLE` or more.
    fn used(&mut self, iteration: u64) -> u32;

    /// Whether to give up even before there is a first plan with every job tried.
    fn overdue(&mut self) -> bool {
        false
    }
}

/// After so many iterations.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Iterations(
    /// How many.
    pub u64,
);

impl Stop for Iterations {
    fn used(&mut self, iteration: u64) -> u32 {
        if iteration >= self.0 {
            return WHOLE;
        }
        let part = u128::from(iteration) * u128::from(WHOLE) / u128::from(self.0);
        u32::try_from(part).unwrap_or(WHOLE)
    }
}

/// When the caller's own measure, of time or anything else, says so.
///
/// The closure answers how much of the allowance is used, in parts of [`WHOLE`]. A search stopped
/// like this can differ from run to run; only [`Iterations`] makes it repeatable.
pub struct Until<F: FnMut() -> u32>(
    /// How much is used.
    pub F,
);

impl<F: FnMut() -> u32> Stop for Until<F> {
    fn used(&mut self, _iteration: u64) -> u32 {
        (self.0)()
    }

    fn overdue(&mut self) -> bool {
        (self.0)() >= WHOLE
    }
}

/// Whichever comes first.
pub struct Either<A: Stop, B: Stop>(
    /// One.
    pub A,
    /// The other.
    pub B,
);

impl<A: Stop, B: Stop> Stop for Either<A, B> {
    fn used(&mut self, iteration: u64) -> u32 {
        self.0.used(iteration).max(self.1.used(iteration))
    }

    fn overdue(&mut self) -> bool {
        self.0.overdue() || self.1.overdue()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn iterations_run_from_nothing_to_the_whole() {
        let mut stop = Iterations(4);
        let used: Vec<u32> = (0..5).map(|iteration| stop.used(iteration)).collect();
        assert_eq!(used, [0, WHOLE / 4, WHOLE / 2, WHOLE / 4 * 3, WHOLE]);
        assert_eq!(Iterations(0).used(0), WHOLE);
    }

    #[test]
    fn whichever_comes_first_stops() {
        let mut stop = Either(Iterations(10), Until(|| WHOLE));
        assert_eq!(stop.used(1), WHOLE);
        assert!(stop.overdue());
    }
}
