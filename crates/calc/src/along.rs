//! Waits along a day's temperatures, by the time at which each thing has been placed.

use gangday_model::{CureTimes, DayTemperature, NOT_THAT_DAY, Seconds, WaitKind};

use crate::cold::PLACED;
use crate::minutes::whole;
use crate::waits::{WaitRules, Waits};

/// Quarter-hours and minutes of a day; ageing is summed by the quarter-hour, as maturity meters log it.
const QUARTERS: u32 = 96;
const MINUTES: u32 = 24 * 60;

/// When everything that may be placed on one day is ready, along its temperatures.
#[derive(Clone, Debug, PartialEq)]
pub struct DayCures {
    day: DayTemperature,
    cures: [Option<CureTimes>; 4],
}

impl DayCures {
    /// The day's temperatures.
    #[must_use]
    pub const fn day(&self) -> &DayTemperature {
        &self.day
    }

    /// When what is waited for is over; none where the day's temperatures have no say in it.
    #[must_use]
    pub fn of(&self, kind: WaitKind) -> Option<&CureTimes> {
        let at = PLACED.iter().position(|(own, _)| *own == kind)?;
        self.cures[at].as_ref()
    }
}

impl WaitRules {
    /// Every wait along the temperatures of a day, minute by minute.
    ///
    /// In each quarter-hour it is as warm as in its middle; past midnight the last goes on. The hold
    /// before traffic is the same at any temperature, but surfacing too has a least one.
    pub(crate) fn along(&self, day: &DayTemperature) -> DayCures {
        let cures = PLACED.map(|(kind, _)| {
            let cold = self.cold(kind, day);
            if kind == WaitKind::Hold && cold.is_empty() {
                return None;
            }
            let ready = |minute| seconds(self.ready(kind, day, minute));
            Some(CureTimes::new((0..MINUTES).map(ready).collect(), cold))
        });
        let day = day.clone();
        DayCures { day, cures }
    }

    /// When something placed by this minute is ready; none where it never is.
    fn ready(&self, kind: WaitKind, day: &DayTemperature, minute: u32) -> Option<Seconds> {
        let needed = self.needed(kind);
        if kind == WaitKind::Hold {
            return Some(whole(f64::from(minute) + needed));
        }
        let quarter = minute / 15;
        let first = f64::from((quarter + 1) * 15 - minute);
        let rest = (quarter + 1..QUARTERS).map(|at| (15.0, day.in_quarter(at)));
        let steps: Vec<(f64, f64)> = std::iter::once((first, day.in_quarter(quarter)))
            .chain(rest)
            .collect();
        let wait = self.maturity.wait(needed, &steps, self.reference)?;
        Some(whole(f64::from(minute) + wait))
    }

    /// The stretches that are too cold for a material, in order and apart.
    fn cold(&self, kind: WaitKind, day: &DayTemperature) -> Vec<(u32, u32)> {
        let mut stretches: Vec<(u32, u32)> = Vec::new();
        for quarter in 0..QUARTERS {
            if !self.is_too_cold(kind, day.in_quarter(quarter)) {
                continue;
            }
            let (from, until) = (quarter * 900, (quarter + 1) * 900);
            match stretches.last_mut() {
                Some(last) if last.1 == from => last.1 = until,
                _ => stretches.push((from, until)),
            }
        }
        stretches
    }
}

/// The shortest waits that the day has, in any of its hours.
pub(crate) fn shortest(rules: &WaitRules, cures: &DayCures) -> Waits {
    let of = |kind| {
        let least = cures.of(kind).map(CureTimes::shortest);
        least.map_or_else(
            || whole(rules.needed(kind)),
            |least| Seconds::from_seconds(i64::from(least)),
        )
    };
    Waits {
        base: of(WaitKind::BaseCure),
        mortar: of(WaitKind::MortarSet),
        surround: of(WaitKind::InitialSet),
        hold: whole(rules.needed(WaitKind::Hold)),
    }
}

fn seconds(ready: Option<Seconds>) -> u32 {
    let seconds = ready.and_then(|ready| u32::try_from(ready.seconds()).ok());
    seconds.map_or(NOT_THAT_DAY, |seconds| seconds.min(NOT_THAT_DAY))
}
