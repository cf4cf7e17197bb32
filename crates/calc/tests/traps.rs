//! Where published sources contradict one another, the one that the program goes by.
#![allow(clippy::unwrap_used, reason = "tests stop where they must")]

mod common;

use common::{job, materials, method, taken};
use gangday_calc::{Fill, StageRules, permitted_passes, shipped_method};
use gangday_model::{Millimetres, Position, Work};

/// Specification for Highway Works, cl. 802 (from memory) lets a compacted layer be 110 to 225 mm;
/// Table A8.1 (SROR 3rd edition, Scotland) caps lifts by plant, at 200 mm at the most. For
/// reinstatement the second one counts.
#[test]
fn a_layer_that_the_specification_for_highway_works_lets_pass_is_no_lift() {
    let method = shipped_method();
    let passes =
        |plant, mm| permitted_passes(plant, Fill::Granular, Millimetres::from_mm(mm), &method);
    for plant in ["vibrotamper_50", "plate_1800", "roller_twin_2000"] {
        assert_eq!(passes(plant, 225), None, "{plant}");
    }
    assert_eq!(passes("vibrotamper_50", 110), Some(8));
    assert_eq!(passes("vibrotamper_50", 151), None);
    assert_eq!(passes("plate_1800", 200), Some(7));
}

/// Published labour for digging a cubic metre by hand down to 1 m: 2.4 h (BL501 Learning Pack 1, table
/// 1, where a later row prints 2.4 + 5.2 + 1.4 as 8.0); 1.2, 2.2 and 3.3 h in sand, medium and heavy
/// ground (other listings). They are 2:1 apart and one does not add up, so none of them is shipped:
/// every output says to put one's own in its place, and a dig takes what is stated, to the minute.
#[test]
fn labour_is_the_gang_s_own_since_published_lists_disagree() {
    let shipped = shipped_method();
    let outputs = shipped.rows().filter(|row| row.key.starts_with("output."));
    let mut count = 0;
    for row in outputs {
        assert!(
            row.source.contains("put your own recorded output here"),
            "{}",
            row.key
        );
        count += 1;
    }
    assert!(count > 10, "{count}");
    const KEY: &str = "output.excavate.soil";
    let mut dig = job(Work::New, Position::Verge);
    dig.ground = Some("soil".to_owned());
    let minutes = |hours: f64| {
        let own = method(&[(KEY, 1.0 / hours)]);
        let (materials, taken) = (materials(&[]), taken(&dig));
        let rules = StageRules::read(&own, &materials).unwrap();
        let all = rules.activities(&dig, &taken, None).unwrap();
        let dug = all.iter().find(|one| one.key == KEY).unwrap();
        (dug.minutes, dug.quantity)
    };
    for hours in [1.2, 2.2, 2.4, 3.3] {
        let (minutes, cubic_metres) = minutes(hours);
        assert!(
            (minutes - cubic_metres * hours * 60.0).abs() < 1e-6,
            "{hours}: {minutes}"
        );
    }
}
