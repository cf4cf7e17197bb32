//! Where published sources contradict one another, the one that the program goes by.
#![allow(clippy::unwrap_used, reason = "tests stop where they must")]

use gangday_calc::{Fill, permitted_passes, shipped_method};
use gangday_model::Millimetres;

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
