//! What the tags of a way say of who may use it.
//!
//! # Source
//! OpenStreetMap wiki: "Key:highway", "Key:oneway", "Key:junction", "Key:access" (the most special
//! key counts) and "OSM tags for routing/Access restrictions". Where the wiki leaves a choice, the
//! choice is stated beside the rule.

use gangday_model::{LinkClass, Passage};

use super::limits::{self, Limit};

/// The tags of one thing.
#[derive(Clone, Debug, Default)]
pub(super) struct Tags<'a>(pub(super) Vec<(&'a str, &'a str)>);

impl<'a> Tags<'a> {
    pub(super) fn get(&self, key: &str) -> Option<&'a str> {
        let tag = self.0.iter().find(|(name, _)| *name == key)?;
        Some(tag.1)
    }

    fn is(&self, key: &str, value: &str) -> bool {
        self.get(key) == Some(value)
    }

    /// The value of the first of these keys that is there.
    fn first(&self, keys: &[&str]) -> Option<&'a str> {
        keys.iter().find_map(|key| self.get(key))
    }
}

/// What a way is and who may use it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct About {
    pub(super) class: LinkClass,
    pub(super) along: Passage,
    pub(super) against: Passage,
    pub(super) on_foot: Passage,
    pub(super) limit: Option<Limit>,
    pub(super) width_m: Option<f64>,
    /// Whether it is a street for walkers, on which works are done as on any street.
    pub(super) pedestrian: bool,
    pub(super) odd: Odd,
}

impl About {
    pub(super) fn is_drivable(&self) -> bool {
        self.along != Passage::Shut || self.against != Passage::Shut
    }
}

/// What of a way's tags could not be taken into the network.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Odd {
    /// Something holds only at times.
    pub(super) timed: bool,
    /// A speed limit that is not understood.
    pub(super) limit: bool,
    /// A bound on weight or size, or a ban on heavy vehicles.
    pub(super) heavy: bool,
}

/// The keys that speak of a works vehicle, the most special first.
const VEHICLE: &[&str] = &["motor_vehicle", "vehicle", "access"];
/// The same where walkers go and a vehicle needs leave of its own.
const VEHICLE_AMONG_WALKERS: &[&str] = &["motor_vehicle"];
const HEAVY: &[&str] = &[
    "maxweight",
    "maxheight",
    "maxwidth",
    "maxlength",
    "maxaxleload",
    "maxweightrating",
    "maxweightrating:hgv",
];

/// What a way is; none where it is nothing that anybody moves on.
pub(super) fn about(tags: &Tags<'_>) -> Option<About> {
    let highway = tags.get("highway")?;
    let class = class(highway)?;
    // An area is a surface and has no line to follow.
    if tags.is("area", "yes") {
        return None;
    }
    let vehicles = vehicles(tags, highway, class);
    let (along, against) = directions(tags, highway, vehicles);
    let (limit, limit_is_odd) = limits::limit(tags);
    Some(About {
        class,
        along,
        against,
        on_foot: on_foot(tags, highway),
        limit,
        width_m: limits::width_m(tags),
        pedestrian: highway == "pedestrian",
        odd: Odd {
            timed: is_timed(tags),
            limit: limit_is_odd,
            heavy: is_for_light_only(tags),
        },
    })
}

fn class(highway: &str) -> Option<LinkClass> {
    Some(match highway {
        "motorway" | "motorway_link" => LinkClass::Motorway,
        "trunk" | "trunk_link" => LinkClass::Trunk,
        "primary" | "primary_link" => LinkClass::Primary,
        "secondary" | "secondary_link" => LinkClass::Secondary,
        "tertiary" | "tertiary_link" => LinkClass::Tertiary,
        "unclassified" | "road" => LinkClass::Minor,
        "residential" => LinkClass::Residential,
        "living_street" => LinkClass::LivingStreet,
        "service" | "busway" => LinkClass::Service,
        "track" => LinkClass::Track,
        "footway" | "path" | "steps" | "pedestrian" | "bridleway" | "corridor" => {
            LinkClass::Footway
        }
        "cycleway" => LinkClass::Cycleway,
        _ => return None,
    })
}

/// What a value of an access key says; none for a value that the wiki does not list.
fn passage(value: &str) -> Option<Passage> {
    Some(match value {
        "yes" | "permissive" | "designated" | "official" | "public" | "discouraged" => {
            Passage::Open
        }
        "destination" | "customers" | "delivery" | "private" | "permit" | "residents" => {
            Passage::Destination
        }
        // Farm and forest traffic is not works traffic.
        "no"
        | "agricultural"
        | "forestry"
        | "agricultural;forestry"
        | "emergency"
        | "military"
        | "use_sidepath"
        | "psv"
        | "bus" => Passage::Shut,
        _ => return None,
    })
}

fn vehicles(tags: &Tags<'_>, highway: &str, class: LinkClass) -> Passage {
    let among_walkers = matches!(class, LinkClass::Footway | LinkClass::Cycleway);
    if matches!(highway, "steps" | "corridor") {
        return Passage::Shut;
    }
    if among_walkers {
        let stated = tags.first(VEHICLE_AMONG_WALKERS).and_then(passage);
        return stated.unwrap_or(Passage::Shut);
    }
    let stated = tags.first(VEHICLE).and_then(passage);
    stated.unwrap_or(match (highway, tags.get("service")) {
        ("busway", _) | ("service", Some("emergency_access")) => Passage::Shut,
        // A choice: nobody is led through a car park, a drive or a field track, only to it.
        ("service", Some("driveway" | "parking_aisle" | "drive-through")) => Passage::Destination,
        ("track", _) => Passage::Destination,
        _ => Passage::Open,
    })
}

fn on_foot(tags: &Tags<'_>, highway: &str) -> Passage {
    let barred = matches!(highway, "motorway" | "motorway_link" | "busway");
    let barred = barred || tags.is("motorroad", "yes");
    if let Some(stated) = tags.get("foot").and_then(passage) {
        return stated;
    }
    if barred {
        return Passage::Shut;
    }
    tags.get("access")
        .and_then(passage)
        .unwrap_or(Passage::Open)
}

/// Vehicles along and against the line.
fn directions(tags: &Tags<'_>, highway: &str, vehicles: Passage) -> (Passage, Passage) {
    let implied = highway == "motorway"
        || matches!(
            tags.get("junction"),
            Some("roundabout" | "circular" | "mini_roundabout")
        );
    let stated = tags.first(&["oneway:motor_vehicle", "oneway:vehicle", "oneway"]);
    let (along, against) = match stated {
        Some("yes" | "true" | "1") => (vehicles, Passage::Shut),
        Some("-1" | "reverse") => (Passage::Shut, vehicles),
        // The direction changes with the time of day, which the network does not know.
        Some("reversible") => (Passage::Shut, Passage::Shut),
        Some("no" | "false" | "0" | "alternating") => (vehicles, vehicles),
        _ if implied => (vehicles, Passage::Shut),
        _ => (vehicles, vehicles),
    };
    let forward = ["motor_vehicle:forward", "vehicle:forward", "access:forward"];
    let backward = [
        "motor_vehicle:backward",
        "vehicle:backward",
        "access:backward",
    ];
    let in_direction = |passage: Passage, keys: &[&str]| {
        let stated = tags.first(keys).and_then(self::passage);
        stated
            .filter(|_| passage != Passage::Shut)
            .unwrap_or(passage)
    };
    (
        in_direction(along, &forward),
        in_direction(against, &backward),
    )
}

fn is_timed(tags: &Tags<'_>) -> bool {
    let conditional = |key: &str| {
        let subject = key.strip_suffix(":conditional");
        subject.is_some_and(|subject| {
            let first = subject.split(':').next().unwrap_or_default();
            ["access", "vehicle", "motor_vehicle", "oneway", "maxspeed"].contains(&first)
        })
    };
    tags.is("oneway", "reversible") || tags.0.iter().any(|(key, _)| conditional(key))
}

fn is_for_light_only(tags: &Tags<'_>) -> bool {
    let barred = ["hgv", "goods"].iter().any(|key| {
        let stated = tags.get(key).and_then(passage);
        stated.is_some_and(|stated| stated != Passage::Open)
    });
    let unbounded = |value: &str| matches!(value, "none" | "default" | "no");
    let bound = |key: &&str| tags.get(key).is_some_and(|value| !unbounded(value));
    barred || HEAVY.iter().any(bound)
}

#[cfg(test)]
mod tests {
    use super::Passage::{Destination, Open, Shut};
    use super::*;

    fn read(pairs: &[(&'static str, &'static str)]) -> About {
        about(&Tags(pairs.to_vec())).unwrap()
    }

    fn passages(pairs: &[(&'static str, &'static str)]) -> [Passage; 3] {
        let about = read(pairs);
        [about.along, about.against, about.on_foot]
    }

    #[test]
    fn one_way_is_stated_reversed_implied_or_lifted() {
        let of = |pairs: &[(&'static str, &'static str)]| passages(pairs);
        assert_eq!(of(&[("highway", "residential")]), [Open, Open, Open]);
        let way = |value| of(&[("highway", "residential"), ("oneway", value)]);
        assert_eq!(way("yes"), [Open, Shut, Open]);
        assert_eq!(way("-1"), [Shut, Open, Open]);
        assert_eq!(way("reversible"), [Shut, Shut, Open]);
        assert_eq!(way("alternating"), [Open, Open, Open]);
        let round = [("highway", "tertiary"), ("junction", "roundabout")];
        assert_eq!(of(&round), [Open, Shut, Open]);
        assert_eq!(of(&[("highway", "motorway")]), [Open, Shut, Shut]);
        assert_eq!(
            of(&[("highway", "motorway"), ("oneway", "no")]),
            [Open, Open, Shut]
        );
        let buses = [
            ("highway", "primary"),
            ("oneway", "yes"),
            ("oneway:motor_vehicle", "no"),
        ];
        assert_eq!(of(&buses), [Open, Open, Open]);
        let uphill = [("highway", "residential"), ("motor_vehicle:backward", "no")];
        assert_eq!(of(&uphill), [Open, Shut, Open]);
    }

    #[test]
    fn the_most_special_key_counts() {
        let base = ("highway", "service");
        let private = passages(&[base, ("access", "private")]);
        assert_eq!(private, [Destination; 3]);
        let through = passages(&[base, ("access", "private"), ("motor_vehicle", "yes")]);
        assert_eq!(through, [Open, Open, Destination]);
        let buses = passages(&[base, ("vehicle", "no"), ("foot", "yes"), ("access", "no")]);
        assert_eq!(buses, [Shut, Shut, Open]);
        let strange = passages(&[base, ("access", "perhaps")]);
        assert_eq!(strange, [Open; 3]);
    }

    #[test]
    fn walkers_ways_open_to_vehicles_only_by_a_key_of_their_own() {
        let of = |pairs: &[(&'static str, &'static str)]| passages(pairs);
        assert_eq!(
            of(&[("highway", "footway"), ("access", "yes")]),
            [Shut, Shut, Open]
        );
        let market = [("highway", "pedestrian"), ("motor_vehicle", "delivery")];
        assert_eq!(of(&market), [Destination, Destination, Open]);
        let steps = [("highway", "steps"), ("motor_vehicle", "yes")];
        assert_eq!(of(&steps), [Shut, Shut, Open]);
        assert_eq!(
            of(&[("highway", "cycleway"), ("foot", "no")]),
            [Shut, Shut, Shut]
        );
        assert_eq!(
            of(&[("highway", "trunk"), ("motorroad", "yes")]),
            [Open, Open, Shut]
        );
    }

    #[test]
    fn nobody_is_led_through_a_drive_a_car_park_or_a_track() {
        let drive = passages(&[("highway", "service"), ("service", "driveway")]);
        assert_eq!(drive, [Destination, Destination, Open]);
        assert_eq!(
            passages(&[("highway", "track")]),
            [Destination, Destination, Open]
        );
        let farm = passages(&[("highway", "track"), ("motor_vehicle", "agricultural")]);
        assert_eq!(farm, [Shut, Shut, Open]);
    }

    #[test]
    fn what_nobody_moves_on_is_no_way() {
        for highway in [
            "construction",
            "proposed",
            "platform",
            "raceway",
            "rest_area",
        ] {
            assert_eq!(about(&Tags(vec![("highway", highway)])), None, "{highway}");
        }
        let square = Tags(vec![("highway", "pedestrian"), ("area", "yes")]);
        assert_eq!(about(&square), None);
        assert_eq!(about(&Tags(vec![("building", "yes")])), None);
    }

    #[test]
    fn what_the_network_can_t_hold_is_marked() {
        let timed = read(&[
            ("highway", "residential"),
            ("motor_vehicle:conditional", "no @ (07:00-10:00)"),
        ]);
        assert!(timed.odd.timed && !timed.odd.heavy);
        for tag in [("hgv", "no"), ("maxweight", "7.5"), ("hgv", "destination")] {
            assert!(read(&[("highway", "tertiary"), tag]).odd.heavy, "{tag:?}");
        }
        for tag in [("hgv", "designated"), ("maxheight", "default")] {
            assert!(!read(&[("highway", "tertiary"), tag]).odd.heavy, "{tag:?}");
        }
    }
}
