//! Seeded chance: the same seed gives the same draws on every machine.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// A stream of draws.
pub struct Chance(Xoshiro256PlusPlus);

impl Chance {
    /// The stream of this seed; `lane` tells apart streams that share a seed.
    #[must_use]
    pub fn new(seed: u64, lane: u64) -> Self {
        let mixed = seed ^ lane.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        Self(Xoshiro256PlusPlus::seed_from_u64(mixed))
    }

    /// A whole number from 0 to one less than `most`; 0 if `most` is 0.
    pub fn below(&mut self, most: usize) -> usize {
        let wide = u128::from(self.0.next_u64()) * most as u128;
        usize::try_from(wide >> 64).unwrap_or(0)
    }

    /// A part from 0 to less than 1.
    pub fn part(&mut self) -> f64 {
        f64::from((self.0.next_u64() >> 32) as u32) / 4_294_967_296.0
    }

    /// A number between two others.
    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.part()
    }

    /// Whether a chance of so many in a hundred falls.
    pub fn in_hundred(&mut self, hundredths: usize) -> bool {
        self.below(100) < hundredths
    }

    /// One of a list that is not empty.
    pub fn pick<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_draws_the_same_and_another_does_not() {
        let draw = |seed, lane| {
            let mut chance = Chance::new(seed, lane);
            (0..8).map(|_| chance.below(1000)).collect::<Vec<_>>()
        };
        assert_eq!(draw(7, 0), draw(7, 0));
        assert_ne!(draw(7, 0), draw(8, 0));
        assert_ne!(draw(7, 0), draw(7, 1));
    }

    #[test]
    fn parts_fill_the_range() {
        let mut chance = Chance::new(1, 1);
        let parts: Vec<f64> = (0..1000).map(|_| chance.part()).collect();
        let mean = parts.iter().sum::<f64>() / 1000.0;
        assert!(parts.iter().all(|part| (0.0..1.0).contains(part)));
        assert!((mean - 0.5).abs() < 0.05);
    }
}
