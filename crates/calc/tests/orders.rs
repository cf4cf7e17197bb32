//! Orders: sums exact, waste and packs once per order.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use common::{POSITIONS, job, materials, mm, taken};
use gangday_calc::order;
use gangday_model::{Job, MaterialLine, Order, Position, TakeOff, Work};
use proptest::prelude::*;

const WORKS: [Work; 3] = [Work::New, Work::Replace, Work::Adjust];

fn line<'a>(order: &'a Order, material: &str) -> &'a MaterialLine {
    order
        .materials
        .iter()
        .find(|line| line.material == material)
        .unwrap()
}

fn carriageway(work: Work) -> TakeOff {
    taken(&job(work, POSITIONS[3]))
}

fn close(value: f64, expected: f64) {
    assert!((value - expected).abs() < 1e-9, "{value} is not {expected}");
}

/// Own arithmetic on the usual carriageway chamber, every line but the numbers.
#[test]
fn the_order_of_the_usual_chamber() {
    let order = order("day", [&carriageway(Work::New)], &materials(&[]));
    assert_eq!(order.key, "day");
    // 1.15 m2 x 0.625 m x 2.1 t/m3, 10 % waste: 1.66 t, sold by the half tonne.
    let type1 = line(&order, "type1");
    close(type1.measured, 0.71875 * 2.1);
    close(type1.ordered, 2.0);
    close(type1.rounding_added, 2.0 - 0.71875 * 2.1 * 1.1);
    assert!(
        type1.why.contains("rounded up to 0.5 t = 2.0000 t"),
        "{}",
        type1.why
    );
    let weighed = materials(&[("order.step.type1", 0.0)]);
    let weighed = gangday_calc::order("day", [&carriageway(Work::New)], &weighed);
    close(line(&weighed, "type1").ordered, 0.71875 * 2.1 * 1.1);
    // 1.15 m2 x 0.265 m, 5 % waste, bags of 0.0115 m3: 27.8.
    let surround = line(&order, "surround_concrete");
    close(surround.measured, 0.30475);
    assert_eq!(surround.packs.as_ref().unwrap().count, 28);
    close(surround.ordered, 28.0 * 0.0115);
    close(surround.rounding_added, 28.0 * 0.0115 - 0.30475 * 1.05);
    // 0.069 m3 compacted, half as much again loose, 1.5 t/m3, 5 % waste, bags of 25 kg: 6.5.
    let surfacing = line(&order, "surfacing");
    close(surfacing.measured, 0.069 * 1.5 * 1.5);
    assert_eq!(surfacing.packs.as_ref().unwrap().count, 7);
    // 9.2 m of edges 0.06 m deep, 2 m2/l.
    close(line(&order, "edge_sealant").measured, 0.276);
    // 1.96 m2 x 1.05 m x 1.9 t/m3, and 0.1 m of bound material at 2.35 t/m3.
    close(line(&order, "spoil").measured, 1.96 * 1.05 * 1.9);
    close(line(&order, "spoil_loose").measured, 1.96 * 1.05);
    close(line(&order, "spoil_loose").ordered, 1.96 * 1.05 * 1.35);
    close(line(&order, "bituminous").measured, 1.96 * 0.1 * 2.35);
    close(line(&order, "sections").ordered, 6.0);
    close(line(&order, "ironwork").ordered, 1.0);
    assert!(
        order
            .materials
            .iter()
            .all(|line| line.material != "topsoil")
    );
}

/// NHBC Standards 3.1.4 (2 January 2025), Table 2: kilograms of cement, fine and coarse that the
/// sums show to be one cubic metre. The bag's shipped yield lies at the neutral end of them.
#[test]
fn bags_by_the_standard_mixes() {
    let mixes = [
        (230 + 770 + 1155, 0.01160, 86.2),
        (265 + 760 + 1135, 0.01157, 86.4),
        (285 + 735 + 1105, 0.01176, 85.0),
        (300 + 815 + 990, 0.01188, 84.2),
        (295 + 745 + 1120, 0.01157, 86.4),
        (330 + 735 + 1100, 0.01155, 86.6),
        (375 + 720 + 1080, 0.01149, 87.0),
    ];
    let taken = cubic_metre_of_base();
    for (dry_kg, of_bag, bags_per_m3) in mixes {
        let of_bag_exact = 25.0 / f64::from(dry_kg);
        assert!((of_bag_exact - of_bag).abs() <= 5.1e-6);
        let own = materials(&[
            ("pack.concrete.yield", of_bag_exact),
            ("waste.base_concrete", 0.0),
        ]);
        let order = order("m3", [&taken], &own);
        let count = line(&order, "base_concrete").packs.as_ref().unwrap().count;
        assert_eq!(count, f64::ceil(bags_per_m3) as u32, "{dry_kg}");
    }
    let shipped = materials(&[]).value("pack.concrete.yield").unwrap();
    assert!((0.01149..=0.01188).contains(&shipped));
}

fn cubic_metre_of_base() -> TakeOff {
    let mut taken = carriageway(Work::New);
    taken.volumes.base_concrete = gangday_model::CubicMillimetres::from_mm3(1_000_000_000);
    taken
}

/// Ten jobs of 33.7 bags are 338 bags, not 340: rounding happens once.
#[test]
fn packs_are_rounded_once_per_order() {
    let taken = vec![carriageway(Work::New); 10];
    let together = order("route", &taken, &materials(&[]));
    let bags = |order: &Order| line(order, "base_concrete").packs.as_ref().unwrap().count;
    assert_eq!(bags(&order("job", &taken[..1], &materials(&[]))), 34);
    assert_eq!(bags(&together), 338);
    let line = line(&together, "base_concrete");
    assert!(line.rounding_added < 0.0115);
}

#[test]
fn ironwork_is_new_replaced_or_kept() {
    let taken = WORKS.map(carriageway);
    let order = order("day", &taken, &materials(&[]));
    close(line(&order, "ironwork").ordered, 2.0);
    close(line(&order, "old_ironwork").ordered, 1.0);
    close(line(&order, "sections").ordered, 12.0);
    assert_eq!(line(&order, "mortar").packs.as_ref().unwrap().count, 2);
}

#[test]
fn every_line_says_where_its_figures_come_from() {
    let all: Vec<_> = POSITIONS
        .into_iter()
        .flat_map(|position| WORKS.map(|work| taken(&job(work, position))))
        .collect();
    let order = order("week", &all, &materials(&[]));
    assert_eq!(order.materials.len(), 13);
    for line in &order.materials {
        assert!(
            line.ordered >= line.measured && line.rounding_added >= 0.0,
            "{line:?}"
        );
        if line.unit != "no." {
            assert!(
                line.why.contains("common practice") || line.why.contains("memory"),
                "{line:?}"
            );
        }
    }
    assert!(
        line(&order, "base_concrete")
            .why
            .contains("NHBC Standards 3.1.4")
    );
}

#[test]
fn a_figure_that_can_not_be_used_is_replaced_and_said_so() {
    let bad = materials(&[("pack.concrete.yield", 0.0), ("waste.type1", f64::NAN)]);
    let order = order("day", [&carriageway(Work::New)], &bad);
    assert_eq!(
        line(&order, "base_concrete").packs.as_ref().unwrap().count,
        34
    );
    for material in ["base_concrete", "type1"] {
        assert!(line(&order, material).why.contains("shipped figure"));
    }
}

fn jobs() -> impl Strategy<Value = Vec<Job>> {
    let one = (
        0..3_usize,
        0..4_usize,
        450..2_800_i64,
        450..2_800_i64,
        1..12_u32,
    );
    let one = one.prop_map(|(work, position, length, width, sections)| {
        let mut job = job(WORKS[work], POSITIONS[position]);
        (job.sizes.clear_length, job.sizes.clear_width) = (mm(length), mm(width));
        (job.sizes.sections, job.sizes.bedding) = (Some(sections), mm(i64::from(sections)));
        job
    });
    proptest::collection::vec(one, 1..40)
}

fn measured(order: &Order, material: &str) -> f64 {
    order
        .materials
        .iter()
        .find(|line| line.material == material)
        .map_or(0.0, |line| line.measured)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn an_order_is_the_same_however_its_jobs_come(
        (jobs, mixed) in jobs().prop_flat_map(|jobs| (Just(jobs.clone()), Just(jobs).prop_shuffle())),
    ) {
        let all = |jobs: &[Job]| jobs.iter().map(taken).collect::<Vec<_>>();
        let materials = materials(&[]);
        prop_assert_eq!(
            order("week", &all(&jobs), &materials),
            order("week", &all(&mixed), &materials)
        );
    }

    /// Jobs, routes of any length and the week agree to the gram, and to the cubic centimetre.
    #[test]
    fn grouping_changes_nothing_measured(jobs in jobs(), route in 1..9_usize) {
        let materials = materials(&[]);
        let taken: Vec<_> = jobs.iter().map(taken).collect();
        let week = order("week", &taken, &materials);
        for groups in [1, route] {
            let orders: Vec<_> =
                taken.chunks(groups).map(|route| order("route", route, &materials)).collect();
            for line in &week.materials {
                let sum: f64 = orders.iter().map(|order| measured(order, &line.material)).sum();
                prop_assert!((sum - line.measured).abs() < 1e-6, "{} {sum}", line.material);
            }
        }
    }
}

/// By hand: walls of 0.81 - 0.36 = 0.45 m2 over 0.9 m are 0.405 m3 of concrete, x 1.5 loose; the
/// ground is 1.96 x 1.15 - 0.81 x 0.9 m3 (a verge has no bound layer), less what stands above the
/// sections, x 1.35.
#[test]
fn old_walls_take_up_room_by_their_own_density_and_bulking() {
    let replaced = taken(&job(Work::Replace, Position::Verge));
    let order = order("1", [&replaced], &materials(&[]));
    let loose = line(&order, "spoil_loose");
    let ground = (replaced.volumes.excavation - replaced.volumes.inside).m3();
    close(loose.measured, ground + 0.405);
    close(loose.ordered, ground * 1.35 + 0.405 * 1.5);
    let new = taken(&job(Work::New, Position::Verge));
    assert_eq!(new.old_walls.micrograms(), 0);
}

/// A pour of 1 m3 and more may come ready-mixed, by the quarter; smaller ones never do, and the
/// bags stay in the order.
#[test]
fn ready_mixed_is_offered_above_the_volume_that_the_user_sets() {
    let chamber = taken(&job(Work::New, Position::Footway));
    let usual = order("1", [&chamber, &chamber], &materials(&[]));
    assert!(usual.alternatives.is_empty(), "its pours are below 1 m3");
    let own = materials(&[("ready_mixed.from", 0.35)]);
    let offered = order("1", [&chamber, &chamber], &own);
    assert_eq!(offered.materials, usual.materials);
    let [ready] = offered.alternatives.as_slice() else {
        panic!("{:?}", offered.alternatives)
    };
    // Two bases of 0.3695 m3, each up to 0.5 m3; the surrounds are smaller.
    close(ready.measured, 0.739);
    close(ready.ordered, 1.0);
    assert!(ready.why.contains("2 pours of 0.35 m3") && ready.why.contains("ready_mixed.from"));
    // With 40 % of waste, 0.5173 m3 are more than half a cubic metre: up to 0.75 m3 each.
    let wasteful = materials(&[("ready_mixed.from", 0.35), ("waste.base_concrete", 40.0)]);
    let wasteful = order("1", [&chamber, &chamber], &wasteful);
    close(wasteful.alternatives[0].ordered, 1.5);
    assert!(wasteful.alternatives[0].why.contains("40 % base"));
    let never = materials(&[("ready_mixed.from", 0.0)]);
    assert!(order("1", [&chamber], &never).alternatives.is_empty());
}
