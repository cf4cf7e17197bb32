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

/// What `materials.json` holds: the payload of the wagon that brings stone, who supplies what in how
/// many working days, and what it costs.
#[must_use]
pub fn materials() -> Value {
    let mut stated = rows(&[("load.payload", 3, "t"), ("waste.type1", 12, "%")]);
    let prices = rows(&[
        ("price.base_concrete", 640, "p per bag"),
        ("price.surround_concrete", 640, "p per bag"),
        ("price.type1", 3_400, "p per t"),
        ("price.topsoil", 2_900, "p per t"),
        ("price.surfacing", 1_150, "p per bag"),
        ("price.mortar", 3_900, "p per unit"),
        ("price.edge_sealant", 1_450, "p per tin"),
        ("price.sections", 5_200, "p per section"),
        ("price.ironwork", 31_500, "p per frame and cover"),
    ]);
    if let (Some(stated), Value::Array(prices)) = (stated.as_array_mut(), prices) {
        stated.extend(leads());
        stated.extend(prices);
    }
    json!({ "parameters": stated })
}

/// Suppliers of the invented district with their lead times.
fn leads() -> Vec<Value> {
    let stated = [
        ("lead.type1", 1, "Ferrow Quarry"),
        ("lead.topsoil", 2, "Ferrow Quarry"),
        ("lead.base_concrete", 2, "Sallowby Quay Stores"),
        ("lead.surround_concrete", 2, "Sallowby Quay Stores"),
        ("lead.surfacing", 2, "Sallowby Quay Stores"),
        ("lead.mortar", 2, "Sallowby Quay Stores"),
        ("lead.edge_sealant", 2, "Sallowby Quay Stores"),
        ("lead.sections", 2, "Outer Marsh Castings"),
        ("lead.ironwork", 2, "Outer Marsh Castings"),
    ];
    let row = |(key, days, supplier)| {
        json!({
            "key": key, "value": days, "unit": "working days", "supplier": supplier,
            "source": SOURCE, "date": DATE,
        })
    };
    stated.map(row).into()
}

/// The rates of the week, in pence.
#[must_use]
pub fn rates() -> Value {
    rows(&[
        ("rate.crew_hour", 9_600, "p/h"),
        ("rate.overtime_extra_hour", 4_800, "p/h"),
        ("rate.travel_hour", 1_900, "p/h"),
        ("rate.gang_day", 6_000, "p/day"),
        ("rate.night", 2_500, "p"),
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
        "temperatures": {
            "2027-03-03": 7,
            "2027-03-04": { "06:00": 3, "09:00": 6, "13:00": 10, "17:00": 7 },
        },
        "invented": true,
        "today": "2027-02-25",
        "rates": rates(),
    })
}
