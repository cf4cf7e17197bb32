//! `gangday pose`.

use gangday_app::{Opened, posed};

use super::{Done, status};
use crate::args::ProgrammeArgs;
use crate::print;

/// Prints the week as the numbers that the search works on.
pub fn run(args: &ProgrammeArgs) -> Done {
    let opened = Opened::from_path(&args.programme)?;
    print::json(&posed(&opened));
    Ok(status(true))
}
