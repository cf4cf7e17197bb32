//! What somebody should look at, though it can be built.

use gangday_model::{
    Finding, Job, Layer, Millimetres, ParameterTable, Position, Severity, TakeOff, Work,
};

use crate::lifts::{Fill, lift_plan};
use crate::load_class::usual_load_class;
use crate::mixtures::LiftLimits;
use crate::opening::chosen_sides;

/// Everything about this job that is unusual, or that the code warns of.
///
/// A warning never stops a job; whoever plans it decides.
///
/// ```
/// use gangday_calc::{review, shipped_materials, shipped_method, take_off};
/// use gangday_model::{Job, LoadClass, LonLat, Position, Work};
///
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let at = LonLat::new(0.0, 52.0);
/// let mut job = Job::new("1", at, Work::New, Position::Carriageway);
/// job.load_class = Some(LoadClass::B125);
/// let take_off = take_off(&job, &method, &materials).unwrap();
/// let findings = review(&job, &take_off, &method);
/// assert!(findings.iter().any(|finding| finding.code == "C-CLASS"));
/// ```
#[must_use]
pub fn review(job: &Job, take_off: &TakeOff, method: &ParameterTable) -> Vec<Finding> {
    let mut findings = unusual_openings(job, method);
    findings.extend(
        [
            low_class(job),
            needless_sections(job),
            thin_base(take_off, method),
            narrow_ring(take_off, method),
            low_surfacing(take_off),
            no_type1(take_off),
            refused_lift(take_off, method),
            high_concrete(take_off, method),
            chosen_sides(take_off),
        ]
        .into_iter()
        .flatten(),
    );
    findings.extend(unlisted_mixtures(take_off, method));
    findings
        .into_iter()
        .map(|finding| finding.in_file("jobs.geojson").at(job.id.as_str()))
        .collect()
}

fn unusual_openings(job: &Job, method: &ParameterTable) -> Vec<Finding> {
    let bound = |key| method.value(key).map(|mm| Millimetres::from_mm(mm as i64));
    let (least, most) = (bound("chamber.clear_least"), bound("chamber.clear_most"));
    let sizes = [
        (
            "clear_length_mm",
            job.sizes.clear_length.or(bound("chamber.clear_length")),
        ),
        (
            "clear_width_mm",
            job.sizes.clear_width.or(bound("chamber.clear_width")),
        ),
    ];
    let unusual = |(property, size): (&str, Option<Millimetres>)| {
        let size = size?;
        let outside =
            least.is_some_and(|least| size < least) || most.is_some_and(|most| size > most);
        outside.then(|| {
            let (least, most) = (least.unwrap_or(size).mm(), most.unwrap_or(size).mm());
            Finding::warning(
                "C-OPENING",
                format!(
                    "a clear opening of {} mm is outside the usual {least} to {most} mm",
                    size.mm()
                ),
                "Check that the size is the clear opening, inside the frames.",
            )
            .of(property)
        })
    };
    sizes.into_iter().filter_map(unusual).collect()
}

fn unlisted_mixtures(take_off: &TakeOff, method: &ParameterTable) -> Vec<Finding> {
    let unlisted = |layer: &&Layer| LiftLimits::of(&layer.mixture, method).is_none();
    let warning = |layer: &Layer| {
        let (mixture, thickness) = (&layer.mixture, layer.thickness.mm());
        Finding::warning(
            "C-MIXTURE",
            format!("no lift limits are known for {mixture}: {thickness} mm are taken as one lift"),
            format!("Check its name, or add rows mixture.{mixture}.* with the maker's limits."),
        )
        .of("layers")
    };
    take_off
        .layers
        .iter()
        .filter(unlisted)
        .map(warning)
        .collect()
}

fn low_class(job: &Job) -> Option<Finding> {
    let (usual, group) = usual_load_class(job.position);
    let class = job.load_class.filter(|class| *class < usual)?;
    let warning = Finding::warning(
        "C-CLASS",
        format!("load class {class:?} is below {group}"),
        "Choose a stronger cover, or confirm with whoever specifies it.",
    );
    Some(warning.of("load_class"))
}

fn needless_sections(job: &Job) -> Option<Finding> {
    let sections = job
        .sizes
        .sections
        .filter(|n| job.work == Work::Adjust && *n > 0)?;
    let warning = Finding::warning(
        "C-ADJUST",
        format!("an adjustment stacks no sections, but {sections} are stated"),
        "State 0 sections, or make the work a replacement.",
    );
    Some(warning.of("sections"))
}

fn thin_base(take_off: &TakeOff, method: &ParameterTable) -> Option<Finding> {
    let least = method.value("chamber.base_least")?;
    let base = (take_off.levels.formation - take_off.levels.base_top).mm();
    (take_off.sections > 0 && (base as f64) < least).then(|| {
        Finding::warning(
            "C-BASE-THIN",
            format!("a base of {base} mm is thinner than the usual {least} mm"),
            "Check the base thickness against the design.",
        )
        .of("base_mm")
    })
}

fn narrow_ring(take_off: &TakeOff, method: &ParameterTable) -> Option<Finding> {
    let plate = method.value("chamber.plate")?;
    let spare = (take_off.dig_length - take_off.ironwork_length)
        .min(take_off.dig_width - take_off.ironwork_width);
    let ring = spare.mm() as f64 / 2.0;
    (take_off.position != Position::Verge && ring < plate).then(|| {
        Finding::warning(
            "C-RING",
            format!("{ring} mm beside the ironwork are too narrow for a plate of {plate} mm"),
            "Widen the working space, choose smaller ironwork, or tamp by hand.",
        )
        .of("margin_mm")
    })
}

fn low_surfacing(take_off: &TakeOff) -> Option<Finding> {
    let (surfacing, ironwork) = (
        take_off.levels.surfacing_bottom,
        take_off.levels.ironwork_bottom,
    );
    (take_off.position != Position::Verge && surfacing > ironwork).then(|| {
        let (surfacing, ironwork) = (surfacing.mm(), ironwork.mm());
        Finding::warning(
            "C-SURFACING-DEEP",
            format!("{surfacing} mm of surfacing reach below ironwork {ironwork} mm deep"),
            "Check the ironwork's depth or the surfacing left to place.",
        )
        .of("ironwork_depth_mm")
    })
}

fn no_type1(take_off: &TakeOff) -> Option<Finding> {
    let levels = take_off.levels;
    (take_off.sections > 0 && levels.type1_top == levels.base_top).then(|| {
        Finding::warning(
            "C-NO-TYPE1",
            "so few sections leave no depth for type 1: concrete reaches down to the base",
            "Check the number of sections.",
        )
        .of("sections")
    })
}

fn refused_lift(take_off: &TakeOff, method: &ParameterTable) -> Option<Finding> {
    let height = take_off.levels.base_top - take_off.levels.type1_top;
    if height == Millimetres::ZERO {
        return None;
    }
    let fault = lift_plan(height, Fill::Granular, method).err()?.pop()?;
    Some(Finding {
        severity: Severity::Warning,
        ..fault
    })
}

fn high_concrete(take_off: &TakeOff, method: &ParameterTable) -> Option<Finding> {
    let limit = method.value("chamber.concrete_below_road")?;
    let surfacing = take_off.levels.surfacing_bottom.mm();
    (take_off.position == Position::Carriageway && (surfacing as f64) < limit).then(|| {
        Finding::note(
            "C-CONCRETE-HIGH",
            format!(
                "concrete reaches {surfacing} mm below the road; SROH 4th edition, S11.5, lets bedding \
                 material fill to within {limit} mm"
            ),
            "Check with the street authority, or set chamber.surfacing.carriageway.",
        )
        .of("position")
    })
}
