//! Gang sheets, filled from a programme and its plan.

use gangday_model::{JobId, Plan, Route, Visit, WaitKind};
use gangday_reports::{GangSheet, SheetLine, SheetSection, SheetVisit};

use crate::explaining::cross_section;
use crate::job_view::called;
use crate::opened::Opened;
use crate::orders::in_words;
use crate::prepared::Prepared;
use crate::sheet::cautions;
use crate::totals::order_of_route;
use crate::{diary, words};

/// The scale that sections are drawn to.
const SCALE: u32 = 20;

/// The name of a file and what is in it, for each gang-day of a plan; each is drawn when it is asked for.
pub fn each<'a>(opened: &'a Opened, plan: &'a Plan) -> impl Iterator<Item = (String, String)> + 'a {
    let issue = diary::label(&opened.diary, plan).words;
    let sheet = move |(at, route): (usize, &Route)| {
        let named = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
        let gang: String = route.gang.as_str().chars().map(named).take(40).collect();
        let name = format!("gang-{:02}-{}-{gang}.html", at + 1, route.date);
        let sheet = of_route(opened, route, &issue);
        (name, gangday_reports::gang_sheet(&sheet))
    };
    plan.routes.iter().enumerate().map(sheet)
}

fn of_route(opened: &Opened, route: &Route, issue: &str) -> GangSheet {
    let prepared = &opened.prepared;
    let gang = prepared.programme.gang(&route.gang);
    let gang = gang.map_or_else(
        || route.gang.to_string(),
        |gang| {
            let people = words::count(gang.people as usize, "person", "people");
            format!("{}, {people}", gang.name)
        },
    );
    let order = in_words(&order_of_route(prepared, route));
    let line = |line: crate::view::MaterialView| SheetLine {
        ordered: format!("{} {}", line.ordered, line.unit),
        name: line.name,
        packs: line.packs,
        rounding: line.rounding,
        order_by: line.order_by,
    };
    let mut jobs: Vec<&str> = route
        .visits
        .iter()
        .map(|visit| visit.job.as_str())
        .collect();
    let mut seen = std::collections::HashSet::new();
    jobs.retain(|job| seen.insert(*job));
    let begun = jobs
        .iter()
        .filter_map(|job| prepared.begun_in_words(&JobId::new(*job)));
    let begun: Vec<String> = begun.collect();
    let always = cautions().into_iter();
    GangSheet {
        programme: prepared.programme.name.clone(),
        issue: issue.to_owned(),
        gang,
        day: words::long_date(route.date),
        invented: opened.is_invented(),
        visits: route
            .visits
            .iter()
            .map(|one| visit(prepared, route, one))
            .collect(),
        order: order.materials.into_iter().map(line).collect(),
        sections: jobs
            .into_iter()
            .filter_map(|job| section(opened, job))
            .collect(),
        cautions: begun
            .into_iter()
            .chain(always.map(|one| format!("{}: {}", one.title, one.text)))
            .collect(),
    }
}

fn visit(prepared: &Prepared, route: &Route, visit: &Visit) -> SheetVisit {
    let minute = |time| words::minutes_of(time, route.date);
    let clock = |time| words::clock_on(route.date, minute(time));
    let work = prepared.work_on(&visit.job, &route.gang, route.date);
    let stage = work.and_then(|work| work.stages.iter().find(|one| one.stage == visit.stage));
    let then = stage.and_then(|stage| stage.then).map(|wait| {
        let along = prepared.cure_on(route.date, wait.kind);
        let until = match along.filter(|_| wait.kind != WaitKind::Hold) {
            Some(cure) => cure.ready(minute(visit.finish) * 60) / 60,
            None => minute(visit.finish) + u32::try_from(wait.time.minutes_up()).unwrap_or(0),
        };
        format!(
            "{} until {}",
            words::wait(wait.kind),
            words::clock_on(route.date, until)
        )
    });
    SheetVisit {
        time: format!("{} to {}", clock(visit.start), clock(visit.finish)),
        job: job_in_words(prepared, visit),
        stage: words::stage(visit.stage).to_owned(),
        then: then.unwrap_or_default(),
    }
}

/// A job, what people call it and its street: `J014, by the lych gate, Minster Road`.
fn job_in_words(prepared: &Prepared, visit: &Visit) -> String {
    let at = prepared.index_of(&visit.job);
    let street = at.and_then(|at| prepared.streets[at]);
    let name = street.and_then(|street| prepared.programme.streets[street].name.clone());
    let called = at.and_then(|at| called(&prepared.programme.jobs[at]));
    // What people call it may name the street already.
    let said = |name: &String| called.as_ref().is_some_and(|words| words.contains(name));
    let name = name.filter(|name| !said(name));
    [Some(visit.job.to_string()), called, name]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(", ")
}

fn section(opened: &Opened, job: &str) -> Option<SheetSection> {
    let (drawn, svg) = cross_section(opened, job, SCALE).ok()?;
    let dimensions = drawn.across.iter().chain(&drawn.down);
    Some(SheetSection {
        title: format!("{job}, 1 : {SCALE}"),
        svg,
        dimensions: dimensions
            .map(|one| (one.name.clone(), one.mm.to_string()))
            .collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;
    use crate::view::DemoWeek;
    use crate::{PlanOptions, make_plan};

    #[test]
    fn every_gang_day_has_a_sheet_with_a_section_of_each_of_its_chambers() {
        let opened = demo::open(DemoWeek::Small);
        let options = PlanOptions {
            iterations: Some(100),
            seed: 1,
            ..PlanOptions::default()
        };
        let plan = make_plan(&opened, &options, None, &mut |_| true).unwrap();
        let sheets: Vec<_> = each(&opened, &plan).collect();
        let prepared = &opened.prepared;
        assert_eq!(sheets.len(), plan.routes.len());
        for ((name, html), route) in sheets.iter().zip(&plan.routes) {
            assert!(name.ends_with(".html") && !name.contains('/'), "{name}");
            let jobs: std::collections::HashSet<_> =
                route.visits.iter().map(|visit| &visit.job).collect();
            assert_eq!(html.matches("data:image/svg+xml").count(), jobs.len());
            assert!(jobs.iter().all(|job| html.contains(job.as_str())));
            let places = jobs.iter().map(|job| prepared.index_of(job).unwrap());
            for street in places.filter_map(|at| prepared.streets[at]) {
                let name = prepared.programme.streets[street].name.as_deref();
                // What people call a job may name it: `49 Fullers Row`.
                assert!(html.contains(name.unwrap()));
            }
            assert!(html.contains("Base concrete") && html.contains(" until "));
        }
    }
}
