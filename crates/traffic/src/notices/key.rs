//! The names of the figures that notices need.

use gangday_model::Nation;

pub(crate) const DAY_END: &str = "notice.day_end";
pub(crate) const START_FROM: &str = "notice.start.from";
pub(crate) const START_NEXT: &str = "notice.start.next";
pub(crate) const START_AFTER: &str = "notice.start.after";
pub(crate) const NOON: &str = "notice.scotland.minor.by";
pub(crate) const ORDER_MONTHS: &str = "closure.order.months";
pub(crate) const ORDER_MONTHS_PATH: &str = "closure.order.months_path";
pub(crate) const ORDER_PUBLISH: &str = "closure.order.publish";
pub(crate) const NOTICE_DAYS: &str = "closure.notice.days";
pub(crate) const NOTICE_DAYS_DANGER: &str = "closure.notice.days_danger";
pub(crate) const SHORT: &str = "signing.short.minutes";
pub(crate) const SHORT_SCOTLAND: &str = "signing.short.minutes_scotland";
pub(crate) const SHORT_STOP: &str = "signing.stop.minutes";

/// The figures that each nation has of its own.
#[derive(Clone, Copy)]
pub(super) struct OfNation {
    pub major_over: &'static str,
    pub minor_up_to: &'static str,
    pub major_months: &'static str,
    pub major_days: &'static str,
    pub standard_days: &'static str,
    pub minor_days: &'static str,
    pub immediate_hours: &'static str,
}

macro_rules! of_nation {
    ($nation:literal) => {
        OfNation {
            major_over: concat!("notice.", $nation, ".major.over"),
            minor_up_to: concat!("notice.", $nation, ".minor.up_to"),
            major_months: concat!("notice.", $nation, ".major.months"),
            major_days: concat!("notice.", $nation, ".major.days"),
            standard_days: concat!("notice.", $nation, ".standard.days"),
            minor_days: concat!("notice.", $nation, ".minor.days"),
            immediate_hours: concat!("notice.", $nation, ".immediate.hours"),
        }
    };
}

const NATIONS: [Nation; 4] = [
    Nation::England,
    Nation::Wales,
    Nation::Scotland,
    Nation::NorthernIreland,
];

/// The keys of a nation's own figures.
pub(super) const fn of(nation: Nation) -> OfNation {
    match nation {
        Nation::England => of_nation!("england"),
        Nation::Wales => of_nation!("wales"),
        Nation::Scotland => of_nation!("scotland"),
        Nation::NorthernIreland => of_nation!("northern_ireland"),
    }
}

impl OfNation {
    const fn all(self) -> [&'static str; 7] {
        [
            self.major_over,
            self.minor_up_to,
            self.major_months,
            self.major_days,
            self.standard_days,
            self.minor_days,
            self.immediate_hours,
        ]
    }
}

/// All of them.
pub(crate) fn all() -> impl Iterator<Item = &'static str> {
    let plain = [
        DAY_END,
        START_FROM,
        START_NEXT,
        START_AFTER,
        NOON,
        ORDER_MONTHS,
        ORDER_MONTHS_PATH,
        ORDER_PUBLISH,
        NOTICE_DAYS,
        NOTICE_DAYS_DANGER,
        SHORT,
        SHORT_SCOTLAND,
        SHORT_STOP,
    ];
    plain
        .into_iter()
        .chain(NATIONS.into_iter().flat_map(|nation| of(nation).all()))
}
