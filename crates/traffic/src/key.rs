//! The names of the figures that the rules need.

pub(crate) const LANE_MINIMUM: &str = "traffic.lane.minimum";
pub(crate) const LANE_MINIMUM_LIGHT: &str = "traffic.lane.minimum_light";
pub(crate) const CLEARANCE_SLOW: &str = "traffic.clearance.slow";
pub(crate) const CLEARANCE_FAST: &str = "traffic.clearance.fast";
pub(crate) const CLEARANCE_SLOW_LIMIT: &str = "traffic.clearance.slow_limit";
pub(crate) const WAY_PAST: &str = "traffic.way_past";
pub(crate) const WAY_PAST_MINIMUM: &str = "traffic.way_past.minimum";
pub(crate) const TAPER_CONTROLLED: &str = "traffic.taper.controlled";
pub(crate) const TAPERS: [(u32, &str); 4] = [
    (30, "traffic.taper.30"),
    (40, "traffic.taper.40"),
    (50, "traffic.taper.50"),
    (60, "traffic.taper.60"),
];
pub(crate) const RUN_INS: [(u32, &str); 4] = [
    (30, "traffic.run_in.30"),
    (40, "traffic.run_in.40"),
    (50, "traffic.run_in.50"),
    (60, "traffic.run_in.60"),
];
pub(crate) const WORKS_SPACE: &str = "traffic.works.space";
pub(crate) const FOOTWAY_RAMP: &str = "traffic.footway.ramp";
pub(crate) const STREET_REACH: &str = "traffic.street.reach";
pub(crate) const ASSUMED_SPEED_LIMIT: &str = "traffic.assumed.speed_limit";
pub(crate) const ASSUMED_CARRIAGEWAY: &str = "traffic.assumed.carriageway";
pub(crate) const ASSUMED_FOOTWAY: &str = "traffic.assumed.footway";
pub(crate) const CLEAR_LENGTH: &str = "chamber.clear_length";
pub(crate) const CLEAR_WIDTH: &str = "chamber.clear_width";
pub(crate) const WALL: &str = "chamber.wall";
pub(crate) const MARGIN: &str = "chamber.margin";

/// All of them.
pub(crate) fn all() -> impl Iterator<Item = &'static str> {
    let plain = [
        LANE_MINIMUM,
        LANE_MINIMUM_LIGHT,
        CLEARANCE_SLOW,
        CLEARANCE_FAST,
        CLEARANCE_SLOW_LIMIT,
        WAY_PAST,
        WAY_PAST_MINIMUM,
        TAPER_CONTROLLED,
        WORKS_SPACE,
        FOOTWAY_RAMP,
        STREET_REACH,
        ASSUMED_SPEED_LIMIT,
        ASSUMED_CARRIAGEWAY,
        ASSUMED_FOOTWAY,
        CLEAR_LENGTH,
        CLEAR_WIDTH,
        WALL,
        MARGIN,
    ];
    let banded = TAPERS.into_iter().chain(RUN_INS).map(|(_, key)| key);
    plain
        .into_iter()
        .chain(banded)
        .chain(crate::notices::key::all())
        .chain(crate::control::key::all())
        .chain(crate::kit::key::all())
        .chain(crate::clash::key::all())
}
