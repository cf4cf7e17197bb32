//! `gangday closures`.

use gangday_app::{Opened, closures_geojson, look_over, read_plan, write_calendar};

use super::{Done, status};
use crate::args::ClosuresArgs;
use crate::print;

/// Prints the closures; GeoJSON either way.
pub fn run(args: &ClosuresArgs) -> Done {
    let opened = Opened::from_path(&args.planned.programme)?;
    let plan = read_plan(&args.planned.plan)?;
    if let Some(path) = &args.calendar {
        write_calendar(&opened, &plan, path)?;
    }
    print::line(closures_geojson(&opened, &plan).trim_end());
    let report = look_over(&opened, &plan);
    print::messages(&report.findings);
    Ok(status(report.sound))
}
