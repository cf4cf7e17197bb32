//! Which worse plans are walked on from: simulated annealing in whole numbers.
//!
//! A plan is taken if it costs less than the present one plus the temperature times -ln(u), u drawn
//! evenly from (0, 1]; the temperature falls geometrically with the used part of the allowance.
//!
//! # Source
//! Christiaens and Vanden Berghe, "Slack Induction by String Removals for Vehicle Routing Problems",
//! Transportation Science 54(2), 2020, section 5.

use super::dice::Dice;
use crate::stop::WHOLE;

/// One, in 16 binary places.
const ONE: u64 = 1 << 16;

/// ln 2 in 16 binary places.
const LN_2: u64 = 45_426;

/// Falls from `hot`, half by half.
pub(crate) struct Cooling {
    hot: i64,
    halvings: u64,
}

impl Cooling {
    /// Halves so many times.
    pub(crate) fn from(hot: i64, halvings: u64) -> Self {
        Self {
            hot: hot.max(1),
            halvings,
        }
    }

    /// How much dearer than the present plan the next one may be.
    pub(crate) fn leeway(&self, used: u32, dice: &mut Dice) -> i64 {
        let chance = neg_ln(dice.bits());
        let warm = u128::from(self.temperature(used)) * u128::from(chance) / u128::from(ONE * ONE);
        i64::try_from(warm).unwrap_or(i64::MAX)
    }

    /// The temperature in 16 binary places.
    fn temperature(&self, used: u32) -> u64 {
        let halvings = u64::from(used.min(WHOLE)) * self.halvings;
        let (whole, part) = (halvings / ONE, halvings % ONE);
        // Between halvings straight, which is within 6 % of the power of two.
        let hot = u128::from(self.hot.unsigned_abs()) * u128::from(ONE - part / 2);
        u64::try_from(hot >> whole).unwrap_or(u64::MAX)
    }
}

/// -ln of `bits` / 2^32, none counting as one, in 16 binary places.
fn neg_ln(bits: u32) -> u64 {
    (32 * ONE - log2(bits.max(1))) * LN_2 / ONE
}

/// log2 of a number from 1, in 16 binary places, by squaring.
fn log2(of: u32) -> u64 {
    let whole = u64::from(of.ilog2());
    let mut rest = u64::from(of) << (31 - of.ilog2());
    let mut log = whole;
    for _ in 0..16 {
        rest = ((u128::from(rest) * u128::from(rest)) >> 31) as u64;
        log <<= 1;
        if rest >= 1 << 32 {
            rest >>= 1;
            log += 1;
        }
    }
    log
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn logarithms_are_those_of_the_table() {
        for of in [1_u32, 2, 3, 10, 1 << 20, 1_000_000_007, u32::MAX] {
            let exact = f64::from(of).log2() * 65_536.0;
            assert!((log2(of) as f64 - exact).abs() <= 2.0, "{of}");
        }
        let e_th_part = (f64::from(u32::MAX) / std::f64::consts::E) as u32;
        assert!(neg_ln(e_th_part).abs_diff(ONE) < 8);
    }

    #[test]
    fn it_cools_to_the_128th_part() {
        let cooling = Cooling::from(12_800, 7);
        assert_eq!(cooling.temperature(0), 12_800 * ONE);
        assert_eq!(cooling.temperature(WHOLE), 100 * ONE);
        let steps: Vec<u64> = (0..=64)
            .map(|part| cooling.temperature(part * 1_024))
            .collect();
        assert!(steps.is_sorted_by(|hot, cold| hot > cold));
    }
}
