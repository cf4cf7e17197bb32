//! A feature or a row of a list as a row of a table, and back with nothing lost.
//!
//! A property that its column can hold stands in the column; any other stands as it was written in
//! the JSON text of `other`. Foreign members of a feature are in `beside`; in `written` is whatever
//! else is needed to write the feature as it was. Where a GIS has put something into a column, the
//! column counts.

use rusqlite::types::Value as Sql;
use serde_json::{Map, Number, Value, json};

use super::geometry;
use super::layers::{Column, Kind, Layer};

/// The values of a row, in the order of [`Layer::all`].
pub(crate) type Row = Vec<Sql>;

/// What is told of a row that stands among those of other files.
pub(crate) struct Whose<'a> {
    pub(crate) file: &'a str,
    pub(crate) list: &'a str,
}

/// The row of a feature or of an object in a list.
pub(crate) fn split(value: &Value, layer: &Layer, whose: &Whose<'_>) -> Row {
    let mut row = Row::new();
    let mut parts = Parts::of(value, layer);
    if layer.shape.is_some() {
        row.push(parts.geom.take().map_or(Sql::Null, Sql::Blob));
        row.push(parts.id.take().map_or(Sql::Null, Sql::Text));
    }
    if layer.shared {
        row.push(Sql::Text(whose.file.to_owned()));
        row.push(Sql::Text(whose.list.to_owned()));
    }
    for column in layer.columns {
        row.extend(cells(column, &mut parts.properties));
    }
    row.push(as_text(parts.properties));
    row.push(as_text(parts.beside));
    row.push(as_text(parts.written));
    row
}

/// JSON text; none for an object with nothing in it.
pub(crate) fn as_text(members: Map<String, Value>) -> Sql {
    if members.is_empty() {
        Sql::Null
    } else {
        Sql::Text(Value::Object(members).to_string())
    }
}

/// A feature taken apart; a row of a list is nothing but properties.
#[derive(Default)]
struct Parts {
    geom: Option<Vec<u8>>,
    id: Option<String>,
    properties: Map<String, Value>,
    beside: Map<String, Value>,
    written: Map<String, Value>,
}

impl Parts {
    fn of(value: &Value, layer: &Layer) -> Self {
        let parts = match (value, layer.shape) {
            (Value::Object(members), Some(shape)) => Self::of_feature(members, shape),
            (Value::Object(members), None) => Some(Self {
                properties: members.clone(),
                ..Self::default()
            }),
            _ => None,
        };
        // What is no feature at all is kept as it is.
        parts.unwrap_or_else(|| {
            let mut raw = Self::default();
            raw.written.insert("raw".to_owned(), value.clone());
            raw
        })
    }

    fn of_feature(members: &Map<String, Value>, shape: geometry::Shape) -> Option<Self> {
        let mut parts = Self::default();
        if members.get("type")? != "Feature" {
            return None;
        }
        match members.get("properties") {
            Some(Value::Object(properties)) => parts.properties = properties.clone(),
            Some(Value::Null) => {
                parts.written.insert("properties".to_owned(), Value::Null);
            }
            Some(_) => return None,
            None => {
                parts
                    .written
                    .insert("properties".to_owned(), json!("absent"));
            }
        }
        parts.take_id(members);
        parts.take_geometry(members, shape);
        let known = ["type", "id", "properties", "geometry"];
        let foreign = members
            .iter()
            .filter(|(name, _)| !known.contains(&name.as_str()));
        parts
            .beside
            .extend(foreign.map(|(name, value)| (name.clone(), value.clone())));
        Some(parts)
    }

    /// The id in its column as text; how it was written, where that was not plain text outside.
    fn take_id(&mut self, members: &Map<String, Value>) {
        let outer = members.get("id");
        let text = |value: &Value| match value {
            Value::String(text) if !text.trim().is_empty() => Some(text.clone()),
            Value::Number(number) => Some(number.to_string()),
            _ => None,
        };
        self.id = outer
            .and_then(text)
            .or_else(|| self.properties.get("id").and_then(text));
        if self.id.is_none() || outer.and_then(Value::as_str) != self.id.as_deref() {
            let how = outer.map_or_else(|| json!([]), |id| json!([id]));
            self.written.insert("id".to_owned(), how);
        }
    }

    fn take_geometry(&mut self, members: &Map<String, Value>, shape: geometry::Shape) {
        let Some(stated) = members.get("geometry") else {
            self.written.insert("geometry".to_owned(), json!([]));
            return;
        };
        self.geom = geometry::encode(stated, shape);
        let back = self.geom.as_deref().and_then(geometry::decode);
        match back {
            Some(back) if same(&back, stated) => {}
            Some(back) if is_bundle_of_one(stated, &back) => {
                self.written.insert("bundle".to_owned(), json!(true));
            }
            _ => {
                self.geom = None;
                self.written.insert("geometry".to_owned(), json!([stated]));
            }
        }
    }
}

/// Whether a stated bundle is this one line.
fn is_bundle_of_one(stated: &Value, line: &Value) -> bool {
    same(stated, &bundled(line))
}

fn bundled(line: &Value) -> Value {
    json!({"type": "MultiLineString", "coordinates": [line["coordinates"]]})
}

/// Whether two values say the same, numbers by what they are worth and not by how they are written.
pub(crate) fn same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Number(one), Value::Number(other)) => {
            let whole = one
                .as_i64()
                .zip(other.as_i64())
                .map(|(one, other)| one == other);
            whole.unwrap_or_else(|| {
                one.as_f64().map(f64::to_bits) == other.as_f64().map(f64::to_bits)
            })
        }
        (Value::Array(one), Value::Array(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| same(one, other))
        }
        (Value::Object(one), Value::Object(other)) => {
            one.len() == other.len()
                && one
                    .iter()
                    .all(|(name, one)| other.get(name).is_some_and(|it| same(one, it)))
        }
        _ => one == other,
    }
}

/// Moves a property into its column or columns, if it fits.
pub(crate) fn cells(column: &Column, properties: &mut Map<String, Value>) -> Vec<Sql> {
    let many = column.sql().len();
    let stated = properties.get(column.name);
    let cells = stated.and_then(|value| to_cells(column.kind, value));
    let fits = cells.as_ref().zip(stated).is_some_and(|(cells, stated)| {
        from_cells(column.kind, cells).is_some_and(|back| same(&back, stated))
    });
    if !fits {
        return vec![Sql::Null; many];
    }
    properties.shift_remove(column.name);
    cells.unwrap_or_default()
}

fn to_cells(kind: Kind, value: &Value) -> Option<Vec<Sql>> {
    let one = |cell: Sql| Some(vec![cell]);
    match (kind, value) {
        (Kind::Text, Value::String(text)) => one(Sql::Text(text.clone())),
        (Kind::Date, Value::String(text)) if is_date(text) => one(Sql::Text(text.clone())),
        (Kind::Whole, Value::Number(number)) => one(Sql::Integer(number.as_i64()?)),
        (Kind::Real, Value::Number(number)) => one(Sql::Real(number.as_f64()?)),
        (Kind::Flag, Value::Bool(flag)) => one(Sql::Integer(i64::from(*flag))),
        (Kind::List, Value::Array(_)) => one(Sql::Text(value.to_string())),
        (Kind::Place, Value::Array(pair)) => match pair.as_slice() {
            [lon, lat] => Some(vec![Sql::Real(lon.as_f64()?), Sql::Real(lat.as_f64()?)]),
            _ => None,
        },
        _ => None,
    }
}

/// `2027-03-01`.
fn is_date(text: &str) -> bool {
    let digit = |(at, byte): (usize, u8)| match at {
        4 | 7 => byte == b'-',
        _ => byte.is_ascii_digit(),
    };
    text.len() == 10 && text.bytes().enumerate().all(digit)
}

/// The property that these cells state; whoever wrote them may have put a number for a text.
fn from_cells(kind: Kind, cells: &[Sql]) -> Option<Value> {
    match (kind, cells) {
        (Kind::Place, [lon, lat]) => Some(json!([number(lon)?, number(lat)?])),
        (Kind::Text | Kind::Date, [Sql::Text(text)]) => Some(json!(text)),
        (Kind::Text | Kind::Date, [cell]) => number(cell).map(|number| json!(number.to_string())),
        (Kind::Flag, [Sql::Integer(flag)]) => Some(json!(*flag != 0)),
        (Kind::List, [Sql::Text(text)]) => {
            Some(serde_json::from_str(text).unwrap_or_else(|_| json!(text)))
        }
        (_, [Sql::Text(text)]) => Some(json!(text)),
        (_, [cell]) => number(cell).map(Value::Number),
        _ => None,
    }
}

/// A number as people write it: 450 and not 450.0.
fn number(cell: &Sql) -> Option<Number> {
    match cell {
        Sql::Integer(whole) => Some(Number::from(*whole)),
        Sql::Real(real) => {
            let negative_zero = *real == 0.0 && real.is_sign_negative();
            let whole = real.fract() == 0.0 && real.abs() < 9e15 && !negative_zero;
            if whole {
                Some(Number::from(*real as i64))
            } else {
                Number::from_f64(*real)
            }
        }
        _ => None,
    }
}

/// What a row states: a feature, or an object of a list.
pub(crate) fn compose(row: &[Sql], layer: &Layer) -> Value {
    let mut cells = row.iter();
    let feature = layer.shape.is_some();
    let (geom, id) = if feature {
        (cells.next(), cells.next())
    } else {
        (None, None)
    };
    let _whose = if layer.shared {
        (cells.next(), cells.next())
    } else {
        (None, None)
    };
    let mut properties = Map::new();
    for column in layer.columns {
        let own: Vec<Sql> = cells.by_ref().take(column.sql().len()).cloned().collect();
        properties
            .extend(from_cells(column.kind, &own).map(|value| (column.name.to_owned(), value)));
    }
    let [other, beside, mut written] = [cells.next(), cells.next(), cells.next()].map(members);
    for (name, value) in other {
        properties.entry(name).or_insert(value);
    }
    let geom = geom.and_then(|geom| match geom {
        Sql::Blob(blob) => geometry::decode(blob),
        _ => None,
    });
    if let Some(raw) = written
        .shift_remove("raw")
        .filter(|_| geom.is_none() && properties.is_empty())
    {
        return raw;
    }
    if feature {
        as_feature(geom, id, properties, beside, &written)
    } else {
        Value::Object(properties)
    }
}

pub(crate) fn members(cell: Option<&Sql>) -> Map<String, Value> {
    let Some(Sql::Text(text)) = cell else {
        return Map::new();
    };
    serde_json::from_str(text).unwrap_or_default()
}

fn as_feature(
    geom: Option<Value>,
    id: Option<&Sql>,
    properties: Map<String, Value>,
    beside: Map<String, Value>,
    written: &Map<String, Value>,
) -> Value {
    let mut feature = Map::new();
    feature.insert("type".to_owned(), json!("Feature"));
    feature.extend(id_of(id, written).map(|id| ("id".to_owned(), id)));
    match written.get("properties") {
        Some(Value::Null) if properties.is_empty() => {
            feature.insert("properties".to_owned(), Value::Null);
        }
        Some(_) if properties.is_empty() => {}
        _ => {
            feature.insert("properties".to_owned(), Value::Object(properties));
        }
    }
    let geometry = match geom {
        Some(line) if written.contains_key("bundle") && line["type"] == "LineString" => {
            Some(bundled(&line))
        }
        Some(geom) => Some(geom),
        None => match written.get("geometry") {
            Some(Value::Array(stated)) => stated.first().cloned(),
            _ => Some(Value::Null),
        },
    };
    feature.extend(geometry.map(|geometry| ("geometry".to_owned(), geometry)));
    feature.extend(beside);
    Value::Object(feature)
}

/// The id outside the properties: as it was written, unless the column has another by now.
fn id_of(id: Option<&Sql>, written: &Map<String, Value>) -> Option<Value> {
    let id = match id {
        Some(Sql::Text(text)) => Some(text.clone()),
        Some(Sql::Integer(number)) => Some(number.to_string()),
        _ => None,
    };
    match written.get("id") {
        Some(Value::Array(stated)) => match (stated.first(), id) {
            (Some(Value::Number(number)), Some(id)) if number.to_string() != id => Some(json!(id)),
            (stated, _) => stated.cloned(),
        },
        _ => id.map(|id| json!(id)),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::gpkg::layers::{GANGS, JOBS, STREETS};

    fn comes_back(value: &Value, layer: &Layer) {
        let whose = Whose { file: "", list: "" };
        let row = split(value, layer, &whose);
        assert_eq!(row.len(), layer.all().len());
        let back = compose(&row, layer);
        assert!(same(&back, value), "{value} came back as {back}");
    }

    #[test]
    fn odd_features_come_back_as_they_were() {
        let features = [
            json!({"type": "Feature", "id": 17, "properties": null, "geometry": null}),
            json!({"type": "Feature", "properties": {"id": "J1", "sections": "six", "priority": 2.5}}),
            json!({"type": "Feature", "id": "", "bbox": [1, 2], "geometry": {"type": "Point", "coordinates": []}, "properties": {}}),
            json!({"type": "Feature", "id": "J", "properties": {"earliest": "soon", "other": {"other": 1}, "written": null}, "geometry": {"type": "Point", "coordinates": [1, 2], "crs": null}}),
            json!("no feature"),
            json!({"type": "Feature", "properties": [1], "geometry": 7}),
            json!({"type": "Feature", "id": null, "properties": {"work": null}, "geometry": {"type": "Point", "coordinates": [-0.0, 1e308]}}),
        ];
        features
            .iter()
            .for_each(|feature| comes_back(feature, &JOBS));
        let bundle = json!({"type": "Feature", "id": "S", "properties": {"one_way": true, "width_m": 7.25},
            "geometry": {"type": "MultiLineString", "coordinates": [[[0.5, 0.5], [1.5, 1.5]]]}});
        comes_back(&bundle, &STREETS);
        comes_back(
            &json!({"id": "G", "depot": [-1.5, 53.5], "shift": ["07:30", "16:30"], "depot_lon": 1}),
            &GANGS,
        );
        comes_back(&json!({"id": 1, "depot": "here", "people": true}), &GANGS);
    }

    fn any_json() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::Bool),
            any::<i64>().prop_map(|n| json!(n)),
            any::<f64>()
                .prop_filter("JSON has finite numbers", |n| n.is_finite())
                .prop_map(|n| json!(n)),
            ".{0,8}".prop_map(Value::String),
        ];
        leaf.prop_recursive(3, 24, 6, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..4).prop_map(Value::Array),
                prop::collection::vec((".{0,6}", inner), 0..4)
                    .prop_map(|all| Value::Object(all.into_iter().collect())),
            ]
        })
    }

    fn any_feature() -> impl Strategy<Value = Value> {
        let names = prop::sample::select(vec![
            "title",
            "work",
            "sections",
            "priority",
            "earliest",
            "nights",
            "over_weekend",
            "site_hours",
            "other",
            "written",
            "x",
            "id",
        ]);
        let properties = prop::collection::vec((names, any_json()), 0..6).prop_map(|all| {
            Value::Object(
                all.into_iter()
                    .map(|(name, value)| (name.to_owned(), value))
                    .collect(),
            )
        });
        let at = prop::collection::vec(any::<f64>().prop_filter("finite", |n| n.is_finite()), 0..4);
        let geometry = prop_oneof![
            at.prop_map(|at| json!({"type": "Point", "coordinates": at})),
            any_json(),
        ];
        (any_json(), properties, geometry).prop_map(|(id, properties, geometry)| {
            json!({"type": "Feature", "id": id, "properties": properties, "geometry": geometry})
        })
    }

    proptest! {
        #[test]
        fn any_feature_comes_back(feature in any_feature()) {
            comes_back(&feature, &JOBS);
        }

        #[test]
        fn anything_in_a_list_comes_back(row in any_json()) {
            comes_back(&row, &GANGS);
            comes_back(&row, &JOBS);
        }
    }
}
