//! `gangday pack`.

use gangday_app::{Opened, look_over, read_plan, what_the_public_meets, write_pack};

use super::{Done, status};
use crate::args::PackArgs;
use crate::print;

/// Writes the client page; a plan that breaks a rule is told of, so that nobody sends it out unread.
pub fn run(args: &PackArgs) -> Done {
    let opened = Opened::from_path(&args.programme)?;
    let plan = read_plan(&args.plan)?;
    let public = what_the_public_meets(&opened, &plan);
    for path in write_pack(&opened, &plan, &public, &args.out)? {
        print::line(&path.display().to_string());
    }
    let report = look_over(&opened, &plan, &public);
    print::messages(&report.findings);
    Ok(status(report.sound))
}
