//! `gangday import`.

use std::process::ExitCode;

use gangday_app::{import_extract, import_into, is_extract, mapping_for};

use super::{Done, status};
use crate::args::ImportArgs;
use crate::print;

/// Brings points, or the streets of a map extract, into a programme.
pub fn run(args: &ImportArgs) -> Done {
    if args.mapping.is_none() && !args.show_mapping && is_extract(&args.file) {
        return extract(args);
    }
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

fn extract(args: &ImportArgs) -> Done {
    let mut meter = print::Meter::default();
    let report = import_extract(&args.file, &args.into, &mut |progress| meter.show(progress));
    meter.end();
    let report = report?;
    if args.json {
        print::json(&report);
    } else {
        print::findings(&report.findings);
        print::line(&report.summary);
    }
    Ok(status(report.sound))
}
