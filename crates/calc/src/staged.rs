//! What some of a job's stages take, where it is left over a night: each material goes with the stage that
//! places it.

use gangday_model::{Mass, Stage, TakeOff, Volumes, Work};

/// The part of a take-off that these of a job's stages place and dig.
///
/// The parts of all stages, each in one of them, add up to the whole. What a stage would place that the job
/// does not have goes with its last one; the first section goes with the base, and an old frame with the
/// new one.
///
/// # Units
/// As the take-off's own.
///
/// ```
/// use gangday_calc::{of_stages, shipped_materials, shipped_method, take_off};
/// use gangday_model::{Job, LonLat, Position, Stage, Work};
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Footway);
/// let whole = take_off(&job, &method, &materials).unwrap();
/// let stages = [Stage::Dig, Stage::Base, Stage::Build, Stage::Surround, Stage::Surface, Stage::Reopen];
/// let evening = of_stages(&whole, &stages, &stages[..2]);
/// assert_eq!(evening.volumes.base_concrete, whole.volumes.base_concrete);
/// assert_eq!((evening.volumes.type1.mm3(), evening.sections), (0, 1));
/// let morning = of_stages(&whole, &stages, &stages[2..]);
/// assert_eq!((morning.volumes.type1, morning.spoil.micrograms()), (whole.volumes.type1, 0));
/// ```
#[must_use]
pub fn of_stages(take_off: &TakeOff, all: &[Stage], own: &[Stage]) -> TakeOff {
    let last = all.last().copied();
    let has = |stage: Stage| {
        let places = if all.contains(&stage) {
            Some(stage)
        } else {
            last
        };
        places.is_some_and(|stage| own.contains(&stage))
    };
    let whole = &take_off.volumes;
    let (dig, build) = (has(Stage::Dig), has(Stage::Build));
    let mut part = take_off.clone();
    part.volumes = Volumes::default();
    let volumes = &mut part.volumes;
    if dig {
        (volumes.excavation, volumes.inside) = (whole.excavation, whole.inside);
    } else {
        (part.spoil, part.old_walls, part.bituminous) =
            (Mass::default(), Mass::default(), Mass::default());
    }
    if has(Stage::Base) {
        volumes.base_concrete = whole.base_concrete;
    }
    if build {
        (volumes.type1, volumes.mortar) = (whole.type1, whole.mortar);
    } else {
        part.work = Work::Adjust;
    }
    if has(Stage::Surround) {
        (volumes.surround_concrete, volumes.topsoil) = (whole.surround_concrete, whole.topsoil);
    }
    if has(Stage::Surface) {
        volumes.surfacing = whole.surfacing;
    } else {
        part.layers.clear();
        part.sealed_edges = gangday_model::SquareMillimetres::default();
    }
    let first = u32::from(all.contains(&Stage::Base)).min(take_off.sections);
    let stacked = take_off.sections - first;
    part.sections = if has(Stage::Base) { first } else { 0 } + if build { stacked } else { 0 };
    part
}
