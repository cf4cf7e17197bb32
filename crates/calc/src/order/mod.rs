//! The ordered ledger: sums first and exact, waste and packs once per order.

mod haulage;
mod lines;
mod loose;
mod rates;
mod ready_mixed;
mod round;
mod stock;
mod sums;
mod supply;

use gangday_model::{Order, ParameterTable, TakeOff};

pub(crate) use rates::Rates;
use ready_mixed::ready_mixed;
use stock::Stock;
pub(crate) use sums::Sums;

pub(crate) use haulage::parts_out;
pub use haulage::{Carried, Haulage, Vehicle, haulage};
pub use supply::{latest_order_day, supplied};

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
    let rates = Rates::new(materials);
    whole(
        key,
        &Sums::of(take_offs, &rates),
        &rates,
        &mut Stock::default(),
    )
}

/// Orders of days one after another, what one leaves over serving the next where it keeps.
///
/// Each day's take-offs are summed and rounded once, as in [`order`]; a material keeps where
/// `keeps.MATERIAL` says so.
///
/// ```
/// use gangday_calc::{order_days, shipped_materials, shipped_method, take_off};
/// use gangday_model::{Job, LonLat, Position, Work};
///
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Footway);
/// let taken = take_off(&job, &method, &materials).unwrap();
/// let days = order_days([("Monday", vec![&taken]), ("Tuesday", vec![&taken])], &materials);
/// let bags = |day: usize| {
///     let line = days[day].materials.iter().find(|line| line.material == "base_concrete").unwrap();
///     line.packs.as_ref().unwrap().count
/// };
/// // 33.7 bags a day: 34, and 33.5 more the next day with 0.3 left over.
/// assert_eq!((bags(0), bags(1)), (34, 34));
/// ```
#[must_use]
pub fn order_days<'a, K: Into<String>>(
    days: impl IntoIterator<Item = (K, Vec<&'a TakeOff>)>,
    materials: &ParameterTable,
) -> Vec<Order> {
    let rates = Rates::new(materials);
    let mut stock = Stock::default();
    let day = |(key, take_offs): (K, Vec<&'a TakeOff>)| {
        stock.overnight(&rates);
        whole(
            &key.into(),
            &Sums::of(take_offs, &rates),
            &rates,
            &mut stock,
        )
    };
    days.into_iter().map(day).collect()
}

fn whole(key: &str, sums: &Sums, rates: &Rates<'_>, stock: &mut Stock) -> Order {
    Order {
        key: key.to_owned(),
        materials: lines::lines(sums, rates, stock),
        alternatives: ready_mixed(sums, rates).into_iter().collect(),
    }
}
