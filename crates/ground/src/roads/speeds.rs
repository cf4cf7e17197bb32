//! How fast a gang drives on what sort of way, and at what hour.

use gangday_model::{Finding, Link, LinkClass, Parameter, ParameterTable};

/// A factor of one, in the parts that speeds and hours are factored by.
pub const ONE: u32 = 1_000;

/// No vehicle is reckoned slower than this or faster than that, m/h.
const SPEEDS_M_H: [f64; 2] = [1_000.0, 200_000.0];

/// The classes that vehicles may use, with the names of their rows.
const DRIVEN: [(LinkClass, &str); 10] = [
    (LinkClass::Motorway, "motorway"),
    (LinkClass::Trunk, "trunk"),
    (LinkClass::Primary, "primary"),
    (LinkClass::Secondary, "secondary"),
    (LinkClass::Tertiary, "tertiary"),
    (LinkClass::Minor, "minor"),
    (LinkClass::Residential, "residential"),
    (LinkClass::LivingStreet, "living_street"),
    (LinkClass::Service, "service"),
    (LinkClass::Track, "track"),
];

/// The speed of each class of way and the factor of each hour.
///
/// A loaded van with a trailer keeps neither to the limit nor to the car in front, so a class has
/// its usual speed; a lower limit lowers it, a higher one changes nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Speeds {
    classes: [u32; DRIVEN.len()],
    hours: [u32; 24],
}

impl Speeds {
    /// The speeds that a table states under `road.speed.CLASS` and `road.hour.00` to `road.hour.23`.
    ///
    /// # Errors
    /// `P-ROADS` for each figure that is missing or can't be used.
    pub fn from_table(table: &ParameterTable) -> Result<Self, Vec<Finding>> {
        let mut faults = Vec::new();
        let classes = DRIVEN.map(|(_, name)| {
            let key = format!("road.speed.{name}");
            figure(table, &key, 1_000.0, SPEEDS_M_H)
                .unwrap_or_else(|fault| refuse(&mut faults, *fault))
        });
        let hours = std::array::from_fn(|hour| {
            let key = format!("road.hour.{hour:02}");
            figure(table, &key, f64::from(ONE), [200.0, 5_000.0])
                .unwrap_or_else(|fault| refuse(&mut faults, *fault))
        });
        if faults.is_empty() {
            Ok(Self { classes, hours })
        } else {
            Err(faults)
        }
    }

    /// The speeds that come with the program.
    #[must_use]
    pub fn shipped() -> Self {
        Self::from_table(&shipped_roads()).expect("the shipped road speeds are tested")
    }

    /// The speed on a link; none where its class is not for vehicles.
    ///
    /// # Units
    /// Whole metres an hour.
    #[must_use]
    pub fn metres_an_hour(&self, link: &Link) -> Option<u32> {
        let class = DRIVEN.iter().position(|(class, _)| *class == link.class)?;
        let limit = link.limit_kmh.filter(|limit| *limit > 0);
        let limit = limit.map_or(u32::MAX, |kmh| u32::from(kmh) * 1_000);
        Some(self.classes[class].min(limit))
    }

    /// How much longer a journey takes that begins in this hour of the day, in parts of [`ONE`].
    ///
    /// It is one factor for the whole journey, taken when it begins; so the times between places
    /// are worked out once for all hours.
    #[must_use]
    pub fn factor_at(&self, hour: u32) -> u32 {
        self.hours[(hour % 24) as usize]
    }
}

fn refuse(faults: &mut Vec<Finding>, fault: Finding) -> u32 {
    faults.push(fault);
    0
}

/// A figure in whole thousandths of its unit, within bounds.
fn figure(
    table: &ParameterTable,
    key: &str,
    times: f64,
    [least, most]: [f64; 2],
) -> Result<u32, Box<Finding>> {
    let value = table.value(key).map(|value| (value * times).round());
    let usable = value.filter(|value| (least..=most).contains(value));
    usable.map(|value| value as u32).ok_or_else(|| {
        let fault = Finding::fault(
            "P-ROADS",
            format!("The road figure `{key}` is missing or can't be used."),
            format!("State `{key}` from {} to {}.", least / times, most / times),
        );
        Box::new(fault.at(key))
    })
}

/// The road speeds and hour factors that come with the program.
///
/// # Source
/// Each row names its own.
#[must_use]
pub fn shipped_roads() -> ParameterTable {
    let rows: Vec<Parameter> = serde_json::from_str(include_str!("../../defaults/roads.json"))
        .expect("the shipped road speeds are tested");
    ParameterTable::new(rows)
}

#[cfg(test)]
mod tests {
    use gangday_model::Passage;

    use super::*;

    fn link(class: LinkClass, limit_kmh: Option<u16>) -> Link {
        Link {
            street: None,
            from: 0,
            to: 1,
            line: Vec::new(),
            class,
            limit_kmh,
            along: Passage::Open,
            against: Passage::Open,
            on_foot: Passage::Open,
        }
    }

    #[test]
    fn a_lower_limit_lowers_the_speed_and_a_higher_one_does_not_raise_it() {
        let speeds = Speeds::shipped();
        let usual = speeds
            .metres_an_hour(&link(LinkClass::Residential, None))
            .unwrap();
        let at = |kmh| speeds.metres_an_hour(&link(LinkClass::Residential, Some(kmh)));
        assert_eq!(at(10), Some(10_000));
        assert_eq!(at(120), Some(usual));
        assert_eq!(at(0), Some(usual));
        assert_eq!(speeds.metres_an_hour(&link(LinkClass::Footway, None)), None);
    }

    #[test]
    fn every_missing_or_senseless_figure_is_named() {
        assert_eq!(
            Speeds::from_table(&ParameterTable::default())
                .unwrap_err()
                .len(),
            34
        );
        let mut rows: Vec<Parameter> = shipped_roads().rows().cloned().collect();
        rows[0].value = f64::NAN;
        let faults = Speeds::from_table(&ParameterTable::new(rows)).unwrap_err();
        assert_eq!(faults.len(), 1);
        assert_eq!(faults[0].code, "P-ROADS");
    }

    #[test]
    fn the_shipped_rows_say_where_they_come_from_and_no_hour_is_slower_than_another() {
        assert!(
            shipped_roads()
                .rows()
                .all(|row| !row.source.is_empty() && !row.date.is_empty())
        );
        assert!((0..24).all(|hour| Speeds::shipped().factor_at(hour) == ONE));
    }
}
