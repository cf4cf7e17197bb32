//! JSON Schemas of what the commands print.

use schemars::schema_for;
use serde_json::Value;

use crate::reports::Report;
use crate::totals::TotalsReport;

type Named = (&'static str, fn() -> schemars::Schema);

const ALL: [Named; 8] = [
    ("check", || schema_for!(Report)),
    ("totals", || schema_for!(TotalsReport)),
    ("explanation", || schema_for!(gangday_calc::Explanation)),
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

/// A feature collection as RFC 7946 has it, with the properties of a closure.
fn closures() -> schemars::Schema {
    let text = |what: &str| serde_json::json!({ "type": "string", "description": what });
    schemars::json_schema!({
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
                            "gang": text("id of the gang"),
                            "street": { "type": ["string", "null"] },
                            "street_name": { "type": ["string", "null"] },
                            "kind": { "enum": ["none", "footway", "lane", "road"] },
                            "start": text("local ISO 8601: signing goes out"),
                            "hold_from": text("local ISO 8601: work ends"),
                            "end": text("local ISO 8601: signing is away"),
                            "proposed": { "type": "boolean" },
                            "because": text("the rule that led to the kind")
                        }
                    }
                }
            } }
        }
    })
}
