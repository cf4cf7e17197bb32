//! `gangday export`.

use gangday_app::view::{TableFormat, TableSort};
use gangday_app::{Opened, read_plan, write_tables};

use super::{Done, status};
use crate::args::{ExportArgs, What};
use crate::print;

/// Writes the tables and says where.
pub fn run(args: &ExportArgs) -> Done {
    let opened = Opened::from_path(&args.programme)?;
    let named = args.plan.as_deref().map(read_plan).transpose()?;
    let plan = named.as_ref().or(opened.plan.as_deref());
    let what = match args.what {
        What::Jobs => TableSort::Jobs,
        What::Visits => TableSort::Visits,
        What::Orders => TableSort::Orders,
        What::Closures => TableSort::Closures,
        What::All => TableSort::All,
    };
    let ending = args.out.extension().unwrap_or_default();
    let format = if ending.eq_ignore_ascii_case("xlsx") {
        TableFormat::Xlsx
    } else {
        TableFormat::Csv
    };
    write_tables(&opened, plan, (what, format), &args.out)?;
    print::message(&format!("Written to {}.", args.out.display()));
    Ok(status(true))
}
