//! `gangday closures`.

use std::process::ExitCode;

use gangday_app::{Opened, closures_geojson, read_plan};

use super::Done;
use crate::args::PlannedArgs;
use crate::print;

/// Prints the closures; GeoJSON either way.
pub fn run(args: &PlannedArgs) -> Done {
    let opened = Opened::from_folder(&args.programme)?;
    print::line(closures_geojson(&opened, &read_plan(&args.plan)?).trim_end());
    Ok(ExitCode::SUCCESS)
}
