//! What the code calls the opening, followed back.

use gangday_model::TakeOff;

use super::Explained;
use super::traced::Tables;
use crate::opening::{Opening, OpeningClass, opening, small_row};

/// The area that the code counts and what that makes the opening; none where the code gives it no
/// class.
pub(super) fn opened(road_type: Option<u8>, taken: &TakeOff, tables: &Tables) -> Option<Explained> {
    let found = opening(taken, road_type, tables.method).ok()?;
    let class = class(&found)?;
    let dig = format!("{} x {}", taken.dig_length.mm(), taken.dig_width.mm());
    let (formula, numbers) = if found.edition == 3 {
        ("Le We", format!("{dig} / 1000000"))
    } else {
        let (long, wide) = (taken.ironwork_length.mm(), taken.ironwork_width.mm());
        let formula = "Le We less the area of the cover and frame";
        (formula, format!("({dig} - {long} x {wide}) / 1000000"))
    };
    let area = found.area_mm2 as f64 / 1e6;
    let formula = format!("{formula}; {}", found.why);
    let name = format!("area of the opening, {class}");
    let keys = [
        "opening.edition",
        small_row(found.edition, taken.position, road_type),
        "opening.deep_cover",
        "opening.deep_length",
        "chamber.margin",
    ];
    Some(tables.tell(&name, (area, "m2"), &formula, numbers, &keys))
}

fn class(opening: &Opening) -> Option<String> {
    let class = match opening.class {
        OpeningClass::MicroTrench => "a micro-trench",
        OpeningClass::NarrowTrench => "a narrow trench",
        OpeningClass::Small => "a small one",
        OpeningClass::Other => "none of the small or narrow ones",
        OpeningClass::Unclassed => return None,
    };
    let deep = if opening.deep { ", deep" } else { "" };
    Some(format!("{class}{deep}"))
}
