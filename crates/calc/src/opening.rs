//! What the code calls an opening of this size: the edition decides.

use gangday_model::{
    DigShape, Finding, Millimetres, ParameterTable, Position, SquareMillimetres, TakeOff, Work,
};
use schemars::JsonSchema;
use serde::Serialize;

use crate::figures::Figures;

/// The categories of openings that a chamber can fall under.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum OpeningClass {
    /// Up to 60 mm wide and over 1 m long.
    MicroTrench,
    /// A narrow trench.
    NarrowTrench,
    /// A small opening, or small excavation in the 3rd edition.
    Small,
    /// None of the others.
    Other,
    /// In ground that the code gives no class, such as a verge.
    Unclassed,
}

/// A job's opening under one edition of the code.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Opening {
    /// Edition of the code.
    pub edition: u32,
    /// Its class.
    pub class: OpeningClass,
    /// The area that counts, mm2: under the 4th edition less the cover's.
    pub area_mm2: i64,
    /// Up to what area an opening is small here, mm2.
    pub limit_mm2: i64,
    /// Whether it is a deep opening.
    pub deep: bool,
    /// The rule with its numbers.
    pub why: String,
}

/// What the edition chosen in `opening.edition` calls this opening.
///
/// Where the road type is not known, a carriageway takes the limit of the heavier types.
///
/// # Errors
/// A figure that is missing, or an edition other than 3 and 4.
///
/// # Source
/// SROH 4th edition (May 2020), S1.5; the 3rd edition (England) from memory.
///
/// ```
/// use gangday_calc::{OpeningClass, opening, shipped_materials, shipped_method, take_off};
/// use gangday_model::{Job, LonLat, Position, Work};
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Footway);
/// let taken = take_off(&job, &method, &materials).unwrap();
/// // 1.4 m x 1.4 m less the cover's 0.9 m x 0.9 m.
/// let opening = opening(&taken, None, &method).unwrap();
/// assert_eq!((opening.class, opening.area_mm2), (OpeningClass::Small, 1_150_000));
/// ```
pub fn opening(
    take_off: &TakeOff,
    road_type: Option<u8>,
    method: &ParameterTable,
) -> Result<Opening, Vec<Finding>> {
    let mut read = Figures::method(method);
    let edition = read.whole("opening.edition");
    let opening = match edition {
        3 => third(take_off, &mut read),
        4 => fourth(take_off, road_type, &mut read),
        other => return Err(vec![no_edition(other)]),
    };
    let deep = take_off.depth > read.mm("opening.deep_cover")
        && take_off.dig_length.max(take_off.dig_width) >= read.mm("opening.deep_length");
    let faults = read.into_faults();
    if faults.is_empty() {
        Ok(Opening { deep, ..opening })
    } else {
        Err(faults)
    }
}

fn third(take_off: &TakeOff, read: &mut Figures) -> Opening {
    let area = take_off.dig_length * take_off.dig_width;
    let limit = square_metres(read.number(small_row(3, take_off.position, None)));
    let class = if area <= limit {
        OpeningClass::Small
    } else if narrower(take_off) <= read.mm("opening.3.narrow_most") {
        OpeningClass::NarrowTrench
    } else {
        OpeningClass::Other
    };
    told(3, class, area, limit, "whole opening")
}

fn fourth(take_off: &TakeOff, road_type: Option<u8>, read: &mut Figures) -> Opening {
    let cover = take_off.ironwork_length * take_off.ironwork_width;
    let area = take_off.dig_length * take_off.dig_width - cover;
    let limit = square_metres(read.number(small_row(4, take_off.position, road_type)));
    let width = narrower(take_off);
    let long = take_off.dig_length.max(take_off.dig_width) > read.mm("opening.4.narrow_length");
    let class = if take_off.position == Position::Verge {
        OpeningClass::Unclassed
    } else if long && width <= read.mm("opening.4.micro_most") {
        OpeningClass::MicroTrench
    } else if long && width <= read.mm("opening.4.narrow_most") {
        OpeningClass::NarrowTrench
    } else if area <= limit {
        OpeningClass::Small
    } else {
        OpeningClass::Other
    };
    told(4, class, area, limit, "opening less the cover")
}

/// The row that says up to what area an opening is small.
pub(crate) fn small_row(edition: u32, position: Position, road_type: Option<u8>) -> &'static str {
    let heavy = position == Position::Carriageway && road_type.is_none_or(|kind| kind < 3);
    match (edition, heavy) {
        (3, _) => "opening.3.small",
        (_, true) => "opening.4.small_heavy",
        (_, false) => "opening.4.small_light",
    }
}

fn narrower(take_off: &TakeOff) -> Millimetres {
    take_off.dig_length.min(take_off.dig_width)
}

fn square_metres(value: f64) -> SquareMillimetres {
    SquareMillimetres::from_mm2((value * 1e6).round() as i64)
}

fn told(
    edition: u32,
    class: OpeningClass,
    area: SquareMillimetres,
    limit: SquareMillimetres,
    what: &str,
) -> Opening {
    let why = format!(
        "SROH edition {edition}: {what} = {:.3} m², small up to {} m²",
        area.m2(),
        limit.m2()
    );
    Opening {
        edition,
        class,
        area_mm2: area.mm2(),
        limit_mm2: limit.mm2(),
        deep: false,
        why,
    }
}

fn no_edition(edition: i64) -> Finding {
    Finding::fault(
        "C-EDITION",
        format!("edition {edition} of the reinstatement code is not known here"),
        "Set opening.edition to 3 or 4.",
    )
    .in_file("method.json")
    .at("opening.edition")
    .of("value")
}

/// What must be told of the sides of every dig for a chamber, which no figure here makes safe.
pub(crate) fn sides(take_off: &TakeOff) -> Option<Finding> {
    let (what, property) = match take_off.dig_shape {
        DigShape::Vertical => ("vertical sides", "dig"),
        DigShape::Sheeted => ("sheets", "sheeting_mm"),
        DigShape::Battered => ("slopes", "batter_mm_per_m"),
    };
    let note = Finding::note(
        "C-SIDES",
        format!("the {what} are a quantity here, not a design; no depth is taken as safe"),
        "A competent person assesses the sides before anybody goes in, and each day.",
    );
    (take_off.work != Work::Adjust).then(|| note.of(property))
}

/// The same where somebody chose how the sides stand; of vertical ones, which are the usual, each
/// job's explanation tells.
pub(crate) fn chosen_sides(take_off: &TakeOff) -> Option<Finding> {
    sides(take_off).filter(|_| take_off.dig_shape != DigShape::Vertical)
}
