//! How long a gang drives where there is no road network, or a place is off it.

use gangday_model::{Finding, Parameter, ParameterTable, PlanePoint, Seconds};

use crate::roads::ONE;

/// Driving by the straight distance, a detour factor and a speed.
///
/// It is the same both ways and takes no account of one-way streets or bridges; it stands in where
/// there is no road network or a place is far from any road.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Straight {
    detour_factor: f64,
    speed_kmh: f64,
}

impl Straight {
    /// A way of driving, if roads are no shorter than the straight line and the speed is above nothing.
    ///
    /// # Units
    /// `detour_factor`: road metres per straight metre; `speed_kmh` in km/h.
    #[must_use]
    pub fn new(detour_factor: f64, speed_kmh: f64) -> Option<Self> {
        let usable = detour_factor >= 1.0 && detour_factor.is_finite() && speed_kmh > 0.0;
        (usable && speed_kmh.is_finite()).then_some(Self {
            detour_factor,
            speed_kmh,
        })
    }

    /// The way of driving that a table states under `travel.detour_factor` and `travel.speed_kmh`.
    ///
    /// # Errors
    /// `P-TRAVEL` where a figure is missing or can't be used.
    pub fn from_table(table: &ParameterTable) -> Result<Self, Box<Finding>> {
        let figures = table
            .value("travel.detour_factor")
            .zip(table.value("travel.speed_kmh"));
        figures
            .and_then(|(factor, speed)| Self::new(factor, speed))
            .ok_or_else(|| {
                Box::new(Finding::fault(
                    "P-TRAVEL",
                    "The detour factor or the travel speed is missing or can't be used.",
                    "State `travel.detour_factor` of at least 1 and `travel.speed_kmh` above 0 km/h.",
                ))
            })
    }

    /// The way of driving that comes with the program.
    #[must_use]
    pub fn shipped() -> Self {
        Self::from_table(&shipped_travel()).expect("the shipped travel figures are tested")
    }

    /// The same for a vehicle, or an hour, that takes longer.
    ///
    /// # Units
    /// `factor` in parts of [`ONE`](crate::roads::ONE): 1,200 takes a fifth longer.
    #[must_use]
    pub fn slower(self, factor: u32) -> Self {
        let times = f64::from(factor.max(1)) / f64::from(ONE);
        Self {
            speed_kmh: self.speed_kmh / times,
            ..self
        }
    }

    /// How far the drive is by this reckoning: straight distance x detour factor.
    ///
    /// # Units
    /// Metres by road.
    #[must_use]
    pub fn metres(&self, from: PlanePoint, to: PlanePoint) -> f64 {
        from.distance_m(to) * self.detour_factor
    }

    /// How long the drive takes, up to the next whole minute.
    ///
    /// Straight distance (begun decimetres) x detour factor / speed, in whole numbers, so that a
    /// planner that counts the same way comes to the same minute.
    ///
    /// ```
    /// use gangday_ground::Straight;
    /// use gangday_model::{PlanePoint, Seconds};
    /// // 5 km straight, 6 km by road at 30 km/h: 12 minutes.
    /// let drive = Straight::new(1.2, 30.0).unwrap();
    /// let (depot, job) = (PlanePoint::from_metres(0.0, 0.0), PlanePoint::from_metres(3e3, 4e3));
    /// assert_eq!(drive.time(depot, job), Seconds::from_minutes(12));
    /// ```
    #[must_use]
    pub fn time(&self, from: PlanePoint, to: PlanePoint) -> Seconds {
        let (from, to) = (decimetres(from), decimetres(to));
        let (east, north) = (to.0 - from.0, to.1 - from.1);
        let square = east * east + north * north;
        let whole = square.isqrt();
        let straight = whole + i64::from(whole * whole < square);
        let seconds = (straight * self.seconds_per_1000_km() + 9_999_999) / 10_000_000;
        Seconds::from_seconds(seconds).up_to_minute()
    }

    /// How long 1,000 km of straight distance take.
    ///
    /// # Units
    /// Whole seconds, the nearest.
    #[must_use]
    pub fn seconds_per_1000_km(&self) -> i64 {
        (self.detour_factor * 1e6 / (self.speed_kmh / 3.6)).round() as i64
    }

    /// The formula with its figures, for the user.
    #[must_use]
    pub fn describe(&self) -> String {
        let Self {
            detour_factor,
            speed_kmh,
        } = self;
        format!(
            "Travel is the straight distance times {detour_factor} at {speed_kmh} km/h, up to the \
             next whole minute."
        )
    }
}

/// The travel figures that come with the program.
///
/// # Source
/// Each row names its own.
#[must_use]
pub fn shipped_travel() -> ParameterTable {
    let rows: Vec<Parameter> = serde_json::from_str(include_str!("../defaults/travel.json"))
        .expect("the shipped travel figures are tested");
    ParameterTable::new(rows)
}

/// A point in whole decimetres east and north, for a planner that counts in whole numbers.
///
/// ```
/// use gangday_ground::decimetres;
/// use gangday_model::PlanePoint;
/// assert_eq!(decimetres(PlanePoint::from_metres(357_455.843, -0.06)), (3_574_558, -1));
/// ```
#[must_use]
pub fn decimetres(at: PlanePoint) -> (i64, i64) {
    (
        (at.east_m() * 10.0).round() as i64,
        (at.north_m() * 10.0).round() as i64,
    )
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn at(east: f64, north: f64) -> PlanePoint {
        PlanePoint::from_metres(east, north)
    }

    #[test]
    fn the_shipped_figures_can_be_used_and_say_where_they_come_from() {
        assert_eq!(Straight::shipped(), Straight::new(1.3, 30.0).unwrap());
        let rows = shipped_travel();
        assert!(
            rows.rows()
                .all(|row| !row.source.is_empty() && !row.date.is_empty())
        );
    }

    #[test]
    fn figures_that_make_no_sense_are_refused() {
        assert_eq!(Straight::new(0.9, 30.0), None);
        assert_eq!(Straight::new(1.3, 0.0), None);
        assert_eq!(Straight::new(f64::NAN, 30.0), None);
        assert_eq!(Straight::new(1.3, f64::INFINITY), None);
        let fault = Straight::from_table(&ParameterTable::default()).unwrap_err();
        assert_eq!(fault.code, "P-TRAVEL");
    }

    #[test]
    fn no_distance_takes_no_time_and_a_metre_takes_a_minute() {
        let drive = Straight::new(1.0, 36.0).unwrap();
        assert_eq!(drive.time(at(7.0, 7.0), at(7.0, 7.0)), Seconds::ZERO);
        assert_eq!(
            drive.time(at(0.0, 0.0), at(1.0, 0.0)),
            Seconds::from_minutes(1)
        );
        assert_eq!(
            drive.time(at(0.0, 0.0), at(600.0, 0.0)),
            Seconds::from_minutes(1)
        );
        assert_eq!(
            drive.time(at(0.0, 0.0), at(600.1, 0.0)),
            Seconds::from_minutes(2)
        );
    }

    proptest! {
        #[test]
        fn there_and_back_take_as_long_and_a_way_round_is_never_shorter(
            [a, b, c, d, e, f] in prop::array::uniform6(-1e5f64..1e5),
        ) {
            let drive = Straight::new(1.3, 30.0).unwrap();
            let (p, q, r) = (at(a, b), at(c, d), at(e, f));
            prop_assert_eq!(drive.time(p, q), drive.time(q, p));
            prop_assert!(drive.time(p, q) <= drive.time(p, r) + drive.time(r, q));
        }
    }
}
