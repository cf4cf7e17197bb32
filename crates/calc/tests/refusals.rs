//! Nonsense is refused by name, and what is unusual is pointed at.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use common::{job, materials, method, mm, refused, taken, told};
use gangday_calc::{review, take_off, usual_load_class};
use gangday_model::{Job, LoadClass, Millimetres, Position, Severity, Sizes, Work};

fn new() -> Job {
    job(Work::New, Position::Footway)
}

fn sized(sizes: Sizes) -> Job {
    Job { sizes, ..new() }
}

#[test]
fn every_absurd_size_is_told_at_once() {
    let job = sized(Sizes {
        clear_length: mm(0),
        wall: mm(-50),
        clear_width: mm(6_000),
        embed: mm(-1),
        ironwork_width: mm(i64::MAX),
        ..Sizes::default()
    });
    let faults = refused(&job);
    let properties = [
        "clear_length_mm",
        "clear_width_mm",
        "wall_mm",
        "ironwork_width_mm",
        "embed_mm",
    ];
    assert_eq!(
        told(&faults),
        properties.map(|property| ("C-SIZE", property))
    );
    for fault in &faults {
        assert_eq!(fault.place.feature.as_deref(), Some("J1"));
        assert_eq!(fault.place.file.as_deref(), Some("jobs.geojson"));
    }
}

#[test]
fn sizes_that_do_not_fit_each_other() {
    let rows = [
        (
            Sizes {
                base: mm(40),
                embed: mm(50),
                ..Sizes::default()
            },
            ("C-BASE", "base_mm"),
        ),
        (
            Sizes {
                sections: Some(0),
                ..Sizes::default()
            },
            ("C-SECTIONS", "sections"),
        ),
        (
            Sizes {
                margin: mm(224),
                ..Sizes::default()
            },
            ("C-MARGIN", "margin_mm"),
        ),
        (
            Sizes {
                sections: Some(80),
                ..Sizes::default()
            },
            ("C-DEPTH", "sections"),
        ),
        (
            Sizes {
                sections: Some(1),
                section_depth: mm(40),
                ..Sizes::default()
            },
            ("C-EMBED", "embed_mm"),
        ),
        (
            Sizes {
                ironwork_length: mm(600),
                ..Sizes::default()
            },
            ("C-IRONWORK", "ironwork_length_mm"),
        ),
        (
            Sizes {
                ironwork_width: mm(1_401),
                ..Sizes::default()
            },
            ("C-IRONWORK", "ironwork_width_mm"),
        ),
    ];
    for (sizes, expected) in rows {
        let faults = refused(&sized(sizes));
        assert!(told(&faults).contains(&expected), "{faults:?}");
    }
}

#[test]
fn the_least_that_is_accepted() {
    let sizes = Sizes {
        base: mm(50),
        embed: mm(50),
        margin: mm(225),
        ironwork_length: mm(601),
        ironwork_width: mm(1_350),
        ..Sizes::default()
    };
    let taken = taken(&sized(sizes));
    assert_eq!(taken.volumes.filled(), taken.volumes.excavation);
}

#[test]
fn surfacing_thicker_than_the_depth_available() {
    let deep = method(&[("chamber.surfacing", 326.0)]);
    let faults = take_off(&new(), &deep, &materials(&[])).unwrap_err();
    assert_eq!(told(&faults), [("C-SURFACING", "ironwork_depth_mm")]);
    assert!(faults[0].text.contains("326 mm") && faults[0].text.contains("325 mm"));
    let verge = job(Work::New, Position::Verge);
    assert!(take_off(&verge, &deep, &materials(&[])).is_ok());
}

#[test]
fn tables_that_can_not_be_used() {
    let bad = method(&[("chamber.base", f64::NAN), ("chamber.wall", -1.0)]);
    let faults = take_off(&new(), &bad, &materials(&[("density.bank_soil", 0.0)])).unwrap_err();
    assert_eq!(told(&faults), [("P-RANGE", "value"); 3]);
    let none = gangday_model::ParameterTable::default();
    let faults = take_off(&new(), &none, &materials(&[])).unwrap_err();
    assert!(faults.iter().all(|fault| fault.code == "P-ABSENT") && faults.len() > 10);
}

fn warned(job: &Job, rows: &[(&str, f64)]) -> Vec<String> {
    let method = method(rows);
    let taken = take_off(job, &method, &materials(&[])).unwrap();
    let findings = review(job, &taken, &method);
    assert!(
        findings
            .iter()
            .all(|finding| finding.severity < Severity::Fault)
    );
    findings.into_iter().map(|finding| finding.code).collect()
}

#[test]
fn a_usual_chamber_raises_no_warning() {
    assert!(warned(&new(), &[]).is_empty());
    assert!(warned(&job(Work::Adjust, Position::Footway), &[]).is_empty());
}

#[test]
fn what_is_unusual_is_pointed_at() {
    let rows = [
        (
            Sizes {
                clear_length: mm(449),
                ..Sizes::default()
            },
            "C-OPENING",
        ),
        (
            Sizes {
                clear_width: mm(2_801),
                ..Sizes::default()
            },
            "C-OPENING",
        ),
        (
            Sizes {
                base: mm(99),
                ..Sizes::default()
            },
            "C-BASE-THIN",
        ),
        (
            Sizes {
                ironwork_depth: mm(50),
                ..Sizes::default()
            },
            "C-SURFACING-DEEP",
        ),
        (
            Sizes {
                sections: Some(1),
                ..Sizes::default()
            },
            "C-NO-TYPE1",
        ),
        (
            Sizes {
                ironwork_length: mm(1_000),
                ironwork_width: mm(951),
                ..Sizes::default()
            },
            "C-RING",
        ),
    ];
    for (sizes, code) in rows {
        assert_eq!(warned(&sized(sizes), &[]), [code]);
    }
    assert_eq!(warned(&new(), &[("lift.thickness", 151.0)]), ["C-LIFT"]);
    let mut adjust = job(Work::Adjust, Position::Footway);
    adjust.sizes.sections = Some(6);
    assert_eq!(warned(&adjust, &[]), ["C-ADJUST"]);
}

/// SROH 4th edition, S11.5: bedding may fill to within 100 mm of the road surface.
#[test]
fn concrete_high_below_a_road_is_noted() {
    let job = job(Work::New, Position::Carriageway);
    assert_eq!(warned(&job, &[]), ["C-CONCRETE-HIGH"]);
    assert!(warned(&job, &[("chamber.surfacing", 100.0)]).is_empty());
}

/// EN 124 groups, from memory: A15 people on foot and cycles, B125 footways, D400 carriageways.
#[test]
fn a_cover_below_its_group_is_named() {
    let rows = [
        (Position::CycleTrack, LoadClass::A15, None),
        (Position::Footway, LoadClass::A15, Some("B125")),
        (Position::Footway, LoadClass::B125, None),
        (Position::Carriageway, LoadClass::C250, Some("D400")),
        (Position::Carriageway, LoadClass::E600, None),
    ];
    for (position, class, group) in rows {
        let mut job = job(Work::New, position);
        job.load_class = Some(class);
        let findings = review(&job, &taken(&job), &method(&[]));
        let named = findings.iter().find(|finding| finding.code == "C-CLASS");
        assert_eq!(named.is_some(), group.is_some(), "{position:?} {class:?}");
        if let (Some(finding), Some(group)) = (named, group) {
            assert!(finding.text.contains(group));
            assert!(format!("{:?}", usual_load_class(position).0) == group);
        }
    }
}

/// Every size by itself: nothing, less than nothing, and more than anybody builds.
#[test]
fn no_size_of_nothing_or_less_is_taken() {
    type Set = fn(&mut Sizes, Option<Millimetres>);
    let sizes: [(&str, Set); 7] = [
        ("clear_length_mm", |sizes, mm| sizes.clear_length = mm),
        ("clear_width_mm", |sizes, mm| sizes.clear_width = mm),
        ("section_depth_mm", |sizes, mm| sizes.section_depth = mm),
        ("wall_mm", |sizes, mm| sizes.wall = mm),
        ("base_mm", |sizes, mm| sizes.base = mm),
        ("ironwork_depth_mm", |sizes, mm| sizes.ironwork_depth = mm),
        ("ironwork_length_mm", |sizes, mm| sizes.ironwork_length = mm),
    ];
    for (property, set) in sizes {
        for size in [0, -1, -600, 1_000_000, i64::MIN, i64::MAX] {
            let mut stated = Sizes::default();
            set(&mut stated, mm(size));
            let faults = refused(&sized(stated));
            let about = told(&faults);
            assert!(
                about.contains(&("C-SIZE", property)),
                "{property} {size}: {about:?}"
            );
            assert!(
                faults
                    .iter()
                    .all(|fault| fault.is_fault() && !fault.remedy.is_empty())
            );
        }
    }
}

/// Not a number, or endless, in any row of either table that a take-off reads.
#[test]
fn no_figure_that_is_no_number_is_taken() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for key in ["chamber.base", "chamber.margin", "chamber.section_depth"] {
            let faults = take_off(&new(), &method(&[(key, bad)]), &materials(&[])).unwrap_err();
            assert_eq!(told(&faults), [("P-RANGE", "value")], "{key} {bad}");
        }
        let weights = materials(&[("density.bank_soil", bad)]);
        let faults = take_off(&new(), &method(&[]), &weights).unwrap_err();
        assert_eq!(told(&faults), [("P-RANGE", "value")], "{bad}");
    }
}
