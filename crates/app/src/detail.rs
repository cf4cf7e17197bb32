//! One job in depth: its cross-section to draw and every quantity to follow back.

use gangday_calc::{Dimension, Explained, Opening, OpeningClass, Part, Section, Traced, opening};
use gangday_model::{JobId, Plan, TakeOff};

use crate::explaining::{cross_section, explain};
use crate::figures::figures;
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::refusal::views;
use crate::view::{
    DimensionView, JobDetail, QuantitiesView, QuantityView, Refusal, SectionPartView, SectionView,
    TracedView,
};
use crate::words;

/// A job in depth, its times as the plan's gang takes them that day.
///
/// # Errors
/// Where there is no such job, or it could not be worked out.
pub fn job_detail(opened: &Opened, plan: Option<&Plan>, job: &str) -> Result<JobDetail, Refusal> {
    let prepared = &opened.prepared;
    let told = explain(opened, plan, job)?;
    let (drawn, _) = cross_section(opened, job, 1)?;
    let at = prepared.index_of(&JobId::new(job));
    let taken = at.and_then(|at| prepared.take_offs[at].as_deref());
    let class = at
        .zip(taken)
        .and_then(|(at, taken)| class(prepared, at, taken));
    let work = at.and_then(|at| prepared.works[at].as_deref());
    let stages = work.iter().flat_map(|work| &work.stages);
    Ok(JobDetail {
        left: stages
            .map(|own| words::stage_key(own.stage).to_owned())
            .collect(),
        job: told.told.job.clone(),
        reckoned_for: told.reckoned_for,
        opening: class.as_ref().map_or_else(String::new, opening_words),
        opening_why: class.map_or_else(String::new, |class| class.why),
        figures: taken.map(figures).unwrap_or_default(),
        section: section_view(&drawn),
        quantities: parts(&told.told.quantities),
        findings: views(&told.told.findings),
    })
}

/// What the code calls the opening of a job.
pub fn class(prepared: &Prepared, at: usize, taken: &TakeOff) -> Option<Opening> {
    opening(taken, road_type(prepared, at), &prepared.method).ok()
}

/// The road type of a job's street, where it is known.
pub fn road_type(prepared: &Prepared, at: usize) -> Option<u8> {
    let street = prepared.streets[at].map(|street| &prepared.programme.streets[street]);
    street.and_then(|street| street.road_type)
}

fn opening_words(opening: &Opening) -> String {
    let class = match opening.class {
        OpeningClass::MicroTrench => "Micro-trench",
        OpeningClass::NarrowTrench => "Narrow trench",
        OpeningClass::Small if opening.edition == 3 => "Small excavation",
        OpeningClass::Small => "Small opening",
        OpeningClass::Other => "Other opening",
        OpeningClass::Unclassed => return String::new(),
    };
    let deep = if opening.deep { ", deep" } else { "" };
    let edition = if opening.edition == 3 { "3rd" } else { "4th" };
    format!("{class}{deep}, {edition} edition of the code")
}

fn section_view(drawn: &Section) -> SectionView {
    let points = || drawn.parts.iter().flat_map(|part| &part.outline);
    SectionView {
        width: 2.0 * points().map(|[across, _]| across.abs()).fold(0.0, f64::max),
        depth: points().map(|[_, depth]| *depth).fold(0.0, f64::max),
        parts: drawn
            .parts
            .iter()
            .map(|part| SectionPartView {
                what: part.what.clone(),
                outline: part.outline.clone(),
            })
            .collect(),
        across: drawn.across.iter().map(dimension).collect(),
        down: drawn.down.iter().map(dimension).collect(),
    }
}

fn dimension(dimension: &Dimension) -> DimensionView {
    DimensionView {
        name: dimension.name.clone(),
        from: dimension.from,
        to: dimension.to,
        mm: dimension.mm.to_string(),
        lane: dimension.lane,
    }
}

/// The quantities under the headings that they belong to, in the order of the work.
fn parts(all: &[Explained]) -> Vec<QuantitiesView> {
    let parts = [
        (Part::Volumes, "Sizes and volumes"),
        (Part::Amounts, "What it takes"),
        (Part::Concrete, "Concrete and mortar"),
        (Part::Times, "How long it lasts"),
        (Part::Health, "Vibration"),
    ];
    let under = |(part, title): (Part, &str)| {
        let own = all.iter().filter(|one| one.part == part);
        let quantities: Vec<_> = own.map(quantity).collect();
        let title = title.to_owned();
        (!quantities.is_empty()).then_some(QuantitiesView { title, quantities })
    };
    parts.into_iter().filter_map(under).collect()
}

fn quantity(told: &Explained) -> QuantityView {
    QuantityView {
        quantity: words::sentence(&told.quantity)
            .trim_end_matches('.')
            .to_owned(),
        value: format!("{} {}", words::tidy(told.value), words::unit(&told.unit)),
        formula: told.formula.clone(),
        numbers: told.numbers.clone(),
        parameters: told.parameters.iter().map(traced).collect(),
    }
}

fn traced(traced: &Traced) -> TracedView {
    TracedView {
        key: traced.key.clone(),
        value: format!(
            "{} {}",
            words::tidy(traced.value),
            words::unit(&traced.unit)
        ),
        source: traced.source.clone(),
        date: traced.date.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;
    use crate::view::DemoWeek;

    #[test]
    fn a_job_in_depth_tells_the_times_of_its_own_gang() {
        let opened = demo::open(DemoWeek::Small);
        let plan = opened.plan.clone().unwrap();
        let route = &plan.routes[0];
        let visit = &route.visits[0];
        let detail = job_detail(&opened, Some(&plan), visit.job.as_str()).unwrap();
        let gang = opened.prepared.programme.gang(&route.gang).unwrap();
        assert!(
            detail.reckoned_for.contains(&gang.name),
            "{}",
            detail.reckoned_for
        );
        let times = detail
            .quantities
            .iter()
            .find(|part| part.title == "How long it lasts");
        let dig = times
            .unwrap()
            .quantities
            .iter()
            .find(|one| one.quantity == "Dig, work");
        let minutes = (visit.finish - visit.start).num_minutes();
        assert_eq!(dig.unwrap().value, format!("{minutes} min"));
    }

    #[test]
    fn every_job_of_the_demo_has_a_section_that_fills_its_dig() {
        let opened = demo::open(DemoWeek::Full);
        for taken in opened.prepared.take_offs.iter().flatten() {
            let detail = job_detail(&opened, None, taken.job.as_str()).unwrap();
            let drawn = [detail.section.depth, detail.section.width];
            let dug = [taken.depth.mm(), taken.dig_width.mm()];
            assert_eq!(drawn.map(|mm| mm.round() as i64), dug);
            assert!(drawn.iter().all(|mm| mm.fract().abs() < 1e-9));
            assert!(detail.quantities.len() >= 4, "{}", detail.job);
        }
    }
}
