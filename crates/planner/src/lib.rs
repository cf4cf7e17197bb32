//! Who goes where on which day.

mod problem;

pub use problem::{Block, GangDay, Problem, Rates, Task, Travel};
