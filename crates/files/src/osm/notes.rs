//! What somebody should know of an extract, each kind once with how often it occurs.

use gangday_model::Finding;

use super::gather::{Gathered, Tally};
use super::links::Laid;
use super::nodes::Nodes;
use super::tags::Odd;
use crate::codes;

/// All that was met on the way.
pub(super) struct Notes<'a> {
    pub(super) gathered: &'a Gathered,
    pub(super) nodes: &'a Nodes,
    pub(super) laid: &'a Laid,
    pub(super) twice: usize,
    pub(super) lost_bans: Tally,
    pub(super) crowded: usize,
}

impl Notes<'_> {
    /// The findings, the gravest first.
    pub(super) fn findings(&self, file: &str) -> Vec<Finding> {
        let all = [
            self.bad_ways(),
            self.off_globe(),
            self.twice(),
            self.lost_bans(),
            self.crowded(),
            self.edge(),
            self.timed(),
            self.heavy(),
            self.gates(),
            self.limits(),
            self.split_buildings(),
        ];
        let found = all.into_iter().flatten();
        found.map(|finding| finding.in_file(file)).collect()
    }

    fn odd(&self, which: impl Fn(&Odd) -> bool) -> usize {
        let odd = self.gathered.ways.iter().map(|way| &way.about.odd);
        odd.filter(|odd| which(odd)).count()
    }

    fn bad_ways(&self) -> Option<Finding> {
        let Tally { count, first } = self.gathered.bad_ways;
        let text = format!(
            "{} left out: too many nodes, too few, or tags that are not there.",
            counted(count, "way is", "ways are")
        );
        let remedy =
            "Look the way up on the map; where many are left out, fetch the extract again.";
        let finding = Finding::warning(codes::OSM_WAY, text, remedy);
        Some(finding.at(format!("way {}", first?)))
    }

    fn off_globe(&self) -> Option<Finding> {
        let count = self.nodes.off_globe;
        let text = format!(
            "{} off the globe; ways are cut there.",
            counted(count, "node is", "nodes are")
        );
        let remedy = "Fetch the extract again.";
        (count > 0).then(|| Finding::warning(codes::OSM_NODE, text, remedy))
    }

    fn twice(&self) -> Option<Finding> {
        let count = self.twice + self.nodes.twice;
        let text = format!(
            "{} stated more than once; the first statement counts.",
            counted(
                count,
                "node, way or relation is",
                "nodes, ways or relations are"
            )
        );
        let remedy = "Join extracts with a program that merges them, or import one at a time.";
        (count > 0).then(|| Finding::warning(codes::OSM_TWICE, text, remedy))
    }

    fn lost_bans(&self) -> Option<Finding> {
        let mut tally = self.gathered.bad_bans;
        tally.join(self.lost_bans);
        let text = format!(
            "{} not applied: a part is missing, not in the extract, or can't be told.",
            counted(tally.count, "turn restriction is", "turn restrictions are")
        );
        let remedy = "Near the extract's edge that is usual; elsewhere check the junction on site.";
        let finding = Finding::warning(codes::OSM_TURN, text, remedy);
        Some(finding.at(format!("relation {}", tally.first?)))
    }

    fn crowded(&self) -> Option<Finding> {
        let text = format!(
            "{} not applied: more ways meet there than can be.",
            counted(self.crowded, "barrier is", "barriers are")
        );
        let remedy = "Check on site what can pass.";
        (self.crowded > 0).then(|| Finding::warning(codes::OSM_BARRIER, text, remedy))
    }

    fn edge(&self) -> Option<Finding> {
        let text = format!(
            "{} at the edge: some of their nodes are not in the extract.",
            counted(self.laid.cut, "way is cut", "ways are cut")
        );
        let remedy = "Cut a larger area if works or diversions come near its edge.";
        (self.laid.cut > 0).then(|| Finding::note(codes::OSM_EDGE, text, remedy))
    }

    fn timed(&self) -> Option<Finding> {
        let (ways, bans) = (self.odd(|odd| odd.timed), self.gathered.timed_bans);
        let text = format!(
            "Rules that hold only at times are not applied, on {} and {}.",
            counted(ways, "way", "ways"),
            counted(bans, "turn", "turns")
        );
        let remedy = "Check the signs where a gang or a diversion goes.";
        (ways + bans > 0).then(|| Finding::note(codes::OSM_WHEN, text, remedy))
    }

    fn heavy(&self) -> Option<Finding> {
        let (ways, bans) = (self.odd(|odd| odd.heavy), self.gathered.heavy_bans);
        let text = format!(
            "Bounds on weight and size and bans on heavy vehicles are not applied, on {} and {}.",
            counted(ways, "way", "ways"),
            counted(bans, "turn", "turns")
        );
        let remedy = "Check the way for lorries before sending one, or diverting them.";
        (ways + bans > 0).then(|| Finding::note(codes::OSM_HEAVY, text, remedy))
    }

    fn gates(&self) -> Option<Finding> {
        let count = self.laid.private_gates;
        let text = format!(
            "{} taken as closed, because only those with leave may pass.",
            counted(count, "private gate is", "private gates are")
        );
        let remedy = "Ask for the key where a job lies behind one.";
        (count > 0).then(|| Finding::note(codes::OSM_BARRIER, text, remedy))
    }

    fn limits(&self) -> Option<Finding> {
        let count = self.odd(|odd| odd.limit);
        let text = format!(
            "The speed limit of {} can't be read and is left out.",
            counted(count, "way", "ways")
        );
        let remedy = "State `speed_limit_mph` at the street.";
        (count > 0).then(|| Finding::note(codes::OSM_LIMIT, text, remedy))
    }

    fn split_buildings(&self) -> Option<Finding> {
        let Tally { count, first } = self.gathered.split_buildings;
        let text = format!(
            "{} of buildings of several outlines left out.",
            counted(count, "address is", "addresses are")
        );
        let remedy = "Where a closure cuts a dead end off, look on site for numbers not named.";
        let finding = Finding::note(codes::OSM_ADDRESS, text, remedy);
        Some(finding.at(format!("relation {}", first?)))
    }
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}
