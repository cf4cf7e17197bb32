//! Waste and packs in whole numbers, so that a full pack is never rounded up to one more.

/// A hundred per cent, in millionths of a per cent.
pub(crate) const WHOLE: i128 = 100_000_000;

/// How many packs hold this much with waste, the begun one counted.
///
/// # Units
/// `needed` and `pack` in the same unit; `waste` in millionths of a per cent.
pub(crate) fn packs(needed: i128, waste: i128, pack: i128) -> i128 {
    let with_waste = needed * (WHOLE + waste);
    let pack = pack.max(1) * WHOLE;
    with_waste.div_euclid(pack) + i128::from(with_waste.rem_euclid(pack) != 0)
}

/// This much with waste, or with a surcharge, to the nearest unit.
pub(crate) fn with(needed: i128, waste: i128) -> i128 {
    (needed * (WHOLE + waste) + WHOLE / 2).div_euclid(WHOLE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ten_full_bags_are_ten() {
        assert_eq!(packs(115_000_000, 0, 11_500_000), 10);
        assert_eq!(packs(115_000_001, 0, 11_500_000), 11);
        assert_eq!(packs(0, 5_000_000, 11_500_000), 0);
    }

    /// 20 bags and 5 % of waste fill exactly 21.
    #[test]
    fn waste_comes_before_rounding() {
        assert_eq!(packs(20 * 11_500_000, 5_000_000, 11_500_000), 21);
        assert_eq!(with(200, 5_000_000), 210);
    }
}
