//! Random towns: the fast method against the plain one, and both against methods of other making.

mod town;

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use gangday_ground::roads::{
    Hierarchy, NO_WAY, OnRoad, RoadGraph, Speeds, Stops, WHOLE_LINK, back_of, link_of,
};
use gangday_model::{LinkClass, Passage, Turn};
use petgraph::algo::{dijkstra, kosaraju_scc};
use petgraph::graph::{DiGraph, NodeIndex};
use proptest::prelude::*;
use town::Town;

const CLASSES: [LinkClass; 4] = [
    LinkClass::Residential,
    LinkClass::Primary,
    LinkClass::Track,
    LinkClass::Footway,
];

fn passage() -> impl Strategy<Value = Passage> {
    prop_oneof![8 => Just(Passage::Open), 2 => Just(Passage::Destination), 2 => Just(Passage::Shut)]
}

/// Some junctions, links between any two of them, and turns over links that meet.
fn town(junctions: usize, links: usize) -> impl Strategy<Value = Town> {
    let place = (-500_i32..500, -500_i32..500);
    let link = (
        0..junctions,
        0..junctions,
        0..CLASSES.len(),
        passage(),
        passage(),
    );
    let turn = (
        any::<prop::sample::Index>(),
        prop::collection::vec(any::<prop::sample::Index>(), 1..4),
        any::<bool>(),
        any::<bool>(),
    );
    let turns = prop::collection::vec(turn, 0..8);
    (
        prop::collection::vec(place, junctions),
        prop::collection::vec(link, 1..links),
        turns,
    )
        .prop_map(|(places, links, turns)| {
            let mut town = Town::new(&places);
            for (from, to, class, along, against) in links {
                let road = town.road(from as u32, to as u32) as usize;
                let link = &mut town.network.links[road];
                (link.class, link.along, link.against) = (CLASSES[class], along, against);
                if class > 0 && from == to {
                    link.line
                        .insert(1, gangday_model::LonLat::new(-3.59, 54.01));
                }
            }
            for (first, then, forward, only) in turns {
                let turn = turn_over(&town, &first, &then, forward, only);
                town.network.turns.extend(turn);
            }
            town
        })
}

/// A turn along links that meet one another, drawn by where the walk happens to go.
fn turn_over(
    town: &Town,
    first: &prop::sample::Index,
    then: &[prop::sample::Index],
    forward: bool,
    only: bool,
) -> Option<Turn> {
    let all = &town.network.links;
    let first = first.index(all.len());
    let via = if forward {
        all[first].to
    } else {
        all[first].from
    };
    let (mut at, mut links) = (via, vec![first as u32]);
    for pick in then {
        let meeting: Vec<usize> = (0..all.len())
            .filter(|link| all[*link].from == at || all[*link].to == at)
            .collect();
        let link = meeting[pick.index(meeting.len())];
        at = if all[link].from == at {
            all[link].to
        } else {
            all[link].from
        };
        links.push(link as u32);
    }
    Some(Turn { links, via, only })
}

fn places(graph: &RoadGraph) -> Vec<OnRoad> {
    let links = 0..graph.network().links.len() as u32;
    let parts = [0, 250_000, 700_000, WHOLE_LINK];
    links
        .flat_map(|link| parts.map(|part| OnRoad { link, part }))
        .collect()
}

/// Whether somebody may drive these runs one after another, judged from the turns as they are
/// stated and from nothing that the graph has worked out.
struct Law<'a> {
    town: &'a Town,
    graph: &'a RoadGraph,
}

impl Law<'_> {
    fn driven(&self, run: u32) -> bool {
        self.graph.runs()[run as usize].passage != Passage::Shut
    }

    fn leaving(&self, junction: u32) -> Vec<u32> {
        let runs = self.graph.runs();
        (0..runs.len() as u32)
            .filter(|run| runs[*run as usize].from == junction && self.driven(*run))
            .collect()
    }

    fn allows(&self, way: &[u32]) -> bool {
        let (last, before) = (way[way.len() - 1], way[way.len() - 2]);
        let others = self.leaving(self.graph.runs()[before as usize].to);
        if last == back_of(before) && others.iter().any(|run| *run != last) {
            return false;
        }
        self.town
            .network
            .turns
            .iter()
            .all(|turn| self.keeps(way, turn))
            && self.keeps_to_open_roads(way)
    }

    fn keeps_to_open_roads(&self, way: &[u32]) -> bool {
        let open = |run: &u32| self.graph.runs()[*run as usize].passage == Passage::Open;
        let first = way.iter().position(open);
        let last = way.iter().rposition(open);
        first
            .zip(last)
            .is_none_or(|(first, last)| way[first..=last].iter().all(open))
    }

    /// Whether the last step of a way keeps one turn.
    fn keeps(&self, way: &[u32], turn: &Turn) -> bool {
        self.readings(turn).iter().all(|read| {
            if !read.iter().all(|run| self.driven(*run)) {
                return true;
            }
            if turn.only {
                (1..read.len()).all(|at| {
                    !way[..way.len() - 1].ends_with(&read[..at]) || way.ends_with(&read[..=at])
                })
            } else {
                !way.ends_with(read)
            }
        })
    }

    /// Every way to read a turn's links as runs that follow one another.
    fn readings(&self, turn: &Turn) -> Vec<Vec<u32>> {
        let runs = self.graph.runs();
        let mut all: Vec<Vec<u32>> = vec![Vec::new()];
        for link in &turn.links {
            let both = [link * 2, link * 2 + 1];
            all = all
                .iter()
                .flat_map(|way| both.map(|run| [way.as_slice(), &[run]].concat()))
                .collect();
        }
        let meets = |way: &Vec<u32>| {
            runs[way[0] as usize].to == turn.via
                && way
                    .windows(2)
                    .all(|pair| runs[pair[0] as usize].to == runs[pair[1] as usize].from)
        };
        all.into_iter().filter(meets).collect()
    }

    /// The quickest way that the law allows, by trying every way up to so many runs.
    fn quickest(&self, from: OnRoad, to: OnRoad, most: usize) -> Option<u32> {
        let passed = |at: OnRoad, run: u32| {
            let ms = u64::from(self.graph.runs()[run as usize].ms);
            let along = (ms * u64::from(at.part) + 500_000) / 1_000_000;
            if run.is_multiple_of(2) {
                along as u32
            } else {
                (ms - along) as u32
            }
        };
        let mut best: Option<u32> = None;
        let on = [from.link * 2, from.link * 2 + 1];
        let mut ways: Vec<(Vec<u32>, u32)> = Vec::new();
        for run in on.into_iter().filter(|run| self.driven(*run)) {
            let start = passed(from, run);
            if from.link == to.link && passed(to, run) >= start {
                best = best.into_iter().chain([passed(to, run) - start]).min();
            }
            ways.push((vec![run], self.graph.runs()[run as usize].ms - start));
        }
        while let Some((way, ms)) = ways.pop() {
            if best.is_some_and(|best| ms >= best) || way.len() > most {
                continue;
            }
            let end = self.graph.runs()[way[way.len() - 1] as usize].to;
            for run in self.leaving(end) {
                let on = [way.as_slice(), &[run]].concat();
                if self.allows(&on) {
                    if link_of(run) == to.link {
                        best = best.into_iter().chain([ms + passed(to, run)]).min();
                    }
                    ways.push((on, ms + self.graph.runs()[run as usize].ms));
                }
            }
        }
        best
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, ..ProptestConfig::default() })]

    /// The plain method against every way that the stated turns allow.
    #[test]
    fn no_allowed_way_is_quicker_and_the_way_found_is_allowed(town in town(4, 7), picks in any::<[prop::sample::Index; 2]>()) {
        let graph = town.graph();
        let law = Law { town: &town, graph: &graph };
        let all = places(&graph);
        let [from, to] = picks.map(|pick| all[pick.index(all.len())]);
        let found = graph.plain_time_ms(from, to);
        // Two visits of a run with the same past gain nothing, so twelve runs are far enough here
        // for most; a longer way that was found is held to the law alone.
        let tried = law.quickest(from, to, 9);
        let journey = graph.plain_journey(from, to);
        prop_assert_eq!(journey.as_ref().map(|journey| journey.ms), found);
        if let Some(journey) = journey {
            for end in 2..=journey.runs.len() {
                prop_assert!(law.allows(&journey.runs[..end]), "{:?}", journey.runs);
            }
            prop_assert!(tried.is_none_or(|tried| found <= Some(tried)), "{found:?} {tried:?}");
            prop_assert!(journey.runs.len() > 9 || tried == found, "{found:?} {tried:?}");
        } else {
            prop_assert_eq!(tried, None);
        }
    }

    /// The fast method, the look-up and the table against the plain one.
    #[test]
    fn the_fast_method_is_exact(town in town(12, 40)) {
        let graph = town.graph();
        let hierarchy = Hierarchy::of(&graph);
        let kept = Hierarchy::from_bytes(&hierarchy.to_bytes(), &graph);
        prop_assert_eq!(kept.as_ref(), Some(&hierarchy));
        let places: Vec<OnRoad> = places(&graph).into_iter().step_by(5).collect();
        let stops = Stops::of(&graph, &hierarchy, &places);
        let table = stops.table();
        prop_assert_eq!(&graph.plain_table(&places), &table);
        for (a, from) in places.iter().enumerate() {
            for (b, to) in places.iter().enumerate() {
                let plain = graph.plain_time_ms(*from, *to);
                prop_assert_eq!(hierarchy.time_ms(&graph, *from, *to), plain);
                prop_assert_eq!(stops.ms(a, b), plain.unwrap_or(NO_WAY));
                prop_assert_eq!(table[a * places.len() + b], plain.unwrap_or(NO_WAY));
                let journey = hierarchy.journey(&graph, *from, *to);
                prop_assert_eq!(journey.map(|journey| journey.ms), plain);
            }
        }
    }

    /// With no turn forbidden and every road open, against petgraph on the junctions.
    #[test]
    fn without_bans_it_is_the_way_between_junctions(mut town in town(12, 40)) {
        town.network.turns.clear();
        for link in &mut town.network.links {
            for passage in [&mut link.along, &mut link.against] {
                if *passage == Passage::Destination {
                    *passage = Passage::Open;
                }
            }
        }
        let graph = town.graph();
        let mut outside: DiGraph<(), u32> = DiGraph::new();
        for _ in &town.network.junctions {
            outside.add_node(());
        }
        for run in graph.runs().iter().filter(|run| run.passage != Passage::Shut) {
            outside.add_edge(NodeIndex::new(run.from as usize), NodeIndex::new(run.to as usize), run.ms);
        }
        for from in 0..graph.network().links.len() as u32 {
            // At the end of a link's line, so that one goes on from a junction.
            let start = OnRoad { link: from, part: WHOLE_LINK };
            let run = graph.runs()[from as usize * 2];
            if run.passage == Passage::Shut || run.from == run.to {
                continue;
            }
            let times = dijkstra(&outside, NodeIndex::new(run.to as usize), None, |edge| *edge.weight());
            for (to, one) in (0_u32..).zip(graph.runs()).filter(|(to, one)| one.passage != Passage::Shut && to % 2 == 0) {
                let end = OnRoad { link: to / 2, part: 0 };
                let junctions = times.get(&NodeIndex::new(one.from as usize)).copied();
                let found = graph.plain_time_ms(start, end);
                if let (Some(least), Some(found)) = (junctions, found) {
                    prop_assert!(found >= least);
                }
                prop_assert!(found.is_none() || junctions.is_some());
            }
        }
    }

    /// What is usable lies in or about the largest part that petgraph finds on the states' own
    /// junctions; two usable places always have a way between them.
    #[test]
    fn between_usable_places_there_is_always_a_way(town in town(12, 30)) {
        let graph = town.graph();
        let usable: Vec<u32> = (0..graph.network().links.len() as u32).filter(|link| graph.is_usable(*link)).collect();
        for &from in &usable {
            for &to in &usable {
                let way = graph.plain_time_ms(OnRoad { link: from, part: 300_000 }, OnRoad { link: to, part: 600_000 });
                prop_assert!(way.is_some(), "{from} {to}");
            }
        }
    }

    /// With no bans, the main roads are the largest part by petgraph's Kosaraju.
    #[test]
    fn the_main_roads_are_the_largest_part(mut town in town(14, 40)) {
        town.network.turns.clear();
        for link in &mut town.network.links {
            link.class = LinkClass::Residential;
            for passage in [&mut link.along, &mut link.against] {
                if *passage == Passage::Destination {
                    *passage = Passage::Open;
                }
            }
        }
        let graph = town.graph();
        let runs = graph.runs();
        let driven: Vec<u32> = (0..runs.len() as u32).filter(|run| runs[*run as usize].passage == Passage::Open).collect();
        let number: HashMap<u32, usize> = driven.iter().enumerate().map(|(at, run)| (*run, at)).collect();
        let mut outside: DiGraph<u32, ()> = DiGraph::new();
        driven.iter().for_each(|run| { outside.add_node(*run); });
        for &run in &driven {
            let leaving: Vec<u32> = driven.iter().copied().filter(|next| runs[*next as usize].from == runs[run as usize].to).collect();
            for next in &leaving {
                if *next != back_of(run) || leaving.len() == 1 {
                    outside.add_edge(NodeIndex::new(number[&run]), NodeIndex::new(number[next]), ());
                }
            }
        }
        let parts = kosaraju_scc(&outside);
        let most = parts.iter().map(Vec::len).max().unwrap_or(0);
        let largest: Vec<HashSet<u32>> = parts.iter().filter(|part| part.len() == most)
            .map(|part| part.iter().map(|node| link_of(outside[*node])).collect()).collect();
        let usable: HashSet<u32> = (0..graph.network().links.len() as u32).filter(|link| graph.is_usable(*link)).collect();
        prop_assert_eq!(graph.is_empty(), usable.is_empty());
        // A single run that nothing leads back to is no road to get about on.
        prop_assert!(most < 2 || largest.iter().any(|part| part.is_subset(&usable)));
    }

    /// A file cut short or with a byte changed is never taken for whole.
    #[test]
    fn a_damaged_file_is_refused(town in town(8, 20), at in any::<prop::sample::Index>(), bit in 0_u8..8) {
        let graph = town.graph();
        let bytes = Hierarchy::of(&graph).to_bytes();
        let place = at.index(bytes.len());
        prop_assert_eq!(Hierarchy::from_bytes(&bytes[..place], &graph), None);
        let mut changed = bytes.clone();
        changed[place] ^= 1 << bit;
        prop_assert_eq!(Hierarchy::from_bytes(&changed, &graph), None);
    }

    /// Detours against the plain way in a network from which the links were taken.
    #[test]
    fn a_detour_is_the_best_way_in_the_network_without_the_closed_links(
        town in town(8, 24), closed in any::<prop::sample::Index>(), ends in any::<[prop::sample::Index; 2]>(),
    ) {
        let graph = town.graph();
        let closed = closed.index(town.network.links.len()) as u32;
        let [from, to] = ends.map(|end| end.index(town.network.junctions.len()) as u32);
        let mut without = town.clone();
        let link = &mut without.network.links[closed as usize];
        (link.along, link.against) = (Passage::Shut, Passage::Shut);
        let found = graph.detour(&[closed], from, to);
        let rest = RoadGraph::prepare(Arc::new(without.network.clone()), &Speeds::shipped());
        let again = rest.detour(&[], from, to);
        // Taking a link away can make a dead end, where turning round is then allowed; a closure
        // doesn't, since the link is still there for those who work on it.
        if let Some(detour) = &found {
            prop_assert!(!detour.links.contains(&closed));
            prop_assert!(again.is_some_and(|again| again.ms <= detour.ms));
        }
    }

    /// What is cut off against a network from which the links were taken before anybody knew of them.
    #[test]
    fn what_is_cut_off_is_what_the_network_without_the_closed_links_leaves_out(
        town in town(12, 40), closed in prop::collection::vec(any::<prop::sample::Index>(), 1..3),
    ) {
        let graph = town.graph();
        let closed: Vec<u32> = closed.iter().map(|pick| pick.index(town.network.links.len()) as u32).collect();
        let mut without = town.clone();
        for link in &closed {
            let link = &mut without.network.links[*link as usize];
            (link.along, link.against) = (Passage::Shut, Passage::Shut);
        }
        without.network.turns.retain(|turn| turn.links.iter().all(|link| !closed.contains(link)));
        let rest = without.graph();
        let is_lost = |link: &u32| graph.is_usable(*link) && !rest.is_usable(*link) && !closed.contains(link);
        let lost: Vec<u32> = (0..town.network.links.len() as u32).filter(is_lost).collect();
        let found = graph.cut_off(&closed);
        if found.is_empty() {
            // Of parts as large, another may be the main one without the links; that cuts nothing off.
            let left: Vec<u32> = (0..town.network.links.len() as u32)
                .filter(|link| graph.is_usable(*link) && !closed.contains(link)).collect();
            let place = |link: u32| OnRoad { link, part: 400_000 };
            for pair in left.windows(2) {
                prop_assert!(rest.plain_time_ms(place(pair[0]), place(pair[1])).is_some());
                prop_assert!(rest.plain_time_ms(place(pair[1]), place(pair[0])).is_some());
            }
        } else {
            prop_assert_eq!(found.links, lost);
        }
    }
}

#[test]
fn a_kept_hierarchy_of_another_network_is_refused() {
    let mut town = Town::new(&[(0, 0), (100, 0), (100, 100)]);
    for (from, to) in [(0, 1), (1, 2), (2, 0)] {
        town.road(from, to);
    }
    let graph = town.graph();
    let bytes = Hierarchy::of(&graph).to_bytes();
    assert!(Hierarchy::from_bytes(&bytes, &graph).is_some());
    town.network.links[1].limit_kmh = Some(10);
    assert_eq!(Hierarchy::from_bytes(&bytes, &town.graph()), None);
}
