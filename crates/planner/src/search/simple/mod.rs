//! Gang-days that are simple: every task one block in one window, all gang-days alike, and nothing
//! costs but travel, gang-days begun and tasks left out.
//!
//! Then a place needs no timing of the whole day: each task knows the earliest end of its work and
//! the latest start that leaves what follows possible, so that trying a place takes the same short
//! time however long the gang-day is. Published routing problems are of this kind.

mod chains;
mod cross;
mod near;
mod places;
mod plain;
mod rounds;
mod times;
mod turned;

pub(crate) use chains::Chains;
pub(crate) use plain::Plain;
