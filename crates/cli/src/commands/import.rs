//! `gangday import`.

use std::process::ExitCode;

use gangday_app::{import_into, mapping_for};

use super::{Done, status};
use crate::args::ImportArgs;
use crate::print;

/// Brings points into a programme.
pub fn run(args: &ImportArgs) -> Done {
    let mapping = mapping_for(&args.file, args.mapping.as_deref())?;
    if args.show_mapping {
        print::json(&mapping);
        return Ok(ExitCode::SUCCESS);
    }
    let report = import_into(&args.file, &args.into, &mapping)?;
    if args.json {
        print::json(&report);
    } else {
        print::findings(&report.findings);
        print::line(&report.summary);
    }
    Ok(status(report.sound))
}
