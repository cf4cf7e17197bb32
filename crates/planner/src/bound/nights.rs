//! Tasks that may be left over a night: their parts have prices of their own.
//!
//! A plan has the whole task on one gang-day, or both parts of one of its cuts, or leaves it out. So the whole
//! may be worth no more than both parts and the cheapest nights between them are.

use crate::setting::Setting;

/// A cut of a task, and what the cheapest of its nights costs.
#[derive(Clone, Copy, Debug)]
pub(super) struct Night {
    pub(super) whole: u32,
    pub(super) parts: [u32; 2],
    pub(super) cost: i64,
}

/// All cuts that there are nights for.
pub(super) fn of(setting: &Setting<'_>) -> Vec<Night> {
    let parts = &setting.parts;
    let firsts = parts
        .with_cuts()
        .flat_map(|whole| parts.cuts(whole).iter().map(move |&first| (whole, first)));
    let night = |(whole, first): (u32, u32)| {
        let days = parts.days(first).iter();
        let cost = days.map(|&days| setting.night_price(first, days).total());
        Some(Night {
            whole,
            parts: [first, first + 1],
            cost: cost.min()?.max(0),
        })
    };
    firsts.filter_map(night).collect()
}

/// Whether some of these tasks are parts of the same, or one is a part of another: no gang-day has both.
pub(super) fn clash(setting: &Setting<'_>, tasks: &[u32]) -> bool {
    let parts = &setting.parts;
    let whole = |task: &u32| parts.whole(*task);
    !parts.is_empty()
        && tasks.iter().enumerate().any(|(at, one)| {
            tasks[at + 1..]
                .iter()
                .any(|other| whole(one) == whole(other))
        })
}
