//! How long the gang works at each stage.

use gangday_model::{
    ClosureKind, CubicMillimetres, Finding, Job, Millimetres, ParameterTable, Position, Seconds,
    SquareMillimetres, TakeOff, Work,
};

use crate::chamber;
use crate::figures::Figures;
use crate::lifts::{Fill, lift_plan};
use crate::minutes::{Minutes, whole};
use crate::stages::likely_closure;

/// The ground of a job that states none: common practice, no source.
const USUAL_GROUND: &str = "soil";

/// The work of each stage in whole minutes; those that a job does not have are left unused.
pub(crate) struct Durations {
    pub(crate) dig: Seconds,
    pub(crate) base: Seconds,
    pub(crate) build: Seconds,
    pub(crate) surround: Seconds,
    pub(crate) surface: Seconds,
    pub(crate) reopen: Seconds,
}

impl Durations {
    pub(crate) fn work_out(
        job: &Job,
        take_off: &TakeOff,
        method: &ParameterTable,
        materials: &ParameterTable,
        people: Option<u32>,
    ) -> Result<Self, Vec<Finding>> {
        let mut densities = Figures::materials(materials);
        let bituminous = densities.density("density.bituminous");
        let open_time = densities.rate("open_time.concrete");
        let mut minutes = Minutes::of(method, people)?;
        let ground = ground_key(job, method);
        let passes = type1_passes(take_off, method);
        let closure = closure_key(job.closure.unwrap_or(likely_closure(job.position)));
        let excavate = ground.as_deref().unwrap_or("output.excavate.soil");
        let durations = Self {
            dig: whole(
                minutes.fixed(&format!("stage.set_out.{closure}"))
                    + dig(
                        take_off,
                        ground_volume(take_off, bituminous),
                        excavate,
                        &mut minutes,
                    ),
            ),
            base: whole(
                minutes.concrete(take_off.volumes.base_concrete, open_time)
                    + minutes.fixed("stage.level_first_section"),
            ),
            build: whole(build(
                take_off,
                *passes.as_ref().unwrap_or(&0),
                &mut minutes,
            )),
            surround: whole(surround(take_off, open_time, &mut minutes)),
            surface: whole(surface(take_off, &mut minutes)),
            reopen: whole(minutes.fixed(&format!("stage.reopen.{closure}"))),
        };
        let mut faults = densities.into_faults();
        faults.extend(minutes.into_faults());
        let own = [ground.err(), passes.err()].into_iter().flatten().flatten();
        faults.extend(own.map(|fault| fault.at(job.id.as_str())));
        if faults.is_empty() {
            Ok(durations)
        } else {
            Err(faults)
        }
    }
}

fn dig(take_off: &TakeOff, ground: CubicMillimetres, excavate: &str, minutes: &mut Minutes) -> f64 {
    let ironwork = take_off.ironwork_length * take_off.ironwork_width;
    let dig = take_off.dig_length * take_off.dig_width;
    let (broken_out, old_sections, old_ironwork) = match take_off.work {
        Work::New => (dig, 0, 0.0),
        Work::Replace => (dig - ironwork, take_off.sections, 1.0),
        Work::Adjust => (dig - ironwork, 0, 1.0),
    };
    let break_out = format!("output.break_out.{}", chamber::key(take_off.position));
    let formation = if take_off.work == Work::Adjust {
        0.0
    } else {
        1.0
    };
    minutes.fixed("stage.service_check")
        + minutes.area(broken_out, &break_out)
        + minutes.volume(ground, excavate)
        + minutes.fixed("stage.lift_ironwork") * old_ironwork
        + minutes.fixed("stage.remove_section") * f64::from(old_sections)
        + minutes.fixed("stage.formation_check") * formation
}

fn build(take_off: &TakeOff, passes: u32, minutes: &mut Minutes) -> f64 {
    let further = take_off.sections.saturating_sub(1);
    minutes.fixed("stage.section") * f64::from(further)
        + minutes.volume(take_off.volumes.type1, "output.type1")
        + minutes.compaction(passes, type1_area(take_off))
        + minutes.fixed("stage.bed_ironwork")
}

fn surround(take_off: &TakeOff, open_time: f64, minutes: &mut Minutes) -> f64 {
    if take_off.position == Position::Verge {
        minutes.volume(take_off.volumes.topsoil, "output.topsoil") + minutes.fixed("stage.clear")
    } else {
        minutes.concrete(take_off.volumes.surround_concrete, open_time)
    }
}

fn surface(take_off: &TakeOff, minutes: &mut Minutes) -> f64 {
    let ring = take_off.dig_length * take_off.dig_width
        - take_off.ironwork_length * take_off.ironwork_width;
    let passes = minutes.surfacing_passes(take_off.levels.surfacing_bottom);
    minutes.area(take_off.sealed_edges, "output.seal")
        + minutes.area(ring, "output.surfacing")
        + minutes.compaction(passes, ring)
        + minutes.fixed("stage.clear")
}

fn type1_area(take_off: &TakeOff) -> SquareMillimetres {
    take_off.dig_length * take_off.dig_width - take_off.outside_length * take_off.outside_width
}

fn type1_passes(take_off: &TakeOff, method: &ParameterTable) -> Result<u32, Vec<Finding>> {
    let height = take_off.levels.base_top - take_off.levels.type1_top;
    if height == Millimetres::ZERO {
        return Ok(0);
    }
    lift_plan(height, Fill::Granular, method).map(|plan| plan.passes())
}

/// What is dug as ground: the bound layer is broken out, an old chamber is lifted out.
fn ground_volume(take_off: &TakeOff, bituminous_density: i64) -> CubicMillimetres {
    let micrograms = take_off.bituminous.micrograms();
    let bound = micrograms / i128::from(bituminous_density.max(1));
    let old = match take_off.work {
        Work::Replace => take_off.volumes.inside,
        Work::New | Work::Adjust => CubicMillimetres::ZERO,
    };
    let bound = CubicMillimetres::from_mm3(i64::try_from(bound).unwrap_or(i64::MAX));
    (take_off.volumes.excavation - old - bound).or_nothing()
}

/// The row of the job's ground, which may be named with or without its prefix.
fn ground_key(job: &Job, method: &ParameterTable) -> Result<String, Vec<Finding>> {
    const PREFIX: &str = "output.excavate.";
    let stated = job.ground.as_deref().unwrap_or(USUAL_GROUND);
    let ground = stated.strip_prefix(PREFIX).unwrap_or(stated);
    let key = format!("{PREFIX}{ground}");
    if method.get(&key).is_some() {
        return Ok(key);
    }
    let known: Vec<_> = method
        .under(PREFIX)
        .map(|row| &row.key[PREFIX.len()..])
        .collect();
    let fault = Finding::fault(
        "C-GROUND",
        format!("no output is known for ground \"{ground}\""),
        format!(
            "Choose one of {}, or add a row {key} in m3/h.",
            known.join(", ")
        ),
    );
    Err(vec![fault.in_file("jobs.geojson").of("ground")])
}

fn closure_key(closure: ClosureKind) -> &'static str {
    match closure {
        ClosureKind::None => "none",
        ClosureKind::Footway => "footway",
        ClosureKind::Lane => "lane",
        ClosureKind::Road => "road",
    }
}
