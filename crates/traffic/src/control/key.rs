//! The names of the figures that controls need.

pub(crate) const GIVE_AND_TAKE_SPEED: &str = "control.give_and_take.speed";
pub(crate) const GIVE_AND_TAKE_LENGTH: &str = "control.give_and_take.length";
pub(crate) const GIVE_AND_TAKE_FLOW: &str = "control.give_and_take.flow";
pub(crate) const GIVE_AND_TAKE_HEAVY: &str = "control.give_and_take.heavy";
pub(crate) const GIVE_AND_TAKE_SIGHT: &str = "control.give_and_take.sight";
pub(crate) const PRIORITY_SPEED: &str = "control.priority.speed";
pub(crate) const PRIORITY_LENGTH: &str = "control.priority.length";
pub(crate) const PRIORITY_FLOW: &str = "control.priority.flow";
pub(crate) const PRIORITY_SIGHTS: [(u32, &str); 4] = [
    (30, "control.priority.sight.30"),
    (40, "control.priority.sight.40"),
    (50, "control.priority.sight.50"),
    (60, "control.priority.sight.60"),
];
pub(crate) const STOP_GO_FLOWS: [(u32, &str); 5] = [
    (100, "control.stop_go.flow.100"),
    (200, "control.stop_go.flow.200"),
    (300, "control.stop_go.flow.300"),
    (400, "control.stop_go.flow.400"),
    (500, "control.stop_go.flow.500"),
];
pub(crate) const STOP_GO_LENGTH: &str = "control.stop_go.length";
pub(crate) const STOP_GO_ONE_BOARD: &str = "control.stop_go.one_board";
pub(crate) const SIGNALS_LENGTH: &str = "control.signals.length";
pub(crate) const SIGNALS_SPEED_LOOK: &str = "control.signals.speed_look";
pub(crate) const BOTH_WAYS: &str = "control.both_ways.width";
pub(crate) const BOTH_WAYS_LIGHT: &str = "control.both_ways.width_light";
pub(crate) const SHUTTLE: &str = "control.shuttle.width";
pub(crate) const BUS: &str = "control.bus.width";

/// All of them.
pub(crate) fn all() -> impl Iterator<Item = &'static str> {
    let plain = [
        GIVE_AND_TAKE_SPEED,
        GIVE_AND_TAKE_LENGTH,
        GIVE_AND_TAKE_FLOW,
        GIVE_AND_TAKE_HEAVY,
        GIVE_AND_TAKE_SIGHT,
        PRIORITY_SPEED,
        PRIORITY_LENGTH,
        PRIORITY_FLOW,
        STOP_GO_LENGTH,
        STOP_GO_ONE_BOARD,
        SIGNALS_LENGTH,
        SIGNALS_SPEED_LOOK,
        BOTH_WAYS,
        BOTH_WAYS_LIGHT,
        SHUTTLE,
        BUS,
    ];
    let banded = PRIORITY_SIGHTS.into_iter().chain(STOP_GO_FLOWS);
    plain.into_iter().chain(banded.map(|(_, key)| key))
}
