//! Whole-program tests drive the doors from `tests/`; this library holds the maker of sample data.

pub mod sample;
