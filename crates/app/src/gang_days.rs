//! What a gang-day carries out and back, and what its tools do to whoever holds them.

use std::collections::HashMap;

use gangday_calc::{
    Carried, DayVibration, Haulage, ToolTime, Vehicle, day_vibration, handling, haulage,
};
use gangday_model::{Finding, Gang, Plan, Route};
use schemars::JsonSchema;
use serde::Serialize;

use crate::columns::{jobs_in_order, route_key};
use crate::prepared::Prepared;
use crate::totals::planned;
use crate::view::{CarriedView, GangDayDetail, GangDayView, ToolView, VibrationView};
use crate::words::{self, sentence};
use crate::{orders, totals};

/// A gang-day's loads and its vibration.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct GangDay {
    /// `gang@date`.
    pub key: String,
    /// Loads out and back, for what the day digs and places.
    pub haulage: Haulage,
    /// Vibration of one operative; none where a figure is missing, see `faults`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vibration: Option<DayVibration>,
    /// Why a figure could not be worked out.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub faults: Vec<Finding>,
}

/// Loads and vibration of this gang-day.
#[must_use]
pub fn gang_day(prepared: &Prepared, route: &Route) -> GangDay {
    let (vibration, faults) = match vibration(prepared, route) {
        Ok(day) => (Some(day), Vec::new()),
        Err(faults) => (None, faults),
    };
    GangDay {
        key: route_key(route),
        haulage: hauled(prepared, route),
        vibration,
        faults,
    }
}

fn hauled(prepared: &Prepared, route: &Route) -> Haulage {
    let gang = prepared.programme.gang(&route.gang);
    let vehicle = gang.map(vehicle).unwrap_or_default();
    let taken = planned(prepared, std::slice::from_ref(route));
    let taken = taken.iter().map(AsRef::as_ref);
    haulage(taken, &vehicle, &prepared.materials)
}

/// What it carries, by the stream, in t; streams of nothing are left out.
#[must_use]
pub fn masses(prepared: &Prepared, route: &Route) -> Vec<(&'static str, f64)> {
    let hauled = hauled(prepared, route);
    let masses = streams(&hauled).map(|(label, stream)| (label, stream.mass_t));
    masses.into_iter().filter(|(_, mass)| *mass > 0.0).collect()
}

fn streams(hauled: &Haulage) -> [(&'static str, &Carried); 3] {
    [
        ("Out to the jobs", &hauled.out),
        ("Spoil and old parts, to the tip", &hauled.spoil),
        ("Bituminous, to the tip by itself", &hauled.bituminous),
    ]
}

/// What a gang's vehicle may carry.
#[must_use]
pub fn vehicle(gang: &Gang) -> Vehicle {
    Vehicle {
        payload_t: gang.payload.map(gangday_model::Mass::tonnes),
        volume_m3: gang.volume_m3,
    }
}

/// Daily vibration exposure of one operative, m/s² A(8); none where a figure is missing.
#[must_use]
pub fn exposure(prepared: &Prepared, route: &Route) -> Option<f64> {
    vibration(prepared, route).ok().map(|day| day.a8)
}

/// The tools of every stage that the day visits, as the gang records them.
fn vibration(prepared: &Prepared, route: &Route) -> Result<DayVibration, Vec<Finding>> {
    let at = prepared.gang_at(&route.gang);
    let own = at.and_then(|at| prepared.figures_of(at));
    let rules = own.map(|own| &*own.rules).or(prepared.stages.as_deref());
    let method = own.map_or(&prepared.method, |own| &*own.method);
    let people = at.map_or(1, |at| prepared.programme.gangs[at].people);
    let mut held: Vec<(String, f64)> = Vec::new();
    for visit in &route.visits {
        let Some((rules, at)) = rules.zip(prepared.index_of(&visit.job)) else {
            continue;
        };
        let Some(taken) = &prepared.take_offs[at] else {
            continue;
        };
        let job = prepared.as_closed(at, &prepared.programme.jobs[at]);
        let activities = rules.activities(&job, taken, None)?;
        held.extend(activities.into_iter().filter_map(|activity| {
            let tool = activity.tool.filter(|_| activity.stage == visit.stage)?;
            Some((tool.to_owned(), activity.minutes))
        }));
    }
    let tools = held.iter().map(|(tool, minutes)| (tool.as_str(), *minutes));
    day_vibration(tools, people, method)
}

/// Pours that this plan's gangs can't mix within the open time, though the usual gang could.
fn pours(prepared: &Prepared, route: &Route) -> Vec<Finding> {
    let at = prepared.gang_at(&route.gang);
    let Some((own, at)) = at.and_then(|at| Some((prepared.figures_of(at)?, at))) else {
        return Vec::new();
    };
    let people = Some(prepared.programme.gangs[at].people);
    let jobs = jobs_in_order(route).into_iter();
    let taken = jobs.filter_map(|job| prepared.left_of(prepared.index_of(job)?));
    let found = taken.flat_map(|taken| own.rules.large_pours(taken, people).unwrap_or_default());
    let known = |finding: &Finding| {
        let same = |other: &Finding| other.code == finding.code && other.place == finding.place;
        prepared.findings().iter().any(same)
    };
    found.filter(|finding| !known(finding)).collect()
}

/// A fault for each gang-day past the vibration limit value, a warning past the action value; and
/// pours that are too large for the gang that has them.
#[must_use]
pub fn health(prepared: &Prepared, plan: &Plan) -> Vec<Finding> {
    let found = plan.routes.iter().flat_map(|route| {
        let found = match vibration(prepared, route) {
            Ok(day) => day.finding.into_iter().collect(),
            Err(faults) => faults,
        };
        let of_day = found
            .into_iter()
            .map(|finding| of_day(prepared, route, finding));
        of_day.chain(pours(prepared, route)).collect::<Vec<_>>()
    });
    found.collect()
}

/// One line on the gang-days that shake past a value of the regulations; none where none does.
#[must_use]
pub fn shaken(prepared: &Prepared, plan: &Plan) -> Option<String> {
    let found = health(prepared, plan);
    let days = |code: &str| found.iter().filter(|finding| finding.code == code).count();
    let (action, limit) = (days("C-EAV"), days("C-ELV"));
    let told = [(limit, "limit"), (action, "action")].into_iter();
    let told = told.filter(|(count, _)| *count > 0).map(|(count, value)| {
        let days = words::count(count, "gang-day", "gang-days");
        format!("{days} past the exposure {value} value")
    });
    let told: Vec<String> = told.collect();
    (!told.is_empty()).then(|| format!("Vibration: {}; verify names each.", told.join(", ")))
}

/// The finding of a gang-day, named by it.
fn of_day(prepared: &Prepared, route: &Route, finding: Finding) -> Finding {
    let gang = prepared.programme.gang_name(&route.gang);
    let day = words::day(route.date);
    let text = format!("Gang-day of {gang} on {day}: {}", finding.text);
    Finding { text, ..finding }.at(format!("{} {}", route.gang, route.date))
}

/// Some gang-days in depth; those that the plan doesn't have are left out.
#[must_use]
pub fn details(prepared: &Prepared, plan: &Plan, keys: &[String]) -> Vec<GangDayDetail> {
    let routes = plan.routes.iter();
    let routes: HashMap<String, &Route> = routes.map(|route| (route_key(route), route)).collect();
    let asked = keys.iter().filter_map(|key| Some((key, *routes.get(key)?)));
    let detail = |(key, route): (&String, &Route)| GangDayDetail {
        key: key.clone(),
        order: orders::in_words(&totals::order_of_route(prepared, route)),
        carried: view(prepared, route),
    };
    asked.map(detail).collect()
}

/// A gang-day as it is shown.
#[must_use]
pub fn view(prepared: &Prepared, route: &Route) -> GangDayView {
    let day = gang_day(prepared, route);
    let streams = streams(&day.haulage);
    GangDayView {
        key: day.key.clone(),
        vehicle: vehicle_words(prepared, route),
        carried: streams
            .into_iter()
            .filter(|(_, stream)| stream.mass_t > 0.0)
            .map(|(label, stream)| carried_view(label, stream))
            .collect(),
        vibration: day.vibration.as_ref().map(|day| felt(prepared, day)),
        handling: handling_words(prepared, route),
        faults: day
            .faults
            .iter()
            .map(|fault| sentence(&fault.text))
            .collect(),
    }
}

fn vehicle_words(prepared: &Prepared, route: &Route) -> String {
    let own = prepared.programme.gang(&route.gang).map(vehicle);
    let own = own.unwrap_or_default();
    let usual = || prepared.materials.value("load.payload");
    let payload = match own.payload_t {
        Some(payload) => format!("Payload {payload:.1} t"),
        None => usual().map_or_else(String::new, |usual| {
            format!("Payload {usual:.1} t, as no other is stated")
        }),
    };
    match own.volume_m3 {
        Some(body) => format!("{payload}, body {body:.1} m³"),
        None => payload,
    }
}

fn carried_view(label: &str, stream: &Carried) -> CarriedView {
    CarriedView {
        label: label.to_owned(),
        mass: format!("{:.1} t", stream.mass_t),
        volume: format!("{:.1} m³ loose", stream.loose_m3),
        loads: words::count(stream.loads as usize, "load", "loads"),
        why: stream.why.clone(),
    }
}

fn felt(prepared: &Prepared, day: &DayVibration) -> VibrationView {
    let value = |key: &str| prepared.method.value(key).unwrap_or(0.0);
    let (action, limit) = (
        value("vibration.action_value"),
        value("vibration.limit_value"),
    );
    let (past, words) = match day.a8 {
        a8 if a8 > limit => ("limit", format!("Past the limit value of {limit} m/s²")),
        a8 if a8 > action => ("action", format!("Past the action value of {action} m/s²")),
        _ => ("below", format!("Below the action value of {action} m/s²")),
    };
    VibrationView {
        a8: format!("{:.1}", day.a8),
        exposure: day.a8,
        action,
        limit,
        points: format!("{:.0}", day.points),
        past: past.to_owned(),
        words,
        remedy: day
            .finding
            .as_ref()
            .map_or_else(String::new, |found| found.remedy.clone()),
        tools: day.tools.iter().map(tool).collect(),
    }
}

fn tool(tool: &ToolTime) -> ToolView {
    ToolView {
        tool: sentence(&tool.tool.replace('_', " "))
            .trim_end_matches('.')
            .to_owned(),
        minutes: format!("{:.0} min", tool.minutes),
        magnitude: format!("{} m/s²", tool.magnitude),
        points: format!("{:.0}", tool.points),
    }
}

/// What is heavy among the day's jobs: `J027 73 kg, J029 57 kg a section: past the guideline …`.
fn handling_words(prepared: &Prepared, route: &Route) -> Vec<String> {
    let mut heavy: Vec<(String, Vec<String>)> = Vec::new();
    for job in jobs_in_order(route) {
        let at = prepared.index_of(job);
        let taken = at.and_then(|at| prepared.left_of(at));
        // Of what was built in an earlier week nothing is lifted any more.
        let Some(taken) = taken.filter(|taken| taken.sections > 0) else {
            continue;
        };
        let Some(note) = handling(taken, &prepared.method) else {
            continue;
        };
        let past = note.text.split_once(", ").map_or("", |(_, past)| past);
        let text = format!("{past}. {}", note.remedy);
        let own = format!("{job} {:.0} kg", taken.section_mass.kg());
        match heavy.iter_mut().find(|(known, _)| *known == text) {
            Some((_, jobs)) => jobs.push(own),
            None => heavy.push((text, vec![own])),
        }
    }
    heavy
        .into_iter()
        .map(|(text, jobs)| format!("{} a section: {text}", jobs.join(", ")))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::health;
    use crate::totals::{OrderBy, totals};
    use crate::view::DemoWeek;
    use crate::{demo, words};

    #[test]
    fn every_gang_day_of_the_demo_has_loads_and_vibration() {
        let opened = demo::open(DemoWeek::Small);
        let plan = opened.plan.clone().unwrap();
        let report = totals(&opened, Some(&plan), OrderBy::Route, false).unwrap();
        assert_eq!(report.gang_days.len(), plan.routes.len());
        for day in &report.gang_days {
            let vibration = day.vibration.as_ref().unwrap();
            assert!((vibration.points - vibration.a8.powi(2) * 16.0).abs() < 1e-6);
            assert!(day.faults.is_empty());
        }
    }

    #[test]
    fn what_shakes_too_much_names_the_gang_and_the_day_in_words() {
        let opened = demo::open(DemoWeek::Full);
        let plan = opened.plan.clone().unwrap();
        let found = health(&opened.prepared, &plan);
        let shaken = found.iter().filter(|one| one.code == "C-EAV");
        let gangs = &opened.prepared.programme.gangs;
        let mut told = 0;
        for one in shaken {
            let key = one.place.feature.clone().unwrap();
            let (id, date) = key.split_once(' ').unwrap();
            let gang = gangs.iter().find(|gang| gang.id.as_str() == id).unwrap();
            let day = words::day(date.parse().unwrap());
            let start = format!("Gang-day of {} on {day}: ", gang.name);
            assert!(one.text.starts_with(&start), "{}", one.text);
            told += 1;
        }
        assert!(told > 0);
    }

    #[test]
    fn bags_with_leftovers_are_never_more_than_without() {
        let opened = demo::open(DemoWeek::Small);
        let plan = opened.plan.clone().unwrap();
        let bags = |leftovers| -> u32 {
            let report = totals(&opened, Some(&plan), OrderBy::Day, leftovers).unwrap();
            let lines = report.totals.iter().flat_map(|order| &order.materials);
            let packed = lines.filter_map(|line| line.packs.as_ref());
            packed
                .filter(|packs| packs.name == "bag")
                .map(|packs| packs.count)
                .sum()
        };
        assert!(bags(true) > 0 && bags(true) <= bags(false));
    }
}
