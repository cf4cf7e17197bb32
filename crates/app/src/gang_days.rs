//! What a gang-day carries out and back, and what its tools do to whoever holds them.

use gangday_calc::{DayVibration, Haulage, Vehicle, as_recorded, day_vibration, haulage};
use gangday_model::{Finding, Gang, Route};
use schemars::JsonSchema;
use serde::Serialize;

use crate::columns::route_key;
use crate::prepared::Prepared;

/// A gang-day's loads and its vibration.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct GangDay {
    /// `gang@date`.
    pub key: String,
    /// Loads out and back, for the jobs that the day begins.
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
    let gang = prepared.programme.gang(&route.gang);
    let vehicle = gang.map(vehicle).unwrap_or_default();
    let begun = route
        .visits
        .iter()
        .filter(|visit| visit.stage == gangday_model::Stage::Dig)
        .filter_map(|visit| prepared.take_offs[prepared.index_of(&visit.job)?].as_ref());
    let (vibration, faults) = match vibration(prepared, route, gang) {
        Ok(day) => (Some(day), Vec::new()),
        Err(faults) => (None, faults),
    };
    GangDay {
        key: route_key(route),
        haulage: haulage(begun, &vehicle, &prepared.materials),
        vibration,
        faults,
    }
}

fn vehicle(gang: &Gang) -> Vehicle {
    Vehicle {
        payload_t: gang.payload.map(gangday_model::Mass::tonnes),
        volume_m3: gang.volume_m3,
    }
}

/// The tools of every stage that the day visits, as the gang records them.
fn vibration(
    prepared: &Prepared,
    route: &Route,
    gang: Option<&Gang>,
) -> Result<DayVibration, Vec<Finding>> {
    let method = match gang {
        Some(gang) => as_recorded(&prepared.method, gang)?,
        None => prepared.method.clone(),
    };
    let people = gang.map(|gang| gang.people);
    let mut held: Vec<(String, f64)> = Vec::new();
    for visit in &route.visits {
        let Some((rules, at)) = prepared.stages.as_ref().zip(prepared.index_of(&visit.job)) else {
            continue;
        };
        let Some(taken) = &prepared.take_offs[at] else {
            continue;
        };
        let activities = rules.activities(&prepared.programme.jobs[at], taken, None)?;
        held.extend(activities.into_iter().filter_map(|activity| {
            let tool = activity.tool.filter(|_| activity.stage == visit.stage)?;
            Some((tool.to_owned(), activity.minutes))
        }));
    }
    let tools = held.iter().map(|(tool, minutes)| (tool.as_str(), *minutes));
    day_vibration(tools, people.unwrap_or(1), &method)
}

#[cfg(test)]
mod tests {
    use crate::demo;
    use crate::totals::{OrderBy, totals};
    use crate::view::DemoWeek;

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
