//! `gangday closures`.

use gangday_app::{Opened, closures_geojson, look_over, read_plan};

use super::{Done, status};
use crate::args::PlannedArgs;
use crate::print;

/// Prints the closures; GeoJSON either way.
pub fn run(args: &PlannedArgs) -> Done {
    let opened = Opened::from_folder(&args.programme)?;
    let plan = read_plan(&args.plan)?;
    print::line(closures_geojson(&opened, &plan).trim_end());
    let report = look_over(&opened, &plan);
    print::messages(&report.findings);
    Ok(status(report.sound))
}
