//! What the planner's tests and benches share; none of it uses the search's own code.
#![allow(dead_code, reason = "each test file uses its own part")]

pub mod brute;
pub mod nights;
pub mod rules;
pub mod weeks;
