//! Makes the sample data: the invented town of Sallowby, its weeks, and larger programmes in the
//! same shape.
//!
//! ```no_run
//! use std::path::Path;
//! use gangday_tests::sample::{TownWeek, write_patchwork, write_town};
//! write_town(Path::new("sample-data/small-week"), TownWeek::Small)?;
//! let written = write_patchwork(Path::new("target/programme-1k"), 1_000, 7)?;
//! assert_eq!(written.jobs, 1_000);
//! # Ok::<(), std::io::Error>(())
//! ```

mod chance;
mod crew;
mod curve;
mod job;
mod names;
mod neighbourhood;
mod noding;
mod plane;
mod rows;
mod street;
pub mod town;
mod week;
mod write;

pub use chance::Chance;
pub use job::{Hindrance, Job};
pub use plane::{MIDDLE, Point, lon_lat};
pub use street::{Kind, Standing, Street};
pub use week::TownWeek;
pub use write::{MOST_JOBS, Written, write_patchwork, write_town};
