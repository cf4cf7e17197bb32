//! The vehicle never bears more than its payload, nor its body more than it holds.
//!
//! What is loaded at the depot is for the jobs first visited before the next loading there; it is set
//! down, and the spoil taken on, at a job's first visit.

use std::collections::{HashMap, HashSet};

use chrono::NaiveDateTime;
use gangday_model::{Finding, Gang, HaltKind, JobId, Route};

use super::Burden;
use super::case::{Case, clock};

/// Kilograms and litres.
type Load = (u64, u64);

/// What happens to the load, and when.
enum Event<'a> {
    Reload,
    Tip,
    First(&'a Burden),
}

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let burdens = case.brief.limits.burdens.iter();
    let burdens: HashMap<&JobId, &Burden> = burdens.map(|burden| (&burden.job, burden)).collect();
    for (route, gang) in case.crewed() {
        if let Some((at, load)) = heaviest(route, gang, &burdens) {
            let text = format!(
                "from {} the vehicle bears {} kg and {} litres, more than it may",
                clock(at),
                load.0,
                load.1
            );
            let remedy = "go by the tip or the depot before that, or give a job to another gang";
            found.push(case.of_route("R-LOAD", route, text, remedy));
        }
    }
}

/// The first time that the vehicle bears too much, and how much.
fn heaviest(
    route: &Route,
    gang: &Gang,
    burdens: &HashMap<&JobId, &Burden>,
) -> Option<(NaiveDateTime, Load)> {
    let events = events(route, burdens);
    let mut out = loaded(&events);
    let mut spoil: Load = (0, 0);
    let too_much = |load: Load| {
        let kg = gang.payload.map(|payload| (payload.kg() + 1e-6) as u64);
        let litres = gang.volume_m3.map(|volume| (volume * 1e3 + 1e-6) as u64);
        kg.is_some_and(|most| load.0 > most) || litres.is_some_and(|most| load.1 > most)
    };
    let mut from = route.depart;
    for (at, (time, event)) in events.iter().enumerate() {
        let load = (out.0 + spoil.0, out.1 + spoil.1);
        if too_much(load) {
            return Some((from, load));
        }
        match event {
            Event::Reload => (out, spoil) = (loaded(&events[at + 1..]), (0, 0)),
            Event::Tip => spoil = (0, 0),
            Event::First(burden) => {
                out.0 -= u64::from(burden.out_kg);
                out.1 -= u64::from(burden.out_litres);
                spoil.0 += u64::from(burden.back_kg);
                spoil.1 += u64::from(burden.back_litres);
            }
        }
        from = *time;
    }
    let load = (out.0 + spoil.0, out.1 + spoil.1);
    too_much(load).then_some((from, load))
}

/// What is loaded for everything up to the next loading.
fn loaded(events: &[(NaiveDateTime, Event<'_>)]) -> Load {
    let until = events
        .iter()
        .take_while(|event| !matches!(event.1, Event::Reload));
    until.fold((0, 0), |sum, (_, event)| match event {
        Event::First(burden) => (
            sum.0 + u64::from(burden.out_kg),
            sum.1 + u64::from(burden.out_litres),
        ),
        Event::Tip | Event::Reload => sum,
    })
}

fn events<'a>(
    route: &'a Route,
    burdens: &HashMap<&JobId, &'a Burden>,
) -> Vec<(NaiveDateTime, Event<'a>)> {
    let mut seen = HashSet::new();
    let mut events = Vec::new();
    for visit in route.visits.iter().filter(|visit| seen.insert(&visit.job)) {
        if let Some(&burden) = burdens.get(&visit.job) {
            events.push((visit.start, Event::First(burden)));
        }
    }
    for halt in &route.halts {
        match halt.kind {
            HaltKind::Reload => events.push((halt.arrive, Event::Reload)),
            HaltKind::Tip => events.push((halt.arrive, Event::Tip)),
            HaltKind::Break => {}
        }
    }
    events.sort_by_key(|event| event.0);
    events
}
