//! Published vehicle-routing instances as text, by which the planner's search is measured.
//!
//! # Source
//! The layout of Solomon, "Algorithms for the vehicle routing and scheduling problems with time
//! window constraints", Operations Research 35(2), 1987, which Gehring and Homberger (1999) kept;
//! and that of CVRPLIB, which follows TSPLIB 95 (Reinelt, section 2).

mod cvrplib;
mod numbers;
mod solomon;

use gangday_model::Finding;

use crate::codes::UTF8;

/// A published routing instance.
///
/// # Units
/// Those of the instance: distances and times are the same, weights are its own.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RoutingInstance {
    /// How many vehicles there are, where that is said.
    pub vehicles: Option<u32>,
    /// What each of them may carry.
    pub capacity: u32,
    /// The depot, then the customers in order.
    pub stops: Vec<RoutingStop>,
    /// Whether there are time windows.
    pub timed: bool,
}

/// The depot or a customer of a routing instance.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct RoutingStop {
    /// Where it is.
    pub x: i64,
    /// Where it is, the other way.
    pub y: i64,
    /// What it weighs.
    pub demand: u32,
    /// The earliest start of its service.
    pub ready: u32,
    /// The latest start of its service; the depot's is the latest return.
    pub due: u32,
    /// How long its service takes.
    pub service: u32,
}

/// Reads a routing instance, in whichever of the two layouts it is written.
///
/// # Errors
/// Every fault found, each with its line.
///
/// ```
/// let text = "TINY\n\nVEHICLE\nNUMBER CAPACITY\n2 10\n\nCUSTOMER\nCUST NO. XCOORD. YCOORD. DEMAND \
///     READY TIME DUE DATE SERVICE TIME\n0 0 0 0 0 100 0\n1 3 4 7 10 50 5\n";
/// let instance = gangday_files::read_routing("tiny.txt", text.as_bytes()).unwrap();
/// assert_eq!((instance.vehicles, instance.capacity), (Some(2), 10));
/// assert_eq!(instance.stops[1].due, 50);
/// ```
pub fn read_routing(file: &str, bytes: &[u8]) -> Result<RoutingInstance, Vec<Finding>> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        let finding = Finding::fault(
            UTF8,
            "The file is not UTF-8 text.",
            "Save the instance as plain text.",
        );
        return Err(vec![finding.in_file(file)]);
    };
    let read = if text.lines().any(|line| line.trim() == "NODE_COORD_SECTION") {
        cvrplib::read(text)
    } else {
        solomon::read(text)
    };
    read.map_err(|faults| {
        let faults = faults.into_iter();
        faults.map(|fault| fault.in_file(file)).collect()
    })
}
