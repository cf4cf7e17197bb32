//! What stands in the way at a node.
//!
//! # Source
//! OpenStreetMap wiki, "Key:barrier", with the access that each value implies.

use super::tags::Tags;

/// What a node does to vehicles.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Barrier {
    /// Nothing.
    #[default]
    Passable,
    /// None gets through.
    Blocked,
    /// Only those who have leave: counted on for nobody.
    Private,
}

/// Barriers that stop a vehicle unless a tag says otherwise.
const STOPPING: &[&str] = &[
    "block",
    "bollard",
    "bus_trap",
    "chain",
    "cycle_barrier",
    "debris",
    "fence",
    "full-height_turnstile",
    "hampshire_gate",
    "hedge",
    "horse_stile",
    "jersey_barrier",
    "kissing_gate",
    "log",
    "motorcycle_barrier",
    "planter",
    "rope",
    "spikes",
    "step",
    "stile",
    "turnstile",
    "wall",
    "wicket_gate",
];

/// Reads a node's tags.
pub(super) fn of(tags: &Tags<'_>) -> Barrier {
    let Some(kind) = tags.get("barrier") else {
        return Barrier::Passable;
    };
    let stated = ["motor_vehicle", "vehicle", "access"]
        .iter()
        .find_map(|key| tags.get(key));
    match stated {
        Some("no" | "agricultural" | "forestry" | "emergency" | "psv" | "bus") => Barrier::Blocked,
        Some("private" | "permit" | "residents" | "customers" | "delivery") => Barrier::Private,
        Some("yes" | "permissive" | "designated" | "destination" | "public") => Barrier::Passable,
        _ if STOPPING.contains(&kind) => Barrier::Blocked,
        _ => Barrier::Passable,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bollard_stops_a_vehicle_and_a_gate_only_where_it_is_said_to() {
        let read = |pairs: &[(&'static str, &'static str)]| of(&Tags(pairs.to_vec()));
        assert_eq!(read(&[("barrier", "bollard")]), Barrier::Blocked);
        assert_eq!(read(&[("barrier", "block")]), Barrier::Blocked);
        assert_eq!(read(&[("barrier", "gate")]), Barrier::Passable);
        assert_eq!(read(&[("barrier", "lift_gate")]), Barrier::Passable);
        assert_eq!(
            read(&[("barrier", "gate"), ("access", "private")]),
            Barrier::Private
        );
        assert_eq!(
            read(&[("barrier", "gate"), ("motor_vehicle", "no")]),
            Barrier::Blocked
        );
        let open = [
            ("barrier", "bollard"),
            ("access", "no"),
            ("motor_vehicle", "yes"),
        ];
        assert_eq!(read(&open), Barrier::Passable);
        assert_eq!(read(&[("highway", "crossing")]), Barrier::Passable);
    }
}
