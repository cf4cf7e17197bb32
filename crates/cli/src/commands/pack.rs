//! `gangday pack`.

use std::process::ExitCode;

use gangday_app::{Opened, read_plan, write_pack};

use super::Done;
use crate::args::PackArgs;
use crate::print;

/// Writes the client page.
pub fn run(args: &PackArgs) -> Done {
    let opened = Opened::from_folder(&args.programme)?;
    for path in write_pack(&opened, &read_plan(&args.plan)?, &args.out)? {
        print::line(&path.display().to_string());
    }
    Ok(ExitCode::SUCCESS)
}
