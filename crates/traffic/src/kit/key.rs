//! The names of the figures that kit lists need.

pub(crate) const CONE_SPACING: &str = "kit.cone.spacing";
pub(crate) const CONE_SPACING_TAPER: &str = "kit.cone.spacing_taper";
pub(crate) const CONES_BETWEEN: &str = "kit.cone.least_between";
pub(crate) const CONES_TAPER: &str = "kit.cone.least_taper";
pub(crate) const LAMP_SPEED: &str = "kit.lamp.speed";
pub(crate) const LAMP_BARRIERS: &str = "kit.lamp.barriers";
pub(crate) const BARRIER: &str = "kit.barrier.length";
pub(crate) const BOARD: &str = "kit.board.information";
pub(crate) const STOP_GO: &str = "kit.board.stop_go";
pub(crate) const DISTANCE_30: &str = "kit.sign.distance.30";
pub(crate) const DISTANCE_40: &str = "kit.sign.distance.40";

/// The counts that lines of the shipped list name.
pub(super) const COUNTS: [&str; 14] = [
    "kit.sign.ahead",
    "kit.sign.narrows",
    "kit.sign.keep",
    "kit.sign.priority",
    "kit.sign.signals",
    "kit.sign.wait",
    "kit.signal_head",
    "kit.sign.end",
    "kit.sign.closed",
    "kit.sign.closed_ahead",
    "kit.sign.diversion",
    "kit.sign.on_foot",
    "kit.sign.footway_closed",
    "kit.ramp",
];

/// All of them.
pub(crate) fn all() -> impl Iterator<Item = &'static str> {
    let plain = [
        CONE_SPACING,
        CONE_SPACING_TAPER,
        CONES_BETWEEN,
        CONES_TAPER,
        LAMP_SPEED,
        LAMP_BARRIERS,
        BARRIER,
        BOARD,
        STOP_GO,
        DISTANCE_30,
        DISTANCE_40,
    ];
    plain.into_iter().chain(COUNTS)
}
