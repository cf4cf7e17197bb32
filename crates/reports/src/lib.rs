//! Sheets for other people: they print what they are given, compute no figure and open no path.
//!
//! The client page has a map, the works and their closures by day; a gang sheet a gang's day with its
//! order and the sections of its chambers, an order sheet what one supplier delivers on which day. Each is one HTML file that needs no network.
//!
//! # Safety of the page
//! Every word from the data goes through [`escape`], element and attribute names are fixed in the
//! code, and a Content-Security-Policy lets nothing run but the one script whose hash it names.

mod client_page;
mod closed;
mod escape;
mod gang_sheet;
mod html;
mod notes;
mod order_sheet;
mod page;
mod paper;
mod policy;
mod schedule;
mod svg;

pub use client_page::{
    Backdrop, BackdropKind, Caution, ClientPage, Day, PlaneRing, StreetLine, WorkEntry,
};
pub use escape::escape;
pub use gang_sheet::{GangSheet, SheetLine, SheetVisit, gang_sheet};
pub use gangday_model::ClosureKind;
pub use order_sheet::{OrderLine, OrderSheet, OrderSum, order_sheet};
pub use page::client_page;
pub use paper::SheetSection;
