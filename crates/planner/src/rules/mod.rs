//! The rules of a gang-day beyond order, waits, windows and length, each in a file of its own: what
//! it forbids, what it costs, and the words shown when it bites.
//!
//! The search asks them here; the checker asks again, in its own words and from the plan alone.

pub(crate) mod bonds;
pub(crate) mod busy;
pub(crate) mod cure;
pub(crate) mod driving;
pub(crate) mod gap;
pub(crate) mod haul;
pub(crate) mod kept;
pub(crate) mod locked;
pub(crate) mod open;
pub(crate) mod rest;
pub(crate) mod set_up;
pub(crate) mod shake;
