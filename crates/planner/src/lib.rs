//! Who goes where on which day.
//!
//! The search ([`solve`]) works on a plain integer [`Problem`] and knows nothing of calendars; the
//! [`checker`] works on the programme and the plan and knows nothing of the search, so that an error
//! in one can't hide in the other.
//!
//! What is deliberately absent: floating-point numbers, clocks and unseeded chance. The same
//! problem, seed and number of iterations give the same plan on every machine.

mod bound;
pub mod checker;
pub mod codes;
mod drive;
mod explain;
mod nights;
mod parts;
mod problem;
mod rules;
mod search;
mod setting;
mod solution;
mod stop;
mod timing;
mod what_if;

pub use bound::{Bound, RAISED_UP_TO, Reach, WITH_PARTS_UP_TO, bound};
pub use explain::{Cure, Why, explain, explain_all};
pub use nights::{Cut, Left, Nights};
pub use problem::{
    Begin, Block, Clash, GangDay, Hauling, Journeys, Kept, Load, Locked, Placed, Problem, Rates,
    Task, Travel,
};
pub use search::{Go, Progress, solve, solve_at_once};
pub use solution::{CostParts, DaySolution, Halt, HaltKind, Solution, StepTime};
pub use stop::{Either, Iterations, Stop, Until, WHOLE};
pub use timing::{Step, simulate, whole_day};
pub use what_if::{Board, Broken, Change, Outcome, WhatIf};
