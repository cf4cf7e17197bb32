//! Rows of parameters as the sample states them: few, since everything else has a default.

use serde_json::{Value, json};

const SOURCE: &str = "invented for the demo";
const DATE: &str = "2027-02-25";

/// Rows of key, value and unit, with the source that they all share.
fn rows(stated: &[(&str, u32, &str)]) -> Value {
    stated
        .iter()
        .map(|(key, value, unit)| {
            json!({"key": key, "value": value, "unit": unit, "source": SOURCE, "date": DATE})
        })
        .collect()
}

/// What `method.json` holds: thin walls, and as much surfacing in the road as the road has.
#[must_use]
pub fn method() -> Value {
    let stated = [
        ("chamber.wall", 75, "mm"),
        ("chamber.bedding", 15, "mm"),
        ("chamber.surfacing.carriageway", 100, "mm"),
    ];
    json!({"parameters": rows(&stated)})
}

/// What `materials.json` holds: the payload of the wagon that brings stone.
#[must_use]
pub fn materials() -> Value {
    json!({"parameters": rows(&[("load.payload", 3, "t"), ("waste.type1", 12, "%")])})
}

/// The rates of the week, in pence.
#[must_use]
pub fn rates() -> Value {
    rows(&[
        ("rate.crew_hour", 9_600, "p/h"),
        ("rate.overtime_extra_hour", 4_800, "p/h"),
        ("rate.travel_hour", 1_900, "p/h"),
        ("rate.gang_day", 6_000, "p/day"),
        ("rate.set_up.none", 1_500, "p"),
        ("rate.set_up.footway", 2_500, "p"),
        ("rate.set_up.lane", 6_500, "p"),
        ("rate.set_up.road", 15_000, "p"),
        ("rate.closure_hour.none", 0, "p/h"),
        ("rate.closure_hour.footway", 600, "p/h"),
        ("rate.closure_hour.lane", 2_400, "p/h"),
        ("rate.closure_hour.road", 6_400, "p/h"),
        ("rate.left_out.1", 400_000, "p"),
        ("rate.left_out.2", 260_000, "p"),
        ("rate.left_out.3", 160_000, "p"),
        ("rate.left_out.4", 100_000, "p"),
        ("rate.left_out.5", 70_000, "p"),
    ])
}

/// What `week.json` holds.
#[must_use]
pub fn week() -> Value {
    json!({
        "name": "Sallowby, week 9",
        "nation": "England",
        "first_day": "2027-03-01",
        "days": 5,
        "holidays": [],
        "temperature_c": 10,
        "invented": true,
        "today": "2027-02-25",
        "rates": rates(),
    })
}
