//! One job followed back: every quantity with its formula, and its cross-section.

use gangday_calc::{Conditions, Explaining, Explanation, Section, section, section_svg};
use gangday_model::{Finding, Job, JobId, Plan, Route, TakeOff};
use schemars::JsonSchema;
use serde::Serialize;

use crate::detail::road_type;
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::view::Refusal;
use crate::words;

/// A job followed back.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Explained {
    /// For which gang, day and temperature its times are reckoned.
    pub reckoned_for: String,
    /// The quantities.
    #[serde(flatten)]
    pub told: Explanation,
}

impl Explained {
    /// Whether nothing about this job is a fault, such as tools past the vibration limit value.
    #[must_use]
    pub fn sound(&self) -> bool {
        !self.told.findings.iter().any(Finding::is_fault)
    }
}

/// Every quantity of a job as formula, numbers and figures with their sources.
///
/// Where the plan has it on a gang-day, times are that gang's on that day; else the usual gang's.
///
/// # Errors
/// Where there is no such job, or it could not be worked out.
pub fn explain(opened: &Opened, plan: Option<&Plan>, job: &str) -> Result<Explained, Refusal> {
    let prepared = &opened.prepared;
    let (own, taken) = job_of(opened, job)?;
    let Some(usual) = &prepared.stages else {
        return Err(refused(opened, job));
    };
    let route = plan.and_then(|plan| route_of(plan, job));
    let gang = route.and_then(|route| prepared.gang_at(&route.gang));
    let figures = gang.and_then(|gang| prepared.figures_of(gang));
    let explaining = Explaining {
        method: figures.map_or(&prepared.method, |own| &own.method),
        materials: &prepared.materials,
        rules: figures.map_or(usual, |own| &own.rules),
        conditions: match route.zip(gang) {
            Some((route, gang)) => prepared.conditions_on(gang, route.date),
            None => prepared.conditions,
        },
        nation: prepared.programme.week.nation,
        road_type: prepared
            .index_of(&own.id)
            .and_then(|at| road_type(prepared, at)),
    };
    let told = explaining.explain(&own, taken);
    let told =
        told.map_err(|faults| Refusal::because(&format!("{job} can't be worked out."), &faults))?;
    Ok(Explained {
        reckoned_for: reckoned_for(prepared, route, explaining.conditions),
        told,
    })
}

/// The gang-day that a plan gives a job to.
fn route_of<'a>(plan: &'a Plan, job: &str) -> Option<&'a Route> {
    let has = |route: &&Route| route.visits.iter().any(|visit| visit.job.as_str() == job);
    plan.routes.iter().find(has)
}

/// `Gang Oak, 3 people, Mon 1 Mar at 10 °C`.
fn reckoned_for(prepared: &Prepared, route: Option<&Route>, conditions: Conditions) -> String {
    let celsius = conditions.celsius;
    let gang = route.and_then(|route| Some((prepared.programme.gang(&route.gang)?, route.date)));
    match gang {
        Some((gang, date)) => format!(
            "{}, {}, {} at {celsius} °C",
            gang.name,
            words::count(gang.people as usize, "person", "people"),
            words::day(date)
        ),
        None => format!("The usual gang at {celsius} °C"),
    }
}

/// The cross-section of a job's chamber, as data and as an SVG at 1 : `scale`.
///
/// # Errors
/// Where there is no such job, or it could not be worked out.
pub fn cross_section(opened: &Opened, job: &str, scale: u32) -> Result<(Section, String), Refusal> {
    let (_, taken) = job_of(opened, job)?;
    let drawn = section(taken);
    let svg = section_svg(&drawn, scale);
    Ok((drawn, svg))
}

/// The job as it is worked out, its closure among it.
fn job_of<'a>(opened: &'a Opened, job: &str) -> Result<(Job, &'a TakeOff), Refusal> {
    let prepared: &Prepared = &opened.prepared;
    let Some(at) = prepared.index_of(&JobId::new(job)) else {
        let text = format!("There is no job {job}; `gangday totals --by job` lists all.");
        return Err(Refusal::plain(&text));
    };
    let taken = prepared.take_offs[at].as_deref();
    let taken = taken.ok_or_else(|| refused(opened, job))?;
    let own = prepared.as_closed(at, &prepared.programme.jobs[at]);
    Ok((own, taken))
}

fn refused(opened: &Opened, job: &str) -> Refusal {
    let about = |finding: &Finding| finding.is_fault();
    let faults: Vec<_> = opened.findings().into_iter().filter(about).collect();
    Refusal::because(&format!("{job} can't be worked out."), &faults)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;
    use crate::view::DemoWeek;

    #[test]
    fn every_job_of_the_demo_can_be_followed_back() {
        let opened = demo::open(DemoWeek::Small);
        for job in &opened.prepared.programme.jobs {
            let told = explain(&opened, None, job.id.as_str()).unwrap().told;
            let depth = &told.quantities[0];
            let at = opened.prepared.index_of(&job.id).unwrap();
            let taken = opened.prepared.take_offs[at].as_ref().unwrap();
            assert_eq!(depth.value.to_string(), taken.depth.mm().to_string());
            let (drawn, svg) = cross_section(&opened, job.id.as_str(), 20).unwrap();
            assert_eq!(svg.matches("<polygon").count(), drawn.parts.len());
        }
    }

    #[test]
    fn a_job_that_is_not_there_is_refused() {
        let opened = demo::open(DemoWeek::Small);
        let refusal = explain(&opened, None, "none").unwrap_err();
        assert!(refusal.text.contains("no job none"), "{}", refusal.text);
    }
}
