//! `gangday verify`.

use gangday_app::{Opened, read_plan, verify};

use super::{Done, status};
use crate::args::VerifyArgs;
use crate::print;

/// Holds a plan to every rule.
pub fn run(args: &VerifyArgs) -> Done {
    let VerifyArgs {
        planned: args,
        keep,
    } = args;
    let opened = Opened::from_path(&args.programme)?;
    let issued = keep.as_deref().map(read_plan).transpose()?;
    let report = verify(&opened, &read_plan(&args.plan)?, issued.as_ref());
    if args.json {
        print::json(&report);
    } else {
        print::findings(&report.findings);
        print::line(&report.summary);
    }
    Ok(status(report.sound))
}
