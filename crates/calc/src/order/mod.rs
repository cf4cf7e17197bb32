//! The ordered ledger: sums first and exact, waste and packs once per order.

mod lines;
mod rates;
mod round;
mod sums;

use gangday_model::{Order, ParameterTable, TakeOff};

use rates::Rates;
use sums::Sums;

/// What is ordered for these take-offs together.
///
/// Whole cubic millimetres and micrograms are summed before anything is converted or rounded, so
/// the order is the same however the take-offs come; waste and packs are applied once, and each
/// line says what rounding up added. Bulk is bought by weight: its loads carry up to the payload.
///
/// # Units
/// Each line names its own.
///
/// # Source
/// Each line's `why` carries the figures with their sources. A figure that can't be used is
/// replaced by the shipped one, said so there;
/// [`check_parameters`](crate::check_parameters) finds it beforehand.
///
/// ```
/// use gangday_calc::{order, shipped_materials, shipped_method, take_off};
/// use gangday_model::{Job, LonLat, Position, Work};
///
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Footway);
/// let taken = take_off(&job, &method, &materials).unwrap();
/// let order = order("1", [&taken], &materials);
/// let base = order.materials.iter().find(|line| line.material == "base_concrete").unwrap();
/// // 1.4 m x 1.4 m x 0.2 m less the wall ring, 0.05 m x (0.81 - 0.36) m2.
/// assert_eq!(base.measured, 0.3695);
/// // 0.3695 m3 and 5 % waste, in bags of 0.0115 m3: 33.7.
/// assert_eq!(base.packs.as_ref().unwrap().count, 34);
/// ```
#[must_use]
pub fn order<'a>(
    key: &str,
    take_offs: impl IntoIterator<Item = &'a TakeOff>,
    materials: &ParameterTable,
) -> Order {
    let sums = Sums::of(take_offs);
    Order {
        key: key.to_owned(),
        materials: lines::lines(&sums, &Rates::new(materials)),
    }
}
