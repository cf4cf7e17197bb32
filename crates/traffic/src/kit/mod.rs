//! What is set out for a closure: signs by a list that is data, cones and barriers by formula.

mod cones;
pub(crate) mod key;

use std::collections::HashSet;
use std::sync::LazyLock;

use gangday_model::{Arrangement, Control, Diversion, JobId, KitLine, OnFoot};
use serde::Deserialize;

use crate::control::SiteFacts;
use crate::rules::Rules;

/// The sign that shows the way round.
const DIVERSION_SIGN: &str = "sign_diversion";

/// What a count is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Per {
    Approach,
    Taper,
    End,
    WayRound,
    Site,
}

/// One line of the shipped list.
#[derive(Clone, Debug, Deserialize)]
struct Listed {
    item: String,
    name: String,
    diagram: Option<String>,
    per: Per,
    key: String,
    control: Vec<Control>,
    on_foot: Vec<OnFoot>,
}

static LIST: LazyLock<Vec<Listed>> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../../defaults/kit.json"))
        .expect("the shipped kit list is tested")
});

impl Per {
    /// How many there are, and what they are called.
    const fn of(self, site: &SiteFacts) -> (u32, &'static str) {
        let ways = if site.one_way { 1 } else { 2 };
        match self {
            Self::Approach => (ways, "each approach"),
            Self::Taper => (2, "each taper"),
            Self::End => (2, "each end"),
            Self::WayRound => (ways, "each way round"),
            Self::Site => (1, "the site"),
        }
    }
}

impl Rules {
    /// What is set out; every count with its formula and source.
    pub(crate) fn kit(&self, site: &SiteFacts, control: Control, on_foot: OnFoot) -> Vec<KitLine> {
        let called_for = |listed: &&Listed| {
            listed.control.contains(&control) || listed.on_foot.contains(&on_foot)
        };
        let mut lines: Vec<KitLine> = LIST
            .iter()
            .filter(called_for)
            .map(|listed| self.listed(listed, site))
            .collect();
        lines.extend(self.boards(site, control));
        lines.extend(self.cone_lines(site, control));
        let barriers = self.barrier_line(site, on_foot);
        lines.extend(self.night_lamps(site, &barriers));
        lines.push(barriers);
        lines.push(self.information());
        lines.retain(|line| line.count > 0);
        lines
    }

    fn listed(&self, listed: &Listed, site: &SiteFacts) -> KitLine {
        let key = key::COUNTS.into_iter().find(|key| *key == listed.key);
        let each = key.map_or(0.0, |key| self.value(key)) as u32;
        let (number, what) = listed.per.of(site);
        let mut formula = format!("{each} for {what}");
        if listed.item == "sign_ahead" {
            formula.push_str(&self.distance(site.mph));
        }
        let mut source = key.map_or("", |key| self.source(key)).to_owned();
        if listed.diagram.is_some() {
            source.push_str("; diagram number from memory, TSRGD 2016");
        }
        KitLine {
            item: listed.item.clone(),
            name: listed.name.clone(),
            diagram: listed.diagram.clone(),
            count: each * number,
            formula,
            source,
        }
    }

    /// How far ahead the first sign stands, where the code's figure is remembered.
    fn distance(&self, mph: f64) -> String {
        let key = match mph {
            mph if mph <= 30.0 => key::DISTANCE_30,
            mph if mph <= 40.0 => key::DISTANCE_40,
            _ => return "; how far ahead is to be read from the code".to_owned(),
        };
        format!(
            "; {} m or more ahead ({})",
            self.value(key),
            self.source(key)
        )
    }

    /// Stop/go boards, in use or standing by for signals that fail.
    fn boards(&self, site: &SiteFacts, control: Control) -> Option<KitLine> {
        let count = self.value(key::STOP_GO) as u32;
        let short = self.value(crate::control::key::STOP_GO_ONE_BOARD);
        let formula = match control {
            Control::StopGoBoards if site.coned_m.is_some_and(|length| length <= short) => {
                let formula = format!("one is allowed where the site is no longer than {short} m");
                let source = self.source(crate::control::key::STOP_GO_ONE_BOARD);
                return Some(line("stop_go_board", "Stop/go board", 1, formula, source));
            }
            Control::StopGoBoards => "one at each end",
            Control::PortableSignals => "on site, for signals that fail",
            _ => return None,
        };
        let source = self.source(key::STOP_GO);
        Some(line(
            "stop_go_board",
            "Stop/go board",
            count,
            formula.to_owned(),
            source,
        ))
    }

    fn information(&self) -> KitLine {
        let count = self.value(key::BOARD) as u32;
        let formula = "who works here, and a number to call".to_owned();
        line(
            "board",
            "Information board",
            count,
            formula,
            self.source(key::BOARD),
        )
    }
}

/// Takes signs of a diversion from the kit of closures that have none, and says why.
///
/// A closure whose diversion could not be looked for keeps them.
pub fn without_ways_round(arrangements: &mut [Arrangement], diversions: &[Diversion]) {
    let has_none = |one: &&Diversion| one.along.is_none() && one.against.is_none();
    let none: HashSet<&JobId> = diversions
        .iter()
        .filter(has_none)
        .map(|one| &one.job)
        .collect();
    for arrangement in arrangements {
        if none.contains(&arrangement.job) {
            let before = arrangement.kit.len();
            arrangement.kit.retain(|line| line.item != DIVERSION_SIGN);
            if arrangement.kit.len() < before {
                let why = " No diversion exists, so the kit has no signs for one.";
                arrangement.because.push_str(why);
            }
        }
    }
}

fn line(item: &str, name: &str, count: u32, formula: String, source: &str) -> KitLine {
    KitLine {
        item: item.to_owned(),
        name: name.to_owned(),
        diagram: None,
        count,
        formula,
        source: source.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use gangday_model::WayRound;

    use super::*;

    #[test]
    fn every_line_of_the_list_counts_by_a_figure_that_is_there() {
        for listed in LIST.iter() {
            let key = key::COUNTS.iter().find(|key| **key == listed.key);
            assert!(key.is_some(), "{}", listed.item);
            assert!(!Rules::shipped().source(key.unwrap()).is_empty());
        }
        assert_eq!(LIST.len(), key::COUNTS.len());
    }

    /// Signs point to a way round only where there is one.
    #[test]
    fn where_no_diversion_exists_no_signs_for_one_are_set_out() {
        let sign = || line(DIVERSION_SIGN, "Sign, diversion", 2, String::new(), "");
        let arrangement = |job: &str| Arrangement {
            job: job.into(),
            control: Control::RoadClosed,
            on_foot: OnFoot::Unaffected,
            because: String::new(),
            rulings: Vec::new(),
            widths: Vec::new(),
            coned_m: None,
            kit: vec![sign(), line("cone", "Cone", 8, String::new(), "")],
            section: Vec::new(),
            caution: String::new(),
        };
        let way = WayRound {
            line: Vec::new(),
            length_m: 1.0,
            extra_m: 1.0,
            extra_s: 1.0,
            streets: Vec::new(),
        };
        let round = |job: &str, along| Diversion {
            job: job.into(),
            along,
            against: None,
            two_way: true,
            cut_off: Vec::new(),
            cut_off_addresses: Vec::new(),
            words: String::new(),
        };
        let mut all = ["J1", "J2", "J3"].map(arrangement);
        without_ways_round(&mut all, &[round("J1", None), round("J2", Some(way))]);
        assert_eq!(all.each_ref().map(|one| one.kit.len()), [1, 2, 2]);
        assert!(all[0].because.contains("No diversion exists"));
        assert!(all[1].because.is_empty());
        assert!(LIST.iter().any(|listed| listed.item == DIVERSION_SIGN));
    }
}
