//! Loads of an order that several gang-days share, each by its own vehicle.

use gangday_model::{MaterialLine, Order, Packs, Route};

use super::of_route;
use crate::prepared::Prepared;
use crate::words;

/// The order with its loads counted by gang-day: each carries its own part in its own vehicle, so that
/// the loads of the routes add up to those of the day, the depot and the week.
pub(super) fn by_own_vehicles(prepared: &Prepared, mut order: Order, routes: &[Route]) -> Order {
    let orders: Vec<(&Route, Order)> = routes
        .iter()
        .map(|route| (route, of_route(prepared, route)))
        .collect();
    for line in order.materials.iter_mut().filter(|line| is_loaded(line)) {
        let own = orders.iter().filter_map(|(route, own)| {
            let own = own.materials.iter();
            let mut same = own.filter(|own| own.material == line.material);
            Some((*route, same.next()?.packs.as_ref()?))
        });
        let own: Vec<(&Route, &Packs)> = own.filter(|(_, packs)| packs.count > 0).collect();
        if !own.is_empty() {
            told(line, &own);
        }
    }
    order
}

fn is_loaded(line: &MaterialLine) -> bool {
    line.packs
        .as_ref()
        .is_some_and(|packs| packs.name == "load")
}

/// The line in the loads of these gang-days; what one holds is the least that any of them carries.
fn told(line: &mut MaterialLine, own: &[(&Route, &Packs)]) {
    let count = own.iter().map(|(_, packs)| packs.count).sum();
    let least = own.iter().map(|(_, packs)| packs.size);
    let size = least.fold(f64::INFINITY, f64::min);
    let each = |(route, packs): &(&Route, &Packs)| {
        let loads = words::count(packs.count as usize, "load", "loads");
        format!(
            "{} on {} {loads} of up to {} {}",
            route.gang, route.date, packs.size, packs.unit
        )
    };
    let each: Vec<String> = own.iter().map(each).collect();
    line.why = format!("{} By gang-day: {}.", line.why, each.join(", "));
    if let Some(packs) = &mut line.packs {
        (packs.count, packs.size) = (count, size);
    }
}
