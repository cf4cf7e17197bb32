//! What is too heavy to lift without a thought.

use gangday_model::{Finding, ParameterTable, TakeOff};

/// A note where one section is heavier than the guideline filter for lifting by hand.
///
/// # Units
/// Kilograms.
///
/// # Source
/// HSE L23 and INDG143, from memory, as rows `handling.*`: a filter, not a limit, and nothing
/// below it is thereby safe.
///
/// ```
/// use gangday_calc::{handling, shipped_materials, shipped_method, take_off};
/// use gangday_model::{Job, LonLat, Position, Work};
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Footway);
/// let taken = take_off(&job, &method, &materials).unwrap();
/// // 0.9 x 0.9 less 0.6 x 0.6, 0.15 m deep, at 2400 kg/m3: 162 kg.
/// assert!(handling(&taken, &method).unwrap().text.contains("162 kg"));
/// ```
#[must_use]
pub fn handling(take_off: &TakeOff, method: &ParameterTable) -> Option<Finding> {
    let less = method.value("handling.guide_less")?;
    let more = method.value("handling.guide_more")?;
    let mass = take_off.section_mass.kg();
    if mass <= less {
        return None;
    }
    let past = if mass > more {
        format!("past the guideline filter of {more} kg for men and {less} kg for women")
    } else {
        format!("past the guideline filter of {less} kg for women")
    };
    let note = Finding::note(
        "C-HANDLING",
        format!("one section weighs {mass:.0} kg, {past}"),
        "Assess the lift: a lifting aid, more people or smaller parts. A filter is not a limit.",
    );
    Some(
        note.in_file("jobs.geojson")
            .at(take_off.job.as_str())
            .of("wall_mm"),
    )
}
