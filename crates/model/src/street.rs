//! A street, as its feature in `streets.geojson` states it.

use chrono::NaiveDate;
use serde_json::{Map, Value};

use crate::{Hours, LonLat, StreetId};

/// A street and what its authority says of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Street {
    /// Its id, unique in the programme.
    pub id: StreetId,
    /// Its name, as on its plate.
    pub name: Option<String>,
    /// 0 to 4, given by the authority and never guessed.
    pub road_type: Option<u8>,
    /// Speed limit, mph.
    pub speed_limit_mph: Option<u32>,
    /// Carriageway width, m.
    pub width_m: Option<f64>,
    /// Whether traffic goes one way only, along the line.
    pub one_way: bool,
    /// Vehicles both ways in three minutes.
    pub flow_per_3_min: Option<f64>,
    /// Traffic-sensitive hours.
    pub traffic_sensitive: Vec<Hours>,
    /// No works before this date, after earlier works.
    pub restricted_until: Option<NaiveDate>,
    /// Its lines; one, unless the street is in parts.
    pub lines: Vec<Vec<LonLat>>,
    /// Properties that Gangday does not know, kept for the round trip.
    pub extra: Map<String, Value>,
}
