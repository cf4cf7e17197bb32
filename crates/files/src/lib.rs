//! Other people's formats, bytes in and bytes out: no path is opened here and no figure computed.
//!
//! Reading never stops at the first fault. Everything sound comes back as the model's nouns, every
//! fault as a [`Finding`](gangday_model::Finding) with its place and remedy, and everything that
//! Gangday does not know, or could not use, in [`Kept`], so that saving loses nothing.

mod area;
mod calendar;
mod closures;
mod codes;
#[cfg(test)]
mod documented;
mod features;
mod fields;
mod gangs;
mod ids;
mod intake;
mod jobs;
mod kept;
mod lay_out;
mod ledger;
mod list;
mod network;
mod osm;
mod parameters;
mod picture;
mod plan;
mod points;
mod routing;
mod sizes;
mod streets;
mod table;
mod texts;
mod times;
mod tree;
mod week;
mod words;
mod write;
mod zipped;

pub use calendar::{CalendarEntry, write_calendar};
pub use closures::{ClosureDetails, write_closures};
pub use codes::CODES;
pub use ids::id_in;
pub use intake::{Intake, Parts, read_programme};
pub use jobs::{JOB_FIELDS, JobFieldKind, JobReader, JobWithMembers};
pub use kept::{FileState, Kept, KeptFile};
pub use list::{List, is_xlsx, read_list};
pub use network::{read_network, write_network};
pub use osm::{
    ATTRIBUTION, OsmCounts, OsmIntake, StreetsMerged, is_osm_pbf, merge_streets, read_osm,
};
pub use picture::{LARGEST_PICTURE, Picture, read_picture};
pub use plan::{read_plan, write_plan};
pub use points::{
    JOB_TABLE, PointIntake, PointMapping, guess_mapping, read_points, read_points_beside,
};
pub use routing::{RoutingInstance, RoutingStop, read_routing};
pub use table::{Cell, Table, write_csv, write_xlsx};
pub use texts::takes_text;
pub use week::default_week;
pub use words::thousands;
pub use write::{
    job_feature, write_gangs, write_jobs, write_parameters, write_programme, write_streets,
    write_week,
};
pub use zipped::Zipped;

/// The file of jobs in a programme folder.
pub const JOBS: &str = "jobs.geojson";
/// The file of streets in a programme folder.
pub const STREETS: &str = "streets.geojson";
/// The file of gangs and tips in a programme folder.
pub const GANGS: &str = "gangs.json";
/// The file of chamber construction and outputs in a programme folder.
pub const METHOD: &str = "method.json";
/// The file of densities, packs, waits and prices in a programme folder.
pub const MATERIALS: &str = "materials.json";
/// The file of the road network in a programme folder.
pub const NETWORK: &str = "network.json";
/// The file of the week in a programme folder.
pub const WEEK: &str = "week.json";
