//! The client page, filled from a programme and its plan.

use std::collections::{BTreeSet, HashMap};

use chrono::{Local, NaiveDate, TimeDelta};
use gangday_model::{Closure, GangId, LonLat, Plan, Street};
use gangday_reports::{
    Backdrop, BackdropKind, Caution, ClientPage, Day, PlaneRing, StreetLine, WorkEntry,
};
use serde_json::Value;

use crate::attributions::attributions;
use crate::closures::Public;
use crate::job_view::{called, job_view, street_name};
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::sheet::{cautions, mark, nation};
use crate::{diary, over, words};

/// The client page as one self-contained HTML text.
#[must_use]
pub fn client_page(opened: &Opened, plan: &Plan, public: &Public) -> String {
    gangday_reports::client_page(&page(opened, plan, public))
}

fn page(opened: &Opened, plan: &Plan, public: &Public) -> ClientPage {
    let prepared = &opened.prepared;
    let week = &prepared.programme.week;
    let dates: Vec<NaiveDate> = days_shown(prepared, plan);
    let label = diary::label(&opened.diary, plan);
    let today = || week.today.unwrap_or_else(|| Local::now().date_naive());
    ClientPage {
        programme: prepared.programme.name.clone(),
        nation: nation(&prepared.programme),
        week: format!("Week of {}", words::long_date(week.first_day)),
        issue: label.words,
        issued_on: words::long_date(label.on.unwrap_or_else(today)),
        prepared_by: "Prepared with Gangday".to_owned(),
        invented: opened.is_invented(),
        notes: vec![prepared.plane.describe(), prepared.travel.describe()],
        attributions: attributions(prepared),
        streets: prepared
            .programme
            .streets
            .iter()
            .map(|one| street(prepared, one))
            .collect(),
        backdrop: backdrop(opened),
        days: dates.iter().map(|date| day(*date)).collect(),
        works: works(prepared, public, &dates),
        unplanned: over::how_many_left_out(plan),
        cautions: cautions()
            .into_iter()
            .map(|one| Caution {
                title: one.title,
                text: one.text,
                source: one.source,
            })
            .collect(),
    }
}

/// Every working day, and any other on which something is planned.
fn days_shown(prepared: &Prepared, plan: &Plan) -> Vec<NaiveDate> {
    let week = &prepared.programme.week;
    let working = week
        .calendar_days()
        .filter(|date| week.is_working_day(*date));
    let busy = plan.routes.iter().map(|route| route.date);
    working
        .chain(busy)
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect()
}

fn day(date: NaiveDate) -> Day {
    Day {
        date: date.format("%A %-d %B %Y").to_string(),
        label: date.format("%a %-d").to_string(),
    }
}

fn street(prepared: &Prepared, street: &Street) -> StreetLine {
    StreetLine {
        name: street.name.clone().unwrap_or_default(),
        road_type: street.road_type,
        width_m: street.width_m,
        lines: street
            .lines
            .iter()
            .map(|line| on_plane(prepared, line))
            .collect(),
    }
}

fn on_plane(prepared: &Prepared, places: &[LonLat]) -> PlaneRing {
    places
        .iter()
        .filter_map(|place| metres(prepared, *place))
        .collect()
}

fn metres(prepared: &Prepared, place: LonLat) -> Option<(f64, f64)> {
    prepared
        .plane
        .to_plane(place)
        .map(|point| (point.east_m(), point.north_m()))
}

fn works(prepared: &Prepared, public: &Public, dates: &[NaiveDate]) -> Vec<WorkEntry> {
    let gangs: HashMap<&GangId, usize> = prepared
        .programme
        .gangs
        .iter()
        .enumerate()
        .map(|(at, gang)| (&gang.id, at))
        .collect();
    let mut closures: Vec<&Closure> = public.closures.iter().collect();
    closures.sort_by(|a, b| (a.start, &a.job).cmp(&(b.start, &b.job)));
    closures
        .into_iter()
        .filter_map(|closure| work(prepared, closure, &gangs, dates))
        .collect()
}

fn work(
    prepared: &Prepared,
    closure: &Closure,
    gangs: &HashMap<&GangId, usize>,
    dates: &[NaiveDate],
) -> Option<WorkEntry> {
    let at = prepared.index_of(&closure.job)?;
    let gang = closure
        .worked
        .and_then(|_| gangs.get(&closure.gang).copied());
    let last = (closure.end - TimeDelta::seconds(1)).date();
    let shown = |date: &NaiveDate| (closure.start.date()..=last).contains(date);
    let (from, to) = words::there(closure);
    Some(WorkEntry {
        job: closure.job.to_string(),
        title: job_view(prepared, at, 0.0, &[]).title,
        street: street_name(prepared, at).unwrap_or_default(),
        called: called(&prepared.programme.jobs[at]).unwrap_or_default(),
        day: dates.iter().position(shown)?,
        last_day: dates.iter().rposition(shown)?,
        gang_mark: gang.map_or_else(String::new, mark),
        gang: match (gang, closure.worked) {
            (Some(at), _) => prepared.programme.gangs[at].name.clone(),
            (None, Some(_)) => closure.gang.to_string(),
            (None, None) => "Nobody in this week".to_owned(),
        },
        from: from.unwrap_or_default(),
        to,
        closure: closure.kind,
        closure_words: words::closed(closure).to_owned(),
        because: closure.because.clone(),
        footprint: on_plane(prepared, &closure.footprint),
        at: metres(prepared, prepared.programme.jobs[at].at)?,
    })
}

/// The backdrop's shapes; whatever is not a shape of a known kind is left out.
fn backdrop(opened: &Opened) -> Vec<Backdrop> {
    let text = opened.backdrop.as_deref().unwrap_or_default();
    let value: Value = serde_json::from_str(text).unwrap_or_default();
    let features = value["features"]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default();
    features
        .iter()
        .flat_map(|feature| shapes(&opened.prepared, feature))
        .collect()
}

fn shapes(prepared: &Prepared, feature: &Value) -> Vec<Backdrop> {
    let kind = match feature["properties"]["kind"].as_str() {
        Some("water") => BackdropKind::Water,
        Some("green") => BackdropKind::Green,
        _ => return Vec::new(),
    };
    let places = &feature["geometry"]["coordinates"];
    let polygons: Vec<Vec<Vec<LonLat>>> = match feature["geometry"]["type"].as_str() {
        Some("Polygon") => serde_json::from_value(places.clone()).into_iter().collect(),
        Some("MultiPolygon") => serde_json::from_value(places.clone()).unwrap_or_default(),
        _ => Vec::new(),
    };
    let rings = |polygon: Vec<Vec<LonLat>>| Backdrop {
        kind,
        rings: polygon
            .iter()
            .map(|ring| on_plane(prepared, ring))
            .collect(),
    };
    polygons.into_iter().map(rings).collect()
}
