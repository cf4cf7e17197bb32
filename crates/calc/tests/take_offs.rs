//! Take-offs against values worked outside this project, or by hand.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use common::{POSITIONS, job, materials, method, mm, taken};
use gangday_calc::{Measured, take_off};
use gangday_model::{Job, Millimetres, Position, TakeOff, Work};

/// Common practice, no source: n = 6, h = 150, e = 50, f = 100, m = 0 gives D = 1100 on a base of
/// 150 mm and 1150 on one of 200 mm.
#[test]
fn depth_of_the_dig() {
    let mut job = job(Work::New, Position::Carriageway);
    for (base, depth) in [(150, 1100), (200, 1150)] {
        job.sizes.base = mm(base);
        assert_eq!(taken(&job).depth.mm(), depth);
    }
}

/// Common practice, no source: 900 mm outside and 250 mm of working space make a dig of
/// 1400 x 1400, about two square metres.
#[test]
fn plan_of_the_dig() {
    let taken = taken(&job(Work::New, Position::Footway));
    assert_eq!(
        (taken.outside_length.mm(), taken.outside_width.mm()),
        (900, 900)
    );
    assert_eq!((taken.dig_length.mm(), taken.dig_width.mm()), (1400, 1400));
    assert_eq!((taken.dig_length * taken.dig_width).mm2(), 1_960_000);
}

/// Own arithmetic: a chamber of 1.2 x 0.9 outside, 1.0 deep, 0.3 m of space all round. The pit is
/// 1.8 x 1.5 x 1.0 = 2.700, the chamber 1.080 and the surround 1.620 m3, which is 3.564 t at
/// 2.2 t/m3. Set on its formation with no base to speak of, and no ironwork above it.
#[test]
fn pit_chamber_and_surround() {
    let taken = with_next_to_no_base_and_ironwork();
    let volumes = taken.volumes;
    // The least base, embedment and ironwork: 1 mm of each, so 998 mm of the metre is stack.
    assert_eq!(volumes.excavation.mm3(), 2_700_000_000);
    let inside = volumes.inside + volumes.base_concrete + volumes.mortar;
    let base_ring = 1_800 * 1_500 - 1_200 * 900;
    assert_eq!(inside.mm3() - base_ring, 1_080_000_000);
    let surround = volumes.type1 + volumes.topsoil;
    assert_eq!(surround.mm3() + base_ring, 1_620_000_000);
    let tonnes = gangday_model::CubicMillimetres::from_mm3(1_620_000_000).at_density(2_200);
    assert!((tonnes.tonnes() - 3.564).abs() < 1e-12);
}

fn with_next_to_no_base_and_ironwork() -> TakeOff {
    let mut job = job(Work::New, Position::Verge);
    let sizes = &mut job.sizes;
    (sizes.clear_length, sizes.clear_width, sizes.wall) = (mm(1_000), mm(700), mm(100));
    (sizes.section_depth, sizes.sections, sizes.base) = (mm(998), Some(1), mm(1));
    (sizes.embed, sizes.ironwork_depth, sizes.margin) = (mm(0), mm(1), mm(300));
    taken(&job)
}

/// Own arithmetic on the usual carriageway chamber: dig 1.96 m2, frames 0.81 m2, opening 0.36 m2,
/// base top at 950, type 1 top at 325, surfacing 60.
#[test]
fn layers_of_the_usual_chamber() {
    let taken = taken(&job(Work::New, Position::Carriageway));
    let levels = taken.levels;
    assert_eq!((levels.base_top.mm(), levels.type1_top.mm()), (950, 325));
    assert_eq!(
        (levels.sections_bottom.mm(), levels.formation.mm()),
        (1000, 1150)
    );
    let volumes = taken.volumes;
    assert_eq!(volumes.excavation.mm3(), 1_960_000 * 1_150);
    assert_eq!(volumes.base_concrete.mm3(), 1_960_000 * 200 - 450_000 * 50);
    assert_eq!(volumes.type1.mm3(), 1_150_000 * 625);
    assert_eq!(volumes.surround_concrete.mm3(), 1_150_000 * 265);
    assert_eq!(volumes.surfacing.mm3(), 1_150_000 * 60);
    assert_eq!(volumes.inside.mm3(), 810_000 * 1_000 - 360_000 * 50);
    assert_eq!(volumes.filled(), volumes.excavation);
    // 4 x 1400 of opening and 4 x 900 of ironwork, 60 mm deep.
    assert_eq!(taken.sealed_edges.mm2(), 9_200 * 60);
}

/// Spoil is net volume by bank density, less the bound layer, which is a stream of its own.
#[test]
fn spoil_is_never_bulked_and_bound_material_goes_apart() {
    let footway = taken(&job(Work::New, Position::Footway));
    assert_eq!(footway.bituminous.micrograms(), 1_960_000 * 60 * 2_350);
    assert_eq!(footway.spoil.micrograms(), 1_960_000 * 1_090 * 1_900);
    let verge = taken(&job(Work::New, Position::Verge));
    assert_eq!(verge.bituminous.micrograms(), 0);
    assert_eq!(verge.spoil, verge.volumes.excavation.at_density(1_900));
    let bulked = materials(&[("bulking.bank_soil", 2.0)]);
    let same = take_off(&job(Work::New, Position::Verge), &method(&[]), &bulked).unwrap();
    assert_eq!(same.spoil, verge.spoil);
}

/// A replaced chamber is dug round; its walls weigh as concrete and its clear space not at all.
#[test]
fn a_replacement_lifts_the_old_chamber_out() {
    let new = taken(&job(Work::New, Position::Verge));
    let replaced = taken(&job(Work::Replace, Position::Verge));
    assert_eq!(replaced.volumes, new.volumes);
    let walls = 450_000_i128 * 900 * 2_400;
    let ground = i128::from((new.volumes.excavation - new.volumes.inside).mm3()) * 1_900;
    assert_eq!(replaced.spoil.micrograms(), ground + walls);
}

/// An adjustment is the ring round the ironwork, down to the bedding.
#[test]
fn an_adjustment_digs_a_ring() {
    let taken = taken(&job(Work::Adjust, Position::Footway));
    assert_eq!((taken.sections, taken.depth.mm()), (0, 120));
    let volumes = taken.volumes;
    assert_eq!(volumes.mortar.mm3(), 450_000 * 20);
    assert_eq!(volumes.excavation.mm3(), 1_150_000 * 120 + 450_000 * 20);
    assert_eq!(
        (
            volumes.base_concrete.mm3(),
            volumes.type1.mm3(),
            volumes.inside.mm3()
        ),
        (0, 0, 0)
    );
    assert_eq!(volumes.filled(), volumes.excavation);
    assert_eq!(taken.bituminous.micrograms(), 1_150_000 * 60 * 2_350);
}

/// Ironwork of 700 on a chamber of 900 leaves room for concrete over the walls; ironwork of 1000
/// takes some away. Both by hand: 100 mm deep, 60 of it surfacing.
#[test]
fn ironwork_larger_and_smaller_than_the_chamber() {
    let with_ironwork = |size: i64| {
        let mut job = job(Work::New, Position::Footway);
        (job.sizes.ironwork_length, job.sizes.ironwork_width) = (mm(size), mm(size));
        taken(&job).volumes
    };
    for (size, ring) in [(700, 1_470_000), (1_000, 960_000)] {
        let volumes = with_ironwork(size);
        assert_eq!(volumes.surfacing.mm3(), ring * 60);
        assert_eq!(volumes.surround_concrete.mm3(), ring * 40 + 1_150_000 * 225);
        assert_eq!(volumes.filled(), volumes.excavation);
    }
}

/// Two sections of 150: type 1 would end below the base's top, so concrete goes all the way down.
#[test]
fn a_stack_too_short_for_type1() {
    let mut job = job(Work::New, Position::Footway);
    (job.sizes.sections, job.sizes.section_depth) = (Some(2), mm(100));
    let taken = taken(&job);
    assert_eq!(taken.levels.type1_top, taken.levels.base_top);
    assert_eq!(taken.volumes.type1.mm3(), 0);
    assert_eq!(taken.volumes.filled(), taken.volumes.excavation);
}

#[test]
fn a_verge_takes_topsoil_and_neither_surround_nor_surfacing() {
    let taken = taken(&job(Work::New, Position::Verge));
    assert_eq!(taken.volumes.topsoil.mm3(), 1_150_000 * 325);
    assert_eq!(
        taken.volumes.surround_concrete.mm3() + taken.volumes.surfacing.mm3(),
        0
    );
    assert_eq!(
        (taken.sealed_edges.mm2(), taken.levels.surfacing_bottom.mm()),
        (0, 325)
    );
}

#[test]
fn surfacing_may_differ_by_position() {
    let own = method(&[("chamber.surfacing.carriageway", 100.0)]);
    let bottom = |position| {
        let job: Job = job(Work::New, position);
        take_off(&job, &own, &materials(&[]))
            .unwrap()
            .levels
            .surfacing_bottom
    };
    assert_eq!(bottom(Position::Carriageway), Millimetres::from_mm(100));
    assert_eq!(bottom(Position::Footway), Millimetres::from_mm(60));
}

#[test]
fn the_measured_ledger_is_the_take_off_in_cubic_metres() {
    for position in POSITIONS {
        let taken = taken(&job(Work::New, position));
        let measured = Measured::from(&taken);
        assert!((measured.excavation_m3 - 2.254).abs() < 1e-12);
        let filled = measured.base_concrete_m3
            + measured.type1_m3
            + measured.surround_concrete_m3
            + measured.surfacing_m3
            + measured.topsoil_m3
            + measured.mortar_m3
            + measured.inside_m3;
        assert!((filled - 2.254).abs() < 1e-12);
        let names = serde_json::to_value(measured).unwrap();
        assert_eq!(names["spoil_t"], taken.spoil.tonnes());
    }
}
