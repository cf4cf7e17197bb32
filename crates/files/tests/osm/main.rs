//! Map extracts: small ones of our own, real ones, and hostile ones.

mod hostile;
mod junctions;
mod map;
mod merging;
mod real;
mod streets;
mod turns;
