//! Every figure of closures and notices that a document states is the one that its clause states, with
//! its edition; what is from memory says so. Transcribed from the documents (or, where the copy at hand was
//! not legible, from memory), not from the table of figures.

use std::collections::BTreeMap;

use gangday_traffic::shipped_traffic;

const CODE: &str = "Code of Practice (October 2013)";
const BULLETIN: &str = "HAUC(UK) Guidance Bulletin 34";
const MANUAL: &str = "Traffic Signs Manual chapter 8 part 1 (2009)";
const MEMORY: &str = "from memory";

/// A clause with its edition, as the source of a row begins or says it, and its figures by key.
type Clause = (&'static str, &'static str, &'static [(&'static str, f64)]);

const CLOSURES: &[Clause] = &[
    (
        BULLETIN,
        "absolute minimum lane width",
        &[
            ("traffic.lane.minimum", 3.0),
            ("traffic.lane.minimum_light", 2.5),
        ],
    ),
    (
        BULLETIN,
        "clearance",
        &[
            ("traffic.clearance.slow", 0.5),
            ("traffic.clearance.fast", 1.2),
            ("traffic.clearance.slow_limit", 40.0),
        ],
    ),
    (
        CODE,
        "footway past the works",
        &[("traffic.way_past", 1.5), ("traffic.way_past.minimum", 1.0)],
    ),
    (
        CODE,
        "setting out the site",
        &[
            ("traffic.taper.controlled", 1.0),
            ("kit.cone.spacing", 9.0),
            ("kit.cone.spacing_taper", 1.2),
            ("kit.cone.least_between", 2.0),
            ("kit.lamp.speed", 40.0),
        ],
    ),
    (
        MEMORY,
        "inside back cover",
        &[
            ("traffic.taper.30", 13.0),
            ("traffic.taper.40", 20.0),
            ("traffic.taper.50", 25.0),
            ("traffic.taper.60", 25.0),
            ("traffic.run_in.30", 0.5),
            ("traffic.run_in.40", 15.0),
            ("traffic.run_in.50", 30.0),
            ("traffic.run_in.60", 60.0),
            ("kit.cone.least_taper", 4.0),
            ("kit.sign.distance.30", 20.0),
            ("kit.sign.distance.40", 45.0),
        ],
    ),
    (
        CODE,
        "give and take",
        &[
            ("control.give_and_take.speed", 30.0),
            ("control.give_and_take.length", 50.0),
            ("control.give_and_take.flow", 20.0),
            ("control.give_and_take.heavy", 20.0),
            ("control.give_and_take.sight", 50.0),
        ],
    ),
    (
        CODE,
        "priority signs",
        &[
            ("control.priority.speed", 60.0),
            ("control.priority.length", 80.0),
            ("control.priority.flow", 42.0),
            ("control.priority.sight.30", 60.0),
            ("control.priority.sight.40", 70.0),
            ("control.priority.sight.50", 80.0),
            ("control.priority.sight.60", 100.0),
            ("kit.sign.priority", 1.0),
        ],
    ),
    (
        "notes to the Code of Practice (October 2013), gateshead.gov",
        "stop/go boards by coned length",
        &[
            ("control.stop_go.flow.100", 70.0),
            ("control.stop_go.flow.200", 63.0),
            ("control.stop_go.flow.300", 53.0),
            ("control.stop_go.flow.400", 47.0),
            ("control.stop_go.flow.500", 42.0),
            ("control.stop_go.length", 500.0),
            ("control.stop_go.one_board", 20.0),
        ],
    ),
    (CODE, "stop/go boards", &[("kit.board.stop_go", 2.0)]),
    (
        CODE,
        "portable traffic signals",
        &[
            ("control.signals.length", 300.0),
            ("control.signals.speed_look", 35.0),
            ("kit.sign.wait", 1.0),
        ],
    ),
    (CODE, "shuttle working", &[("control.shuttle.width", 3.25)]),
    (
        MEMORY,
        "two-way",
        &[
            ("control.both_ways.width", 6.75),
            ("control.both_ways.width_light", 5.5),
        ],
    ),
    (
        CODE,
        "signing and glossary",
        &[
            ("signing.short.minutes", 60.0),
            ("signing.short.minutes_scotland", 30.0),
        ],
    ),
    (
        CODE,
        "stops under 15 min",
        &[("signing.stop.minutes", 15.0)],
    ),
    (MANUAL, "D3.3.6", &[("control.bus.width", 3.0)]),
    (
        MANUAL,
        "table 3.3",
        &[
            ("clash.apart.30", 1.0),
            ("clash.apart.40", 2.0),
            ("clash.apart.60", 5.0),
        ],
    ),
];

const NOTICES: &[Clause] = &[
    (
        "Street Works (Northern Ireland) Order 1995, art. 54(3)",
        "4.30 p.m.",
        &[("notice.day_end", 16.5 * 60.0)],
    ),
    (
        "SI 2009/303 reg. 6(1)",
        "SI 2020/122 reg. 6(3)",
        &[
            ("notice.start.from", 8.0 * 60.0),
            ("notice.start.next", 10.0 * 60.0),
            ("notice.start.after", 120.0),
        ],
    ),
    (
        "SI 2009/303 reg. 3",
        "SI 2020/122 reg. 6",
        &[
            ("notice.england.major.over", 10.0),
            ("notice.england.minor.up_to", 3.0),
        ],
    ),
    (
        MEMORY,
        "English permit regulations",
        &[
            ("notice.england.major.months", 3.0),
            ("notice.england.major.days", 10.0),
            ("notice.england.standard.days", 10.0),
            ("notice.england.minor.days", 3.0),
            ("notice.england.immediate.hours", 2.0),
        ],
    ),
    (
        "SSI 2008/88 reg. 7",
        "as made",
        &[
            ("notice.scotland.minor.by", 12.0 * 60.0),
            ("notice.scotland.immediate.hours", 2.0),
        ],
    ),
    (
        "Scottish code of practice for co-ordination",
        "ch. 5",
        &[("notice.scotland.major.months", 3.0)],
    ),
    (
        "New Roads and Street Works Act 1991",
        "s. 114",
        &[
            ("notice.scotland.major.days", 7.0),
            ("notice.scotland.standard.days", 7.0),
            ("notice.scotland.minor.days", 7.0),
        ],
    ),
    (
        "Road Traffic Regulation Act 1984, s. 15(1)",
        "text of 1992",
        &[
            ("closure.order.months", 18.0),
            ("closure.order.months_path", 6.0),
        ],
    ),
    (
        MEMORY,
        "temporary orders procedure",
        &[("closure.order.publish", 7.0)],
    ),
    (
        MEMORY,
        "Road Traffic Regulation Act 1984, s. 15(7)",
        &[
            ("closure.notice.days", 5.0),
            ("closure.notice.days_danger", 21.0),
        ],
    ),
];

/// Nations whose regulations nobody here has read: from memory throughout, to be confirmed.
const UNREAD: [&str; 2] = ["notice.wales.", "notice.northern_ireland."];
/// And the two lengths of Scottish works that are not in what was read.
const UNREAD_SCOTTISH: [&str; 2] = ["notice.scotland.major.over", "notice.scotland.minor.up_to"];

#[test]
fn each_figure_is_the_one_that_its_clause_states() {
    let table = shipped_traffic();
    for (document, clause, figures) in CLOSURES.iter().chain(NOTICES) {
        for (key, value) in *figures {
            let row = table.get(key).expect(key);
            assert!((row.value - value).abs() < 1e-9, "{key}: {}", row.value);
            let said = row.source.contains(document) && row.source.contains(clause);
            assert!(said, "{key}: {}", row.source);
        }
    }
}

#[test]
fn no_figure_with_a_source_is_without_its_clause() {
    let clauses = CLOSURES.iter().chain(NOTICES);
    let known: BTreeMap<&str, f64> = clauses
        .flat_map(|clause| clause.2.iter().copied())
        .collect();
    for row in shipped_traffic().rows() {
        let key = row.key.as_str();
        let unread =
            UNREAD.iter().any(|nation| key.starts_with(nation)) || UNREAD_SCOTTISH.contains(&key);
        if unread {
            assert!(row.source.starts_with(MEMORY), "{key}: {}", row.source);
        } else if !known.contains_key(key) {
            let own = row.source.starts_with("common practice, no source");
            assert!(own, "{key} states {} and is in no clause", row.source);
        }
    }
}

/// The hourly figures are printed rounded, 63 x 20 is 1,260 and not 1,250; so none of them is in the table.
#[test]
fn flows_are_counts_of_three_minutes() {
    for row in shipped_traffic().rows() {
        let flow = row.key.contains(".flow");
        assert!(!flow || row.unit == "vehicles in 3 min", "{}", row.key);
        assert!(!flow || row.value <= 70.0, "{}", row.key);
    }
}
