//! Loads: the vehicle never bears more than its payload, nor its body more than it holds.
//!
//! Hard. It costs the drive to a tip or to the depot and the time there. At a task's first visit
//! what was loaded for it is set down and its spoil taken on. The gang loads for as many tasks as the
//! vehicle bears; where the next one's load would be too much it goes back to its depot, where spoil
//! is tipped too; where only the next one's spoil is too much it goes to the tip that takes least
//! time. What is aboard at the day's end goes to the depot.
//!
//! # Source
//! Common practice, no source. Bituminous arisings count by weight; that they go apart from clean
//! spoil is for whoever loads.

use crate::setting::Setting;
use crate::timing::Turn;
use crate::{GangDay, Load};

/// Where the gang calls before a turn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Call {
    #[default]
    Nowhere,
    Tip(u32),
    Reload,
}

impl Load {
    fn plus(self, other: Self) -> Self {
        Self {
            kg: self.kg.saturating_add(other.kg),
            litres: self.litres.saturating_add(other.litres),
        }
    }

    fn or(self, other: Self) -> Self {
        Self {
            kg: self.kg.max(other.kg),
            litres: self.litres.max(other.litres),
        }
    }

    pub(crate) fn is_nothing(self) -> bool {
        self == Self::default()
    }
}

/// Whether the vehicle bears so much at once.
pub(crate) fn bears(day: &GangDay, load: Load) -> bool {
    day.payload.is_none_or(|most| load.kg <= most)
        && day.body.is_none_or(|most| load.litres <= most)
}

/// Says before which turns the gang calls where; false where no calls help.
pub(crate) fn plan_calls(setting: &Setting<'_>, day: &GangDay, turns: &mut [Turn]) -> bool {
    // The most aboard so far since the last loading, and the spoil aboard now.
    let (mut most, mut spoil) = (Load::default(), Load::default());
    for at in 0..turns.len() {
        turns[at].call = Call::Nowhere;
        let step = turns[at].step;
        if step.block != 0 {
            continue;
        }
        let task = setting.task(step.task);
        if !bears(day, task.out) || !bears(day, task.back) {
            return false;
        }
        let loaded = most.or(spoil).plus(task.out);
        if bears(day, loaded) {
            most = loaded;
        } else {
            if at == 0 {
                return false;
            }
            turns[at].call = Call::Reload;
            (most, spoil) = (task.out, Load::default());
        }
        if !bears(day, spoil.plus(task.back)) {
            turns[at].call = tip(setting, day, turns[at - 1].node, turns[at].node);
            spoil = Load::default();
        }
        spoil = spoil.plus(task.back);
    }
    true
}

/// The tip or depot that takes least time on the way.
fn tip(setting: &Setting<'_>, day: &GangDay, from: u32, to: u32) -> Call {
    let hauling = &setting.problem.hauling;
    let tips = hauling.tips.iter().map(|&tip| (tip, Call::Tip(tip)));
    let places = tips.chain([(day.depot, Call::Tip(day.depot))]);
    let takes = |node: u32| setting.travel(day, from, node) + setting.travel(day, node, to);
    let nearest = places.min_by_key(|&(node, _)| (takes(node), node));
    nearest.map_or(Call::Nowhere, |(_, call)| call)
}

/// The way from one turn to the next, by where the gang calls.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Way {
    /// When it is where it calls, and how long it stays there.
    pub(crate) there: u32,
    pub(crate) stay: u32,
    /// When it is at the turn, and how long it has driven.
    pub(crate) arrive: u32,
    pub(crate) drive: u32,
}

impl Call {
    /// Where the gang calls, if it does, and how long it stays.
    fn place(self, setting: &Setting<'_>, day: &GangDay) -> Option<(u32, u32)> {
        let hauling = &setting.problem.hauling;
        match self {
            Self::Nowhere => None,
            Self::Tip(node) => Some((node, hauling.tip)),
            Self::Reload => Some((day.depot, hauling.reload)),
        }
    }

    /// The way from one node to another for a gang that is free to leave then.
    #[inline]
    pub(crate) fn way(
        self,
        setting: &Setting<'_>,
        day: &GangDay,
        (from, to): (u32, u32),
        left: u32,
    ) -> Way {
        let Some((node, stay)) = self.place(setting, day) else {
            let on = setting.drive(day, (from, to), left);
            return Way {
                arrive: on.arrive,
                drive: on.lasts,
                ..Way::default()
            };
        };
        let there = setting.drive(day, (from, node), left);
        let on = setting.drive(day, (node, to), there.arrive + stay);
        Way {
            there: there.arrive,
            stay,
            arrive: on.arrive,
            drive: there.lasts + on.lasts,
        }
    }

    /// How late the gang may leave one node to be at another by then.
    pub(crate) fn leave_by(
        self,
        setting: &Setting<'_>,
        day: &GangDay,
        (from, to): (u32, u32),
        by: u32,
    ) -> u32 {
        let Some((node, stay)) = self.place(setting, day) else {
            return setting.leave_by(day, (from, to), by);
        };
        let on = setting.leave_by(day, (node, to), by);
        setting.leave_by(day, (from, node), on.saturating_sub(stay))
    }
}

/// Shown when it bites even on a day of its own.
pub(crate) fn words(needs: Load, most: Load) -> String {
    if needs.kg > most.kg {
        return format!(
            "It takes {} t at once, and the vehicle that bears most bears {} t; a heavier one, or \
             haulage by others, would do.",
            thousands(needs.kg),
            thousands(most.kg)
        );
    }
    format!(
        "It takes {} m3 at once, and the largest body holds {} m3; a larger one, or haulage by \
         others, would do.",
        thousands(needs.litres),
        thousands(most.litres)
    )
}

/// Thousands with one decimal, rounded.
fn thousands(units: u32) -> String {
    let tenths = (units + 50) / 100;
    format!("{}.{}", tenths / 10, tenths % 10)
}
