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

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::demo;
    use crate::totals::{by_day, by_depot, week_of};
    use crate::view::DemoWeek;

    /// Two gangs with vehicles of their own: each day, the depot and the week count what each carries.
    #[test]
    fn loads_of_a_day_and_of_the_week_are_those_of_each_gangs_own_vehicle() {
        let opened = demo::open(DemoWeek::Small);
        let (prepared, plan) = (&opened.prepared, opened.plan.clone().unwrap());
        let payload = |route: &Route| {
            let gang = prepared.programme.gang(&route.gang).unwrap();
            gang.payload.unwrap().tonnes()
        };
        let payloads: BTreeMap<_, _> = plan
            .routes
            .iter()
            .map(|route| (route.gang.to_string(), payload(route)))
            .collect();
        let mut sizes: Vec<f64> = payloads.values().copied().collect();
        sizes.sort_by(f64::total_cmp);
        sizes.dedup();
        assert!(sizes.len() > 1, "vehicles of two sizes: {payloads:?}");
        let of = |order: &Order, material: &str| {
            let mut own = order
                .materials
                .iter()
                .filter(|own| own.material == material);
            own.next().cloned()
        };
        // Every gang-day by itself: its tonnes in loads of its vehicle.
        let trips = |route: &Route, material: &str| {
            of(&of_route(prepared, route), material)
                .map_or(0, |own| (own.ordered / payload(route) - 1e-9).ceil() as u32)
        };
        let held = |order: &Order, routes: &[&Route]| {
            let mut held = 0;
            for line in order.materials.iter().filter(|line| is_loaded(line)) {
                let own: u32 = routes
                    .iter()
                    .map(|route| trips(route, &line.material))
                    .sum();
                let packs = line.packs.as_ref().unwrap();
                assert_eq!(
                    packs.count, own,
                    "{}, {}: {}",
                    order.key, line.material, line.why
                );
                assert!(sizes.contains(&packs.size), "{}", packs.size);
                assert!(line.why.contains("By gang-day: "), "{}", line.why);
                held += 1;
            }
            held
        };
        let all: Vec<&Route> = plan.routes.iter().collect();
        assert!(held(&week_of(prepared, &plan), &all) >= 2);
        for order in by_day(prepared, &plan) {
            let own = |route: &&&Route| order.key.ends_with(&route.date.to_string());
            let own: Vec<&Route> = all.iter().filter(own).copied().collect();
            assert!(!own.is_empty() && held(&order, &own) >= 2);
        }
        let mut depots = 0;
        for order in by_depot(prepared, &plan) {
            let gangs: Vec<&str> = order.key.trim_start_matches("depot:").split('+').collect();
            let own = |route: &&&Route| gangs.contains(&route.gang.as_str());
            depots += held(&order, &all.iter().filter(own).copied().collect::<Vec<_>>());
        }
        assert!(depots >= 2);
    }
}
