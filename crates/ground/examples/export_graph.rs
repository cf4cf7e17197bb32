//! Prints a road graph with random journeys and closures, for another program to work out again:
//!
//! ```text
//! cargo run --release -p gangday-ground --example export_graph -- network.json 10000 1000 > graph.json
//! python3 crates/ground/benches/reference/check.py graph.json
//! ```
//!
//! `network.json` is a `Network` as serde writes it; the example `network_of` of `gangday-files`
//! prints one of a map extract.

use std::io::{BufWriter, Write as _};
use std::sync::Arc;

use gangday_ground::roads::{Hierarchy, OnRoad, RoadGraph, Speeds, Stops, WHOLE_LINK};
use gangday_model::{Network, Passage};
use rand_xoshiro::Xoshiro256StarStar;
use rand_xoshiro::rand_core::{Rng as _, SeedableRng as _};
use serde_json::{Value, json};

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

fn main() -> Outcome<()> {
    let mut args = std::env::args().skip(1);
    let file = args.next().ok_or("name a network file")?;
    let mut count =
        |usual: u64| -> Outcome<u64> { Ok(args.next().map_or(Ok(usual), |text| text.parse())?) };
    let (journeys, closures) = (count(10_000)?, count(1_000)?);
    let network: Network = serde_json::from_slice(&std::fs::read(file)?)?;
    let graph = RoadGraph::prepare(Arc::new(network), &Speeds::shipped());
    let hierarchy = Hierarchy::of(&graph);
    let mut dice = Dice(Xoshiro256StarStar::seed_from_u64(1));
    let usable: Vec<u32> = (0..graph.network().links.len() as u32)
        .filter(|link| graph.is_usable(*link))
        .collect();
    if usable.is_empty() {
        return Err("there are no roads to drive on".into());
    }
    let all = json!({
        "runs": graph.runs().iter().map(|run| json!([run.from, run.to, run.ms, passage(run.passage)])).collect::<Vec<_>>(),
        "states": (0..graph.states()).map(|state| json!(graph.state(state))).collect::<Vec<_>>(),
        "journeys": (0..journeys).map(|_| journey(&graph, &hierarchy, &usable, &mut dice)).collect::<Vec<_>>(),
        "closures": (0..closures).map(|_| closure(&graph, &usable, &mut dice)).collect::<Vec<_>>(),
    });
    let mut out = BufWriter::new(std::io::stdout().lock());
    serde_json::to_writer(&mut out, &all)?;
    out.flush()?;
    Ok(())
}

fn passage(passage: Passage) -> u8 {
    match passage {
        Passage::Open => 0,
        Passage::Destination => 1,
        Passage::Shut => 2,
    }
}

struct Dice(Xoshiro256StarStar);

impl Dice {
    fn below(&mut self, many: usize) -> usize {
        (self.0.next_u64() % many as u64) as usize
    }

    fn place(&mut self, usable: &[u32]) -> OnRoad {
        let link = usable[self.below(usable.len())];
        OnRoad {
            link,
            part: self.below(WHOLE_LINK as usize + 1) as u32,
        }
    }
}

/// Two places, and the time between them by the three ways there are to ask for it.
fn journey(graph: &RoadGraph, hierarchy: &Hierarchy, usable: &[u32], dice: &mut Dice) -> Value {
    let (from, to) = (dice.place(usable), dice.place(usable));
    let stops = Stops::of(graph, hierarchy, &[from, to]);
    let drive = hierarchy.journey(graph, from, to);
    json!({
        "from": [from.link, from.part],
        "to": [to.link, to.part],
        "ms": hierarchy.time_ms(graph, from, to),
        "look_up_ms": stops.ms(0, 1),
        "line_ms": drive.map(|drive| drive.ms),
    })
}

/// One to three links in a row closed, and the detour of one direction.
fn closure(graph: &RoadGraph, usable: &[u32], dice: &mut Dice) -> Value {
    let mut closed = vec![usable[dice.below(usable.len())]];
    for _ in 0..dice.below(3) {
        let ends = graph.ends_of(&closed);
        let meets = |link: &&u32| {
            let touched = graph
                .link(**link)
                .map(|link| [link.from, link.to])
                .unwrap_or_default();
            !closed.contains(link)
                && ends.is_some_and(|(from, to)| touched.contains(&from) != touched.contains(&to))
        };
        let next: Vec<u32> = usable.iter().filter(meets).copied().collect();
        if !next.is_empty() {
            closed.push(next[dice.below(next.len())]);
        }
    }
    let ends = graph.ends_of(&closed);
    let detour = ends.and_then(|(from, to)| graph.detour(&closed, from, to));
    json!({
        "closed": closed,
        "ends": ends,
        "ms": detour.as_ref().map(|detour| detour.ms),
        "extra_ms": detour.as_ref().map(|detour| detour.extra_ms),
        "links": detour.map(|detour| detour.links),
    })
}
