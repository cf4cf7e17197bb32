//! One job followed back: every quantity with its formula, and its cross-section.

use gangday_calc::{
    Buying, Conditions, Explained as Quantity, Explaining, Explanation, Section, Vehicle,
    least_celsius, section, section_svg, wait_as_planned,
};
use gangday_model::{Finding, Job, JobId, Plan, Route, TakeOff, WaitKind};
use schemars::JsonSchema;
use serde::Serialize;

use crate::detail::road_type;
use crate::gang_days::vehicle;
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
    let week = &prepared.programme.week;
    let route = plan.and_then(|plan| route_of(plan, job));
    let gang = route.and_then(|route| prepared.gang_at(&route.gang));
    let figures = gang.and_then(|gang| prepared.figures_of(gang));
    let explaining = Explaining {
        method: figures.map_or(&prepared.method, |own| &*own.method),
        materials: &prepared.materials,
        rules: figures.map_or(usual, |own| &*own.rules),
        conditions: match route.zip(gang) {
            Some((route, gang)) => met(prepared, (route, gang), &own),
            None => prepared.conditions,
        },
        nation: prepared.programme.week.nation,
        road_type: prepared
            .index_of(&own.id)
            .and_then(|at| road_type(prepared, at)),
        buying: Buying {
            needed: Some((route.map_or(week.first_day, |route| route.date), week)),
            vehicle: gang.map_or_else(Vehicle::default, |gang| {
                vehicle(&prepared.programme.gangs[gang])
            }),
        },
    };
    let told = explaining.explain(&own, taken);
    let mut told =
        told.map_err(|faults| Refusal::because(&format!("{job} can't be worked out."), &faults))?;
    if let Some(route) = route {
        along_its_day(prepared, &explaining, (&own, route), &mut told.quantities);
    }
    Ok(Explained {
        reckoned_for: reckoned_for(prepared, route, explaining.conditions),
        told,
    })
}

/// The weather and gang of a job on its gang-day: of a day with temperatures by the hour, the coldest that
/// what the job places meets until it is ready. Where each material is warm enough in its own hours, none is
/// told that another's are too cold for it.
fn met(prepared: &Prepared, (route, gang): (&Route, usize), job: &Job) -> Conditions {
    let day = prepared.programme.week.temperature_on(route.date);
    let usual = prepared.conditions_on(gang, route.date);
    let (mut coldest, mut needed, mut fit) = (f64::INFINITY, f64::NEG_INFINITY, true);
    for (kind, start, (placed, ready)) in curing(prepared, route, job) {
        let until = if kind == WaitKind::Hold {
            placed
        } else {
            ready
        };
        let quarters = start / 15..=until.saturating_sub(1).max(start) / 15;
        let own = quarters.map(|quarter| day.in_quarter(quarter.min(95)));
        let own = own.fold(f64::INFINITY, f64::min);
        let least = least_celsius(&prepared.materials, kind).unwrap_or(f64::NEG_INFINITY);
        (coldest, needed) = (coldest.min(own), needed.max(least));
        fit &= own >= least;
    }
    if !coldest.is_finite() {
        return usual;
    }
    Conditions {
        celsius: if fit { coldest.max(needed) } else { coldest },
        ..usual
    }
}

/// What a job's visits place on a day with temperatures by the hour: the wait after it, when its visit starts,
/// and when it has been placed and is ready, in minutes of the day.
fn curing<'a>(
    prepared: &'a Prepared,
    route: &'a Route,
    job: &'a Job,
) -> impl Iterator<Item = (WaitKind, u32, (u32, u32))> + 'a {
    let work = prepared.work_on(&job.id, &route.gang, route.date);
    let own = route.visits.iter().filter(|visit| visit.job == job.id);
    own.filter_map(move |visit| {
        let mut stages = work?.stages.iter();
        let kind = stages.find(|own| own.stage == visit.stage)?.then?.kind;
        let minute = |time| words::minutes_of(time, route.date);
        let placed = minute(visit.finish);
        let ready = prepared.cure_on(route.date, kind)?.ready(placed * 60) / 60;
        Some((kind, minute(visit.start), (placed, ready)))
    })
}

/// Waits as they are planned along the temperatures of the job's gang-day, and what has aged then, where the
/// week states them by the hour.
fn along_its_day(
    prepared: &Prepared,
    explaining: &Explaining<'_>,
    (job, route): (&Job, &Route),
    told: &mut Vec<Quantity>,
) {
    let day = prepared.programme.week.temperature_on(route.date);
    for (kind, _, span) in curing(prepared, route, job) {
        wait_as_planned(told, kind, span);
        told.extend(explaining.aged_along(job, kind, &day, span));
    }
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
        return Err(not_there(opened, job));
    };
    let taken = prepared.take_offs[at].as_deref();
    let taken = taken.ok_or_else(|| refused(opened, job))?;
    let own = prepared.as_closed(at, &prepared.programme.jobs[at]);
    Ok((own, taken))
}

/// Where a job was refused when it was read, the reason; else there is none of that name.
fn not_there(opened: &Opened, job: &str) -> Refusal {
    let own =
        |finding: &Finding| finding.is_fault() && finding.place.feature.as_deref() == Some(job);
    let faults: Vec<_> = opened.findings().into_iter().filter(own).collect();
    if faults.is_empty() {
        let text = format!("There is no job {job}; `gangday totals --by job` lists all.");
        return Refusal::coded("D-NONE", &text);
    }
    Refusal::because(&format!("{job} can't be read as a job."), &faults)
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

    #[test]
    fn a_job_that_was_refused_when_it_was_read_is_told_why() {
        let jobs = br#"{"type": "FeatureCollection", "features": [{"type": "Feature", "id": "X1",
            "geometry": {"type": "Point", "coordinates": [0.1, 52.1]}, "properties": {"work": "new",
            "position": "footway", "clear_length_mm": 0, "clear_width_mm": 600, "sections": 4}}]}"#;
        let parts = gangday_files::Parts {
            jobs: Some(jobs),
            ..gangday_files::Parts::default()
        };
        let opened = Opened::from_parts("X", &parts, None);
        let refusal = explain(&opened, None, "X1").unwrap_err();
        let told = format!("{refusal:?}");
        assert!(
            told.contains("X1 can't be read") && told.contains("clear_length_mm"),
            "{told}"
        );
    }
}
