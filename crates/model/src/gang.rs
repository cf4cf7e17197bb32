//! Gangs and tips, as `gangs.json` states them.

use chrono::NaiveDate;
use serde_json::{Map, Value};

use crate::{GangId, Hours, LonLat, Mass, Seconds, TipId};

/// A gang with its vehicle.
#[derive(Clone, Debug, PartialEq)]
pub struct Gang {
    /// Its id, unique in the programme.
    pub id: GangId,
    /// What it is called.
    pub name: String,
    /// Where it loads and returns to.
    pub depot: LonLat,
    /// How many people.
    pub people: u32,
    /// Tickets that somebody in it holds.
    pub tickets: Vec<String>,
    /// What the vehicle may carry.
    pub payload: Option<Mass>,
    /// What the body holds, m3.
    pub volume_m3: Option<f64>,
    /// The shift.
    pub shift: Hours,
    /// How far past the shift it may go, at a price.
    pub overtime: Seconds,
    /// The days it works; none stated means every working day of the week.
    pub days: Option<Vec<NaiveDate>>,
    /// Properties that Gangday does not know, kept for the round trip.
    pub extra: Map<String, Value>,
}

/// A place that takes spoil.
#[derive(Clone, Debug, PartialEq)]
pub struct Tip {
    /// Its id, unique in the programme.
    pub id: TipId,
    /// What it is called.
    pub name: String,
    /// Where it is.
    pub at: LonLat,
    /// Properties that Gangday does not know, kept for the round trip.
    pub extra: Map<String, Value>,
}
