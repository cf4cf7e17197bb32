//! The names of the figures that clashes need.

use gangday_model::{ClashKind, ClashWeight};

pub(crate) const ONE_SET_UP: &str = "clash.one_set_up";
pub(crate) const ENDS: &str = "clash.ends";
pub(crate) const APART: [(u32, &str); 4] = [
    (30, "clash.apart.30"),
    (40, "clash.apart.40"),
    (50, "clash.apart.60"),
    (60, "clash.apart.60"),
];
pub(crate) const PENCE: &str = "clash.pence";
pub(crate) const SENSITIVE_HOUR: &str = "clash.sensitive_hour";
pub(crate) const SENSITIVE: &str = "clash.weight.sensitive";
pub(crate) const RESTRICTED: &str = "clash.weight.restricted";
const WEIGHTS: [&str; 4] = [
    "clash.weight.on_diversion",
    "clash.weight.both_ends",
    "clash.weight.one_street",
    "clash.weight.near",
];

/// The key of a clash's weight.
pub(crate) const fn weight(kind: ClashKind) -> &'static str {
    match kind {
        ClashKind::OnDiversion => WEIGHTS[0],
        ClashKind::BothEnds => WEIGHTS[1],
        ClashKind::OneStreet => WEIGHTS[2],
        ClashKind::Near => WEIGHTS[3],
    }
}

/// What a weight's figure stands for; none where it is not looked for.
pub(crate) fn weight_of(figure: f64) -> Option<ClashWeight> {
    match figure.round() as i64 {
        ..=0 => None,
        1 => Some(ClashWeight::Warned),
        2 => Some(ClashWeight::Priced),
        3.. => Some(ClashWeight::Barred),
    }
}

/// All of them.
pub(crate) fn all() -> impl Iterator<Item = &'static str> {
    let plain = [
        ONE_SET_UP,
        ENDS,
        PENCE,
        SENSITIVE_HOUR,
        SENSITIVE,
        RESTRICTED,
    ];
    let apart = ["clash.apart.30", "clash.apart.40", "clash.apart.60"];
    plain.into_iter().chain(WEIGHTS).chain(apart)
}
