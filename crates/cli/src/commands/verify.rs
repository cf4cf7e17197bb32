//! `gangday verify`.

use gangday_app::{Opened, read_plan, verify};

use super::{Done, status};
use crate::args::PlannedArgs;
use crate::print;

/// Holds a plan to every rule.
pub fn run(args: &PlannedArgs) -> Done {
    let opened = Opened::from_path(&args.programme)?;
    let report = verify(&opened, &read_plan(&args.plan)?);
    if args.json {
        print::json(&report);
    } else {
        print::findings(&report.findings);
        print::line(&report.summary);
    }
    Ok(status(report.sound))
}
