//! `gangday convert`.

use gangday_app::convert;

use super::{Done, status};
use crate::args::ConvertArgs;
use crate::print;

/// Makes one file of a folder, or a folder of a file.
pub fn run(args: &ConvertArgs) -> Done {
    let lost = convert(&args.from, &args.to)?;
    print::messages(&lost);
    print::line(&args.to.display().to_string());
    Ok(status(!lost.iter().any(|one| one.severity == "fault")))
}
