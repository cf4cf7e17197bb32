//! What a job or its street states beyond the sizes: how the dig stands and its own layers.

use gangday_model::{DigShape, Finding, Job, Millimetres, Position, Street};
use serde_json::Value;

use crate::chamber;

/// Thicker than any layer that is laid: a slip of unit, common sense.
const THICKEST: i64 = 1_000;

/// Properties beyond the sizes, as stated.
#[derive(Default)]
pub(crate) struct Stated {
    pub(crate) shape: Option<DigShape>,
    pub(crate) sheeting: Option<Millimetres>,
    pub(crate) batter: Option<i64>,
    /// Mixture and thickness of each layer from the surface down.
    pub(crate) layers: Option<Vec<(String, Millimetres)>>,
}

impl Stated {
    /// # Errors
    /// Every property that can't be made out.
    pub(crate) fn of(job: &Job, street: Option<&Street>) -> Result<Self, Vec<Finding>> {
        let mut faults = Vec::new();
        let mut stated = Self::default();
        if !job.extra.is_empty() {
            let mut own =
                |fault: Finding| faults.push(fault.in_file("jobs.geojson").at(job.id.as_str()));
            let at = |name: &'static str| (name, job.extra.get(name));
            stated.shape = made_out(at("dig"), |value, _| shape(value), &mut own);
            stated.sheeting =
                made_out(at("sheeting_mm"), whole, &mut own).map(Millimetres::from_mm);
            stated.batter = made_out(at("batter_mm_per_m"), whole, &mut own);
            stated.layers = made_out(at("layers"), |value, _| layers(value), &mut own);
        }
        if let Some(street) = street.filter(|_| stated.layers.is_none()) {
            let mut own = |fault: Finding| {
                faults.push(fault.in_file("streets.geojson").at(street.id.as_str()));
            };
            if let Some(fault) = odd_layers(street) {
                own(fault);
            } else {
                let value = street_layers(street, job.position);
                stated.layers = made_out(("layers", value), |value, _| layers(value), &mut own);
            }
        }
        if faults.is_empty() {
            Ok(stated)
        } else {
            Err(faults)
        }
    }
}

/// What a property says, if it is there and says something; a fault is kept otherwise.
fn made_out<T>(
    (name, value): (&str, Option<&Value>),
    parse: impl Fn(&Value, &str) -> Result<T, Box<Finding>>,
    keep: &mut impl FnMut(Finding),
) -> Option<T> {
    parse(value?, name)
        .map_err(|fault| keep(fault.of(name)))
        .ok()
}

/// A street's layers: by position, or a plain list for its carriageway.
fn street_layers(street: &Street, position: Position) -> Option<&Value> {
    match street.extra.get("layers")? {
        Value::Object(by_position) => by_position.get(chamber::key(position)),
        list => (position == Position::Carriageway).then_some(list),
    }
}

/// What is the matter with a street's layers as a whole, whatever position a job has.
fn odd_layers(street: &Street) -> Option<Finding> {
    let stated = street.extra.get("layers")?;
    let known = |name: &String| {
        let mut positions = chamber::POSITIONS.iter();
        positions.any(|(_, key)| key == name)
    };
    let text = match stated {
        Value::Array(_) => return None,
        Value::Object(by_position) => {
            let odd = by_position.keys().find(|name| !known(name))?;
            format!("{odd} is no position that a street has layers in")
        }
        other => format!("{other} is no list of layers and names no position"),
    };
    let remedy = "State a list for the carriageway, or one each for verge, footway, cycle_track or \
                  carriageway.";
    Some(Finding::fault("C-LAYERS", text, remedy).of("layers"))
}

fn shape(value: &Value) -> Result<DigShape, Box<Finding>> {
    match value.as_str() {
        Some("vertical") => Ok(DigShape::Vertical),
        Some("sheeted") => Ok(DigShape::Sheeted),
        Some("battered") => Ok(DigShape::Battered),
        _ => Err(Box::new(Finding::fault(
            "C-DIG",
            format!("{value} says nothing about how the sides of a dig stand"),
            "State vertical, sheeted or battered.",
        ))),
    }
}

fn whole(value: &Value, name: &str) -> Result<i64, Box<Finding>> {
    value.as_i64().ok_or_else(|| {
        let text = format!("{name} is {value}, not a whole number");
        Box::new(Finding::fault("C-DIG", text, "State whole millimetres."))
    })
}

fn layers(value: &Value) -> Result<Vec<(String, Millimetres)>, Box<Finding>> {
    let one = |layer: &Value| {
        let mixture = layer
            .get("mixture")?
            .as_str()
            .filter(|name| !name.is_empty())?;
        let mm = layer
            .get("mm")?
            .as_i64()
            .filter(|mm| (1..=THICKEST).contains(mm))?;
        Some((mixture.to_owned(), Millimetres::from_mm(mm)))
    };
    let all: Option<Vec<_>> = value
        .as_array()
        .and_then(|list| list.iter().map(one).collect());
    all.filter(|layers| !layers.is_empty()).ok_or_else(|| {
        let text = format!("{value} is no list of layers");
        let remedy = "State a list from the surface down, as in \
                      [{\"mixture\": \"ac10_close_surf\", \"mm\": 40}].";
        Box::new(Finding::fault("C-LAYERS", text, remedy))
    })
}
