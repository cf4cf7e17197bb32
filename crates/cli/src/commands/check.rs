//! `gangday check`.

use gangday_app::{Opened, check};

use super::{Done, status};
use crate::args::ProgrammeArgs;
use crate::print;

/// Lists everything that is wrong.
pub fn run(args: &ProgrammeArgs) -> Done {
    let report = check(&Opened::from_path(&args.programme)?);
    if args.json {
        print::json(&report);
    } else {
        print::findings(&report.findings);
        print::line(&report.summary);
    }
    Ok(status(report.sound))
}
