//! JSON Schemas of what the commands print.

use gangday_model::{
    Band, ClashKind, ClashWeight, Control, KitLine, Notice, OnFoot, Ruling, WidthLeft,
};
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, schema_for};
use serde_json::{Value, json};

use crate::reports::Report;
use crate::totals::TotalsReport;

type Named = (&'static str, fn() -> schemars::Schema);

const ALL: [Named; 8] = [
    ("check", || schema_for!(Report)),
    ("totals", || schema_for!(TotalsReport)),
    ("explanation", || schema_for!(crate::Explained)),
    ("plan", || schema_for!(gangday_model::Plan)),
    ("verify", || schema_for!(Report)),
    ("import", || schema_for!(crate::importing::ImportReport)),
    ("import-extract", || {
        schema_for!(crate::extracts::ExtractReport)
    }),
    ("closures", closures),
];

/// The names of all outputs.
pub fn schema_names() -> impl Iterator<Item = &'static str> {
    ALL.iter().map(|(name, _)| *name)
}

/// The JSON Schema of an output.
#[must_use]
pub fn schema(name: &str) -> Option<Value> {
    let (_, make) = ALL.iter().find(|(known, _)| *known == name)?;
    Some(make().to_value())
}

/// The schema of a type with everything in its place.
fn inline<T: JsonSchema>() -> Value {
    let settings =
        SchemaSettings::draft2020_12().with(|settings| settings.inline_subschemas = true);
    let mut schema = settings.into_generator().into_root_schema_for::<T>();
    schema.remove("$schema");
    schema.to_value()
}

/// The ways round a closed road.
fn diversion() -> Value {
    let way = json!({
        "type": ["object", "null"],
        "required": ["geometry", "length_m", "extra_m", "extra_s", "streets"],
        "properties": {
            "geometry": { "type": "object", "properties": { "type": { "const": "LineString" } } },
            "length_m": { "type": "number" },
            "extra_m": { "type": "number" },
            "extra_s": { "type": "number" },
            "streets": { "type": "array", "items": { "type": "string" } }
        }
    });
    json!({
        "type": "object",
        "required": ["words", "two_way", "along", "against"],
        "properties": {
            "words": { "type": "string" },
            "two_way": { "type": "boolean" },
            "along": way,
            "against": way
        }
    })
}

/// A clash, from one party's side.
fn clash() -> Value {
    let text = || json!({ "type": "string" });
    json!({
        "type": "object",
        "required": ["kind", "with", "from", "until", "weight", "text", "remedy"],
        "properties": {
            "kind": inline::<ClashKind>(),
            "with": text(),
            "from": text(),
            "until": text(),
            "weight": inline::<ClashWeight>(),
            "text": text(),
            "remedy": text()
        }
    })
}

/// A feature collection as RFC 7946 has it, with the properties of a closure.
fn closures() -> schemars::Schema {
    let text = |what: &str| serde_json::json!({ "type": "string", "description": what });
    let mut schema = schemars::json_schema!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Closures",
        "type": "object",
        "required": ["type", "features"],
        "properties": {
            "type": { "const": "FeatureCollection" },
            "attribution": text("who is to be named for the streets, if anybody is"),
            "features": { "type": "array", "items": {
                "type": "object",
                "required": ["type", "geometry", "properties"],
                "properties": {
                    "type": { "const": "Feature" },
                    "geometry": { "type": "object", "properties": { "type": { "const": "Polygon" } } },
                    "properties": {
                        "type": "object",
                        "required": ["job", "gang", "kind", "start", "hold_from", "end", "proposed"],
                        "properties": {
                            "job": text("id of the job"),
                            "gang": { "type": ["string", "null"], "description": "id of the gang; null where nobody works there in the week" },
                            "worked_from": { "type": ["string", "null"], "description": "local ISO 8601: the gang begins; null where nobody works there in the week" },
                            "worked_until": { "type": ["string", "null"], "description": "local ISO 8601: the gang is done" },
                            "street": { "type": ["string", "null"] },
                            "street_name": { "type": ["string", "null"] },
                            "kind": { "enum": ["none", "footway", "lane", "road"] },
                            "start": text("local ISO 8601: signing goes out; the week's first midnight where it stands from before"),
                            "hold_from": text("local ISO 8601: work ends"),
                            "end": text("local ISO 8601: signing is away; the week's last midnight where it stands beyond"),
                            "proposed": { "type": "boolean" },
                            "because": text("the rule that led to the kind")
                        }
                    }
                }
            } }
        }
    });
    let place = "/properties/features/items/properties/properties/properties";
    let properties = schema.pointer_mut(place).and_then(Value::as_object_mut);
    if let Some(properties) = properties {
        properties.extend(led_past());
    }
    schema
}

/// The properties that say how the public is led past, and what has to be told.
fn led_past() -> serde_json::Map<String, Value> {
    let text = |what: &str| json!({ "type": "string", "description": what });
    let texts = json!({ "type": "array", "items": { "type": "string" } });
    let clashes = json!({ "type": "array", "items": clash() });
    let all = [
        ("control", inline::<Control>()),
        ("on_foot", inline::<OnFoot>()),
        ("control_because", text("the rule that led to the control")),
        ("rulings", inline::<Vec<Ruling>>()),
        ("widths", inline::<Vec<WidthLeft>>()),
        ("coned_m", json!({ "type": ["number", "null"] })),
        ("kit", inline::<Vec<KitLine>>()),
        ("section", inline::<Vec<Band>>()),
        ("caution", text("what always goes with an arrangement")),
        ("diversion", diversion()),
        ("cut_off", texts.clone()),
        ("cut_off_addresses", texts),
        ("notice", inline::<Notice>()),
        ("clashes", clashes),
    ];
    all.into_iter()
        .map(|(name, schema)| (name.to_owned(), schema))
        .collect()
}
