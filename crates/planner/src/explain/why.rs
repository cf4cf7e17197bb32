//! Why a task is left out, with the numbers that say what would make it fit.

use super::cures::Cure;
use crate::Load;
use crate::rules::{bonds, driving, gap, haul, locked, rest, shake};

/// One reason why a task is left out.
///
/// # Units
/// Seconds; pence; gang-days by their place in the problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// There is no work in it.
    NoWork,
    /// No gang holds these tickets, a bit each.
    NobodyHolds {
        /// The tickets that nobody holds.
        tickets: u64,
    },
    /// Each ticket is held by somebody, but all of them by no one gang.
    NoGangHoldsAll {
        /// The tickets that the gang with the most of them lacks.
        lacking: u64,
        /// A gang-day of that gang.
        gang_day: u32,
    },
    /// Its own dates leave no day on which anybody works.
    NoDay,
    /// On the days that its dates leave, nobody who holds its tickets works.
    NoGangThen {
        /// How many gang-days there are then, without the tickets.
        others: u32,
    },
    /// Its closure is longer than its site hours.
    LongerThanHours {
        /// How long the closure lasts at the least.
        needs: u32,
        /// How long the longest of its site hours lasts.
        window: u32,
    },
    /// With loading, travel and unloading it is longer than any gang-day, overtime included.
    LongerThanDay {
        /// How long it takes on the gang-day that comes closest.
        needs: u32,
        /// How long that may last.
        lasts: u32,
        /// That gang-day.
        gang_day: u32,
    },
    /// Its site hours and the gangs' days don't overlap by enough.
    HoursOutsideDay {
        /// By how much the gang-day that comes closest would have to be longer.
        over: u32,
        /// That gang-day.
        gang_day: u32,
    },
    /// It is heavier, or takes more room, than any vehicle bears at once.
    Heavy {
        /// What it takes at once, out or back.
        needs: Load,
        /// What the vehicle that bears most bears.
        most: Load,
    },
    /// Its tools alone pass the vibration limit of any gang-day.
    Shakes {
        /// Its vibration.
        needs: u32,
        /// The most of any gang-day.
        most: u32,
    },
    /// The drive there and back is longer than a driver may drive.
    Drive {
        /// The drive.
        needs: u32,
        /// The most.
        most: u32,
    },
    /// It would fit but for the break.
    Break {
        /// How long it lasts.
        lasts: u32,
        /// After how long a day has one.
        after: u32,
    },
    /// The most time between two of its stages is less than the least.
    Gap,
    /// It is locked to times that can't be kept.
    Locked,
    /// Nor do two of its gang-days, with a night between over which it may be left, have room for it.
    Nights,
    /// Its closure clashes with another's wherever it would fit.
    Clash,
    /// With one thing changed it would fit: what that is.
    If(Cure),
    /// Every gang-day that could do it is full.
    Full {
        /// By how much the gang-day that comes closest would have to be longer.
        over: u32,
        /// That gang-day.
        gang_day: u32,
        /// How long after its shift's end the day would end.
        past_shift: u32,
    },
    /// Every gang-day that could do it is held to other tasks' site hours, however long it lasted.
    Taken {
        /// How many gang-days could do it if they were empty.
        gang_days: u32,
    },
    /// It would fit, but leaving it out costs less.
    NotWorth {
        /// What putting it in adds.
        adds: i64,
        /// What leaving it out costs.
        left_out: i64,
        /// The gang-day where it adds least.
        gang_day: u32,
    },
    /// It fits and is worth it: the search was stopped before it got there.
    Stopped {
        /// What putting it in adds.
        adds: i64,
        /// The gang-day where it fits.
        gang_day: u32,
    },
}

impl Why {
    /// The reason where something would go into a gang-day and only adds so much.
    pub(super) fn of_price(adds: i64, left_out: i64, gang_day: u32) -> Self {
        if adds < left_out {
            Self::Stopped { adds, gang_day }
        } else {
            Self::NotWorth {
                adds,
                left_out,
                gang_day,
            }
        }
    }

    /// The reason's stable code.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::NoWork => "U-NOWORK",
            Self::NobodyHolds { .. } => "U-TICKET",
            Self::NoGangHoldsAll { .. } => "U-TICKETS",
            Self::NoDay => "U-DATES",
            Self::NoGangThen { .. } => "U-DAYS",
            Self::LongerThanHours { .. } => "U-HOURS",
            Self::LongerThanDay { .. } => "U-SHIFT",
            Self::HoursOutsideDay { .. } => "U-APART",
            Self::Heavy { .. } => "U-HEAVY",
            Self::Shakes { .. } => "U-SHAKE",
            Self::Drive { .. } => "U-DRIVE",
            Self::Break { .. } => "U-BREAK",
            Self::Gap => "U-GAP",
            Self::Locked => "U-LOCKED",
            Self::Clash => "U-CLASH",
            Self::Nights => "U-NIGHTS",
            Self::If(_) => "U-IF",
            Self::Full { .. } => "U-FULL",
            Self::Taken { .. } => "U-TAKEN",
            Self::NotWorth { .. } => "U-COST",
            Self::Stopped { .. } => "U-STOPPED",
        }
    }

    /// The reason in words, with what would make the task fit; names of gangs, days and tickets are
    /// the caller's to add.
    #[must_use]
    pub fn words(&self) -> String {
        self.words_of_rule().unwrap_or_else(|| self.own_words())
    }

    /// The words that a rule has in its own file.
    fn words_of_rule(&self) -> Option<String> {
        Some(match *self {
            Self::Heavy { needs, most } => haul::words(needs, most),
            Self::Shakes { needs, most } => shake::words(needs, most),
            Self::Drive { needs, most } => driving::words(needs, most),
            Self::Break { lasts, after } => rest::words(lasts, after),
            Self::Gap => gap::words(),
            Self::Locked => locked::words(),
            Self::Clash => bonds::words(),
            Self::Nights => super::nights::words(),
            Self::If(cure) => cure.words(),
            _ => return None,
        })
    }

    fn own_words(&self) -> String {
        match *self {
            Self::NoWork => "There is no work in this job; state what is to be done.".to_owned(),
            Self::NobodyHolds { tickets } => format!(
                "Nobody holds {}; a gang that holds it could do the job.",
                count(tickets.count_ones(), "of its tickets", "of its tickets")
            ),
            Self::NoGangHoldsAll { lacking, .. } => format!(
                "Every ticket is held by somebody, but the gang with most of them still lacks {}.",
                lacking.count_ones()
            ),
            Self::NoDay => "Its dates leave no day on which anybody works; widen them.".to_owned(),
            Self::NoGangThen { others } => format!(
                "On its days nobody who holds its tickets works ({}); widen its dates or \
                 move somebody with the tickets there.",
                count(others, "other gang-day", "other gang-days")
            ),
            Self::LongerThanHours { needs, window } => format!(
                "Its closure lasts {} min at the least, its longest site hours {} min; it needs \
                 {} min more.",
                up(needs),
                window / 60,
                up(needs.saturating_sub(window))
            ),
            Self::LongerThanDay { needs, lasts, .. } => format!(
                "With loading, travel and unloading it takes {} min, and the longest gang-day {} \
                 min, overtime included; {} min more would do.",
                up(needs),
                lasts / 60,
                up(needs.saturating_sub(lasts))
            ),
            Self::HoursOutsideDay { over, .. } => format!(
                "Within its site hours no gang gets it done in its day; {} min more would do.",
                up(over)
            ),
            Self::Full {
                over, past_shift, ..
            } => format!(
                "Every gang-day that could do it is full; {} min more on the best one would do \
                 ({} min past its shift).",
                up(over),
                up(past_shift)
            ),
            Self::Taken { gang_days } => format!(
                "{} could do it, but the site hours of the jobs they have leave no room; another \
                 gang on one of its days would do.",
                count(gang_days, "gang-day", "gang-days")
            ),
            Self::NotWorth { adds, left_out, .. } => format!(
                "It would fit for £{}, but leaving it out is priced at £{}; a higher priority \
                 would bring it in.",
                pounds(adds),
                pounds(left_out)
            ),
            Self::Stopped { adds, .. } => format!(
                "It would fit for £{}; the search stopped before it got there: plan again for \
                 longer.",
                pounds(adds)
            ),
            _ => String::new(),
        }
    }
}

/// Minutes, the begun one counted.
pub(super) fn up(seconds: u32) -> u32 {
    seconds.div_ceil(60)
}

fn count(number: u32, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

pub(super) fn pounds(pence: i64) -> String {
    let sign = if pence < 0 { "-" } else { "" };
    let pence = pence.unsigned_abs();
    format!("{sign}{}.{:02}", pence / 100, pence % 100)
}
