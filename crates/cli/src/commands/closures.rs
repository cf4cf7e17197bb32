//! `gangday closures`.

use gangday_app::{
    Opened, closures_geojson, look_over, read_plan, what_the_public_meets, write_calendar,
};

use super::{Done, status};
use crate::args::ClosuresArgs;
use crate::print;

/// Prints the closures; GeoJSON either way.
pub fn run(args: &ClosuresArgs) -> Done {
    let opened = Opened::from_path(&args.planned.programme)?;
    let plan = read_plan(&args.planned.plan)?;
    let public = what_the_public_meets(&opened, &plan);
    if let Some(path) = &args.calendar {
        write_calendar(&opened, &public, path)?;
    }
    print::line(closures_geojson(&opened, &public).trim_end());
    let report = look_over(&opened, &plan, &public);
    print::messages(&report.findings);
    Ok(status(report.sound))
}
