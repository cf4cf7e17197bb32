//! Map extracts: small ones of our own, real ones, and hostile ones.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests stop where they must"
)]

mod addresses;
mod hostile;
mod junctions;
mod map;
mod merging;
mod osmpbf_crate;
mod real;
mod streets;
mod turns;
