//! Seeded chance.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// Chance that comes out the same from the same seed on every machine.
pub(crate) struct Dice(Xoshiro256PlusPlus);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(Xoshiro256PlusPlus::seed_from_u64(seed))
    }

    /// 32 bits.
    pub(crate) fn bits(&mut self) -> u32 {
        (self.0.next_u64() >> 32) as u32
    }

    /// A number from 0 up to and without `count`, which is not 0.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        ((u64::from(self.bits()) * count as u64) >> 32) as usize
    }

    /// A number from 0, evenly below `count` / `of`, cut.
    pub(crate) fn below_part(&mut self, count: usize, of: usize) -> usize {
        ((u64::from(self.bits()) * count as u64 / of as u64) >> 32) as usize
    }

    /// True so many times in a thousand.
    pub(crate) fn per_mille(&mut self, times: usize) -> bool {
        self.below(1_000) < times
    }

    /// Mixes them up.
    pub(crate) fn shuffle<T>(&mut self, items: &mut [T]) {
        for at in (1..items.len()).rev() {
            items.swap(at, self.below(at + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_throws_the_same() {
        let throw = |seed| {
            let mut dice = Dice::new(seed);
            (0..50).map(|_| dice.below(6)).collect::<Vec<_>>()
        };
        assert_eq!(throw(7), throw(7));
        assert_ne!(throw(7), throw(8));
        assert!(throw(7).iter().all(|&eye| eye < 6));
        assert!((0..6).all(|eye| throw(7).contains(&eye)));
    }

    #[test]
    fn throws_are_the_same_on_every_machine() {
        let mut dice = Dice::new(1);
        assert_eq!(
            [dice.bits(), dice.bits(), dice.bits()],
            [3_485_847_679, 3_208_790_322, 430_144_855]
        );
    }
}
