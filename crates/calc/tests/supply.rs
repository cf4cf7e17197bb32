//! Leftovers, suppliers, dates and loads.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use chrono::NaiveDate;
use common::{job, materials, taken};
use gangday_calc::{
    Vehicle, haulage, latest_order_day, order, order_days, shipped_materials, supplied,
};
use gangday_model::{MaterialLine, Nation, Order, ParameterTable, Position, TakeOff, Week, Work};
use proptest::prelude::*;
use serde_json::json;

fn day(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, month, day).unwrap()
}

/// England's holidays about Easter 2027, computed from the Banking and Financial Dealings Act 1971,
/// Schedule 1, and custom: 26 and 29 March, 3 and 31 May.
fn week(today: Option<NaiveDate>) -> Week {
    Week {
        nation: Nation::England,
        first_day: day(3, 30),
        days: 5,
        holidays: vec![day(3, 26), day(3, 29), day(5, 3), day(5, 31)],
        temperature_c: 10.0,
        today,
        rates: Vec::new(),
        nights: 0,
        over_weekend: false,
        plan_from: None,
        extra: serde_json::Map::new(),
    }
}

fn line<'a>(order: &'a Order, material: &str) -> &'a MaterialLine {
    let mut lines = order.materials.iter();
    lines.find(|line| line.material == material).unwrap()
}

fn bags(order: &Order) -> u32 {
    line(order, "base_concrete").packs.as_ref().unwrap().count
}

/// By hand: 33.737 bags a day are 134.95 in four days: 34, 34, 34 and 33 with what is left over,
/// but 34 every day where bags do not keep.
#[test]
fn what_is_left_over_serves_the_next_day() {
    let chamber = taken(&job(Work::New, Position::Footway));
    let days = |own: &ParameterTable| {
        let days = (1..=4).map(|day| (format!("day {day}"), vec![&chamber]));
        order_days(days, own)
    };
    let kept = days(&materials(&[]));
    assert_eq!(kept.iter().map(bags).collect::<Vec<_>>(), [34, 34, 34, 33]);
    let week = order("week", std::iter::repeat_n(&chamber, 4), &materials(&[]));
    assert_eq!(kept.iter().map(bags).sum::<u32>(), bags(&week));
    let second = line(&kept[1], "base_concrete");
    assert!((second.brought_forward - line(&kept[0], "base_concrete").left_over).abs() < 1e-12);
    assert!(second.why.contains("left over before"), "{}", second.why);
    let spoilt = days(&materials(&[("keeps.base_concrete", 0.0)]));
    assert_eq!(spoilt.iter().map(bags).collect::<Vec<_>>(), [34; 4]);
    assert!(line(&spoilt[1], "base_concrete").brought_forward.abs() < 1e-12);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Whatever is done on which day, bags that keep are as many as for the whole time at once.
    #[test]
    fn bags_that_keep_are_rounded_once_in_all(chambers in proptest::collection::vec((1..9_u32, 0..5_usize), 1..20)) {
        let taken: Vec<(TakeOff, usize)> = chambers
            .into_iter()
            .map(|(sections, day)| {
                let mut job = job(Work::New, Position::Footway);
                job.sizes.sections = Some(sections);
                (taken(&job), day)
            })
            .collect();
        let on = |day: usize| taken.iter().filter(move |(_, own)| *own == day).map(|(taken, _)| taken);
        let days = order_days((0..5).map(|day| (day.to_string(), on(day).collect())), &materials(&[]));
        let all = order("all", taken.iter().map(|(taken, _)| taken), &materials(&[]));
        for material in ["base_concrete", "surround_concrete", "surfacing", "edge_sealant"] {
            let packs = |order: &Order| {
                let mut lines = order.materials.iter();
                let line = lines.find(|line| line.material == material);
                line.map_or(0, |line| line.packs.as_ref().unwrap().count)
            };
            prop_assert_eq!(days.iter().map(packs).sum::<u32>(), packs(&all));
        }
    }
}

/// Working days as NRSWA 1991, s.98, counts them, from memory: no weekend, no bank holiday, no Good Friday.
#[test]
fn the_last_day_to_order_counts_working_days() {
    let week = week(None);
    let last = |needed, lead| latest_order_day(needed, lead, &week);
    assert_eq!(last(day(3, 30), 0), day(3, 30));
    assert_eq!(last(day(3, 30), 1), day(3, 25));
    assert_eq!(last(day(3, 31), 2), day(3, 25));
    assert_eq!(last(day(4, 5), 5), day(3, 25));
    assert_eq!(last(day(5, 4), 1), day(4, 30));
    assert_eq!(last(day(5, 31), 0), day(5, 28));
    assert_eq!(last(day(3, 17), 2), day(3, 15));
}

#[test]
fn an_order_names_supplier_price_and_last_day() {
    let mut rows: Vec<_> = materials(&[("price.base_concrete", 650.0), ("price.type1", 2_400.0)])
        .rows()
        .cloned()
        .collect();
    for row in &mut rows {
        if row.key == "lead.type1" {
            row.extra
                .insert("supplier".to_owned(), json!("Sallowby Stone (invented)"));
        }
    }
    let own = ParameterTable::new(rows);
    let chamber = taken(&job(Work::New, Position::Footway));
    let plain = order("day", [&chamber], &own);
    let (order, late) = supplied(plain.clone(), day(3, 31), &week(Some(day(3, 25))), &own);
    assert_eq!(late, []);
    let base = line(&order, "base_concrete").supply.clone().unwrap();
    // 34 bags at 6.50 pounds.
    assert_eq!(
        (base.price_pence, base.order_by),
        (Some(22_100), day(3, 25))
    );
    let stone = line(&order, "type1").supply.clone().unwrap();
    assert_eq!(stone.supplier.as_deref(), Some("Sallowby Stone (invented)"));
    assert_eq!(
        stone.price_pence,
        Some((line(&plain, "type1").ordered * 2_400.0).round() as i64)
    );
    assert_eq!(
        line(&order, "surround_concrete")
            .supply
            .as_ref()
            .unwrap()
            .price_pence,
        None
    );
    assert_eq!(line(&order, "spoil").supply, None);
    let (_, late) = supplied(plain, day(3, 31), &week(Some(day(3, 26))), &own);
    assert!(!late.is_empty() && late.iter().all(|finding| finding.code == "C-ORDER-LATE"));
    assert!(late[0].text.contains("2027-03-25"), "{}", late[0].text);
}

/// Stated layers are ordered by mixture, by weight; 1.15 m2 x 0.04 m and 0.06 m at 2350 kg/m3.
#[test]
fn stated_layers_are_ordered_by_mixture() {
    let mut layered = job(Work::New, Position::Carriageway);
    let layers = json!([{ "mixture": "ac10_close_surf", "mm": 40 }, { "mixture": "ac20_dense_bin", "mm": 60 }]);
    layered.extra.insert("layers".to_owned(), layers);
    let order = order("day", [&taken(&layered)], &materials(&[]));
    let surface = line(&order, "surfacing.ac10_close_surf");
    assert!((surface.measured - 1.15 * 0.04 * 2.35).abs() < 1e-9);
    assert!((surface.ordered - 1.15 * 0.04 * 2.35 * 1.05).abs() < 1e-9);
    assert!((line(&order, "surfacing.ac20_dense_bin").measured - 1.15 * 0.06 * 2.35).abs() < 1e-9);
    assert!(
        order
            .materials
            .iter()
            .all(|line| line.material != "surfacing")
    );
}

/// Bulking 1.4 on 8000 bank m3 is 11,200 loose m3 (spikevm.com, worked value).
#[test]
fn the_published_bulking() {
    let own = materials(&[("bulking.bank_soil", 1.4)]);
    let mut pit = taken(&job(Work::New, Position::Verge));
    pit.spoil = gangday_model::Mass::from_kg(8_000.0 * 1_900.0);
    let carried = haulage([&pit], &Vehicle::default(), &own);
    assert!((carried.spoil.loose_m3 - 11_200.0).abs() < 1e-6);
}

/// By hand, carriageway: 1.96 x 1.05 x 1.9 = 3.910 t of spoil, 2.778 m3 loose; 0.461 t bound,
/// 0.294 m3 loose; out 1.660 t of type 1, 34 + 28 + 7 bags of 25 kg, 6 sections of 162 kg and a
/// frame of 80 kg.
#[test]
fn the_loads_of_a_gang_day() {
    let chamber = taken(&job(Work::New, Position::Carriageway));
    let vehicle = Vehicle {
        payload_t: Some(1.2),
        volume_m3: Some(0.9),
    };
    let carried = haulage([&chamber], &vehicle, &shipped_materials());
    let type1 = 0.71875 * 2.1 * 1.1;
    let out = type1 + 69.0 * 0.025 + 6.0 * 0.162 + 0.08;
    assert!(
        (carried.out.mass_t - out).abs() < 1e-9,
        "{}",
        carried.out.why
    );
    assert_eq!(carried.out.loads, 4);
    assert!((carried.spoil.mass_t - 1.96 * 1.05 * 1.9).abs() < 1e-9);
    assert!((carried.spoil.loose_m3 - 1.96 * 1.05 * 1.35).abs() < 1e-9);
    // 3.26 loads by mass, 3.09 by volume.
    assert_eq!((carried.spoil.loads, carried.bituminous.loads), (4, 1));
    let by_mass = Vehicle {
        payload_t: Some(2.0),
        volume_m3: None,
    };
    assert_eq!(
        haulage([&chamber], &by_mass, &shipped_materials())
            .spoil
            .loads,
        2
    );
}

/// The same chambers in any order and any grouping weigh the same to the microgram.
#[test]
fn totals_agree_to_the_gram_by_job_route_and_week() {
    let chambers: Vec<TakeOff> = (0..40)
        .map(|n| {
            let mut job = job(
                [Work::New, Work::Replace, Work::Adjust][n % 3],
                common::POSITIONS[n % 4],
            );
            job.sizes.sections = Some(2 + n as u32 % 7);
            let shape = ["vertical", "sheeted", "battered"][n % 3];
            job.extra.insert("dig".to_owned(), shape.into());
            taken(&job)
        })
        .collect();
    let own = materials(&[]);
    let grams = |orders: &[Order], material: &str| -> f64 {
        let lines = orders.iter().flat_map(|order| &order.materials);
        lines
            .filter(|line| line.material == material)
            .map(|line| line.measured * 1e6)
            .sum()
    };
    let week = [order("week", &chambers, &own)];
    let jobs: Vec<_> = chambers
        .iter()
        .map(|one| order("job", [one], &own))
        .collect();
    let routes: Vec<_> = chambers
        .chunks(7)
        .map(|some| order("route", some, &own))
        .collect();
    let back: Vec<_> = [order("week", chambers.iter().rev(), &own)].into();
    for material in ["type1", "spoil", "bituminous", "topsoil"] {
        let expected = grams(&week, material);
        assert!(expected > 0.0);
        for orders in [&jobs, &routes, &back] {
            assert!(
                (grams(orders, material) - expected).abs() < 0.5,
                "{material}"
            );
        }
    }
}
