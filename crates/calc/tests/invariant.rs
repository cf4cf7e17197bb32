//! What goes back equals what came out, to the cubic millimetre, for any chamber.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use std::cell::Cell;

use common::{POSITIONS, job, materials, method, mm};
use gangday_calc::{TakeOffRules, take_off};
use gangday_model::{CubicMillimetres, Job, Millimetres, Position, TakeOff, Work};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

const WORKS: [Work; 3] = [Work::New, Work::Replace, Work::Adjust];

prop_compose! {
    /// Sizes that can be built, odd ones among them; ironwork from just over the opening to the
    /// whole dig.
    fn jobs()(
        kind in (0..3_usize, 0..4_usize),
        clear in (300..3_000_i64, 300..3_000_i64),
        wall in 20..300_i64,
        section in (1..30_u32, 50..300_i64),
        base in (0..50_i64, 0..200_i64),
        tops in (60..250_i64, 0..60_i64),
        margin in 225..600_i64,
        reach in (0.0..1.0_f64, 0.0..1.0_f64),
        sides in (0..3_usize, 0..2_000_i64, 0..200_i64),
    ) -> Job {
        let mut job = job(WORKS[kind.0], POSITIONS[kind.1]);
        let sizes = &mut job.sizes;
        (sizes.clear_length, sizes.clear_width, sizes.wall) = (mm(clear.0), mm(clear.1), mm(wall));
        (sizes.sections, sizes.section_depth) = (Some(section.0), mm(section.1));
        (sizes.embed, sizes.base) = (mm(base.0), mm(base.0.max(1) + base.1));
        (sizes.ironwork_depth, sizes.bedding, sizes.margin) = (mm(tops.0), mm(tops.1), mm(margin));
        let spare = 2 * (wall + margin);
        let ironwork = |clear: i64, reach: f64| mm(clear + 1 + ((spare - 1) as f64 * reach) as i64);
        sizes.ironwork_length = ironwork(clear.0, reach.0);
        sizes.ironwork_width = ironwork(clear.1, reach.1);
        job.extra.insert("dig".to_owned(), ["vertical", "sheeted", "battered"][sides.0].into());
        job.extra.insert("batter_mm_per_m".to_owned(), sides.1.into());
        job.extra.insert("sheeting_mm".to_owned(), sides.2.into());
        job
    }
}

fn layers(taken: &TakeOff) -> [i64; 7] {
    let volumes = &taken.volumes;
    [
        volumes.base_concrete,
        volumes.type1,
        volumes.surround_concrete,
        volumes.surfacing,
        volumes.topsoil,
        volumes.mortar,
        volumes.inside,
    ]
    .map(CubicMillimetres::mm3)
}

/// The same chamber read off its drawing another way: areas in mm2, depths in mm.
struct Drawing {
    dig: i64,
    ironwork: i64,
    seat: i64,
    outside: i64,
    clear: i64,
    frame: i64,
    bedding: i64,
    foot: i64,
    base_top: i64,
    bottom: i64,
    adjust: bool,
    verge: bool,
}

impl Drawing {
    fn of(job: &Job) -> Self {
        let size = |size: Option<Millimetres>| size.unwrap().mm();
        let sizes = &job.sizes;
        let clear = [size(sizes.clear_length), size(sizes.clear_width)];
        let outside = clear.map(|side| side + 2 * size(sizes.wall));
        let ironwork = [size(sizes.ironwork_length), size(sizes.ironwork_width)];
        let seat = [outside[0].min(ironwork[0]), outside[1].min(ironwork[1])];
        let adjust = job.work == Work::Adjust;
        let about = if adjust { ironwork } else { outside };
        let dig = about.map(|side| side + 2 * size(sizes.margin));
        let area = |[along, across]: [i64; 2]| along * across;
        let (frame, bedding) = (size(sizes.ironwork_depth), size(sizes.bedding));
        let stack = i64::from(sizes.sections.unwrap()) * size(sizes.section_depth);
        let foot = frame + bedding + if adjust { 0 } else { stack };
        let base_top = foot - if adjust { 0 } else { size(sizes.embed) };
        Self {
            dig: area(dig),
            ironwork: area(ironwork),
            seat: area(seat),
            outside: area(outside),
            clear: area(clear),
            frame,
            bedding,
            foot,
            base_top,
            bottom: base_top + if adjust { 0 } else { size(sizes.base) },
            adjust,
            verge: job.position == Position::Verge,
        }
    }

    /// What stands in the dig at this depth, its opening, and which of the layers is round it.
    fn slice(&self, depth: i64) -> (i64, i64, usize) {
        let seat = self.frame + self.bedding;
        let (standing, opening) = if depth < self.frame {
            (self.ironwork, self.ironwork)
        } else if depth < seat {
            (self.seat, self.clear)
        } else if depth < self.foot {
            // Base concrete fills the foot of the first section.
            let filled = if depth < self.base_top { 0 } else { self.clear };
            (self.outside, self.outside - filled)
        } else {
            (0, 0)
        };
        let layer = if depth >= self.base_top {
            0
        } else if depth >= seat + 225 {
            1
        } else if self.verge {
            4
        } else if depth >= 60 {
            2
        } else {
            3
        };
        (standing, opening, layer)
    }

    /// The layers as sums of slices of one millimetre.
    fn layers(&self) -> [i64; 7] {
        let mut sums = [0; 7];
        for depth in 0..self.bottom {
            let (standing, opening, layer) = self.slice(depth);
            sums[layer] += self.dig - standing;
            let bedding = (self.frame..self.frame + self.bedding).contains(&depth);
            sums[if bedding { 5 } else { 0 }] += standing - opening;
            sums[6] += if self.adjust { 0 } else { opening };
        }
        sums
    }
}

/// Ten thousand chambers whatever the environment says, and every sort of them often.
#[test]
fn filled_equals_dug() {
    let count = |own: &Cell<u32>, is: bool| own.set(own.get() + u32::from(is));
    let (all, adjusted, larger, smaller) = <(Cell<_>, Cell<_>, Cell<_>, Cell<_>)>::default();
    let cases = ProptestConfig::with_cases(10_000);
    let run = TestRunner::new(cases).run(&jobs(), |job| {
        let taken = rules().take_off(&job).unwrap();
        prop_assert_eq!(taken.volumes.filled(), taken.volumes.excavation);
        prop_assert!(
            layers(&taken).iter().all(|layer| *layer >= 0),
            "{:?}",
            taken.volumes
        );
        prop_assert!(!taken.spoil.is_negative() && !taken.bituminous.is_negative());
        let outside = [taken.outside_length, taken.outside_width];
        let ironwork = [taken.ironwork_length, taken.ironwork_width];
        count(&all, true);
        count(&adjusted, job.work == Work::Adjust);
        count(&larger, (0..2).all(|side| ironwork[side] > outside[side]));
        count(&smaller, (0..2).all(|side| ironwork[side] < outside[side]));
        Ok(())
    });
    run.unwrap();
    let often = [&adjusted, &larger, &smaller].map(Cell::get);
    println!(
        "{} chambers: {often:?} adjusted, larger, smaller",
        all.get()
    );
    assert!(
        all.get() == 10_000 && often.iter().all(|own| *own > 500),
        "{often:?}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_000))]

    #[test]
    fn every_layer_equals_the_sum_of_its_slices(mut job in jobs()) {
        job.extra.clear();
        let taken = rules().take_off(&job).unwrap();
        prop_assert_eq!(layers(&taken), Drawing::of(&job).layers());
    }
}

/// The battered hole integrated by Simpson's rule, which is exact for sides that slope evenly,
/// in floating point: top, middle and foot of each part of the dig.
fn simpson(taken: &TakeOff, from: i64, to: i64) -> f64 {
    let depth = taken.depth.mm() as f64;
    let side = |top: Millimetres, foot: Millimetres, at: f64| {
        top.mm() as f64 + (foot - top).mm() as f64 * at / depth
    };
    let area = |at: f64| {
        side(taken.dig_length, taken.foot_length, at) * side(taken.dig_width, taken.foot_width, at)
    };
    let (from, to) = (from as f64, to as f64);
    (to - from) / 6.0 * (area(from) + 4.0 * area(f64::midpoint(from, to)) + area(to))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_000))]

    #[test]
    fn battered_layers_agree_with_simpsons_rule(mut job in jobs()) {
        job.work = Work::Replace;
        job.extra.insert("dig".to_owned(), "battered".into());
        let taken = rules().take_off(&job).unwrap();
        let levels = taken.levels;
        let hole = simpson(&taken, 0, taken.depth.mm());
        prop_assert!((taken.volumes.excavation.mm3() as f64 - hole).abs() < 2.0);
        let foot = simpson(&taken, levels.base_top.mm(), levels.formation.mm());
        let walls = taken.outside_length * taken.outside_width
            - job.sizes.clear_length.unwrap() * job.sizes.clear_width.unwrap();
        let base = foot - (walls * job.sizes.embed.unwrap()).mm3() as f64;
        prop_assert!((taken.volumes.base_concrete.mm3() as f64 - base).abs() < 2.0);
    }

    #[test]
    fn stated_layers_fill_the_surfacing(mut job in jobs(), stack in (20..31_i64, 40..60_i64)) {
        (job.work, job.position) = (Work::New, Position::Carriageway);
        let layers = serde_json::json!([
            { "mixture": "sma_6", "mm": stack.0 }, { "mixture": "ac20_dense_bin", "mm": stack.1 },
        ]);
        job.extra.insert("layers".to_owned(), layers);
        if let Ok(taken) = rules().take_off(&job) {
            let laid: CubicMillimetres = taken.layers.iter().map(|layer| layer.volume).sum();
            prop_assert_eq!(laid, taken.volumes.surfacing);
            prop_assert_eq!(taken.volumes.filled(), taken.volumes.excavation);
            prop_assert_eq!(taken.levels.surfacing_bottom.mm(), stack.0 + stack.1);
        }
    }
}

proptest! {
    /// Any sizes at all, absurd ones among them, are taken off exactly or refused with a reason.
    #[test]
    fn nonsense_is_refused_and_never_taken_off(
        kind in (0..3_usize, 0..4_usize),
        sizes in proptest::array::uniform12(proptest::option::of(any::<i64>())),
        sections in proptest::option::of(any::<u32>()),
        small in any::<[bool; 12]>(),
    ) {
        let mut job = job(WORKS[kind.0], POSITIONS[kind.1]);
        let size = |n: usize| sizes[n].and_then(|size| mm(if small[n] { size % 3_000 } else { size }));
        let own = &mut job.sizes;
        (own.clear_length, own.clear_width, own.section_depth) = (size(0), size(1), size(2));
        (own.wall, own.base, own.embed, own.ironwork_depth) = (size(3), size(4), size(5), size(6));
        (own.ironwork_length, own.ironwork_width) = (size(7), size(8));
        (own.bedding, own.margin, own.sections) = (size(9), size(10), sections);
        match take_off(&job, &method(&[]), &materials(&[])) {
            Ok(taken) => prop_assert_eq!(taken.volumes.filled(), taken.volumes.excavation),
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                prop_assert!(faults.iter().all(|fault| fault.is_fault() && !fault.remedy.is_empty()));
            }
        }
    }
}

fn rules() -> &'static TakeOffRules {
    static RULES: std::sync::LazyLock<TakeOffRules> =
        std::sync::LazyLock::new(|| TakeOffRules::read(&method(&[]), &materials(&[])).unwrap());
    &RULES
}
