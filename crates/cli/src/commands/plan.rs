//! `gangday plan`.

use std::path::Path;
use std::process::ExitCode;
use std::sync::atomic::Ordering;

use gangday_app::{
    Opened, PlanOptions, check, make_plan, plan_in_words, read_plan, what_the_public_meets,
    write_plan,
};

use super::{Done, status, stop_on_interrupt};
use crate::args::PlanArgs;
use crate::print;

/// Makes the week and writes it, and tells of the clashes that it leaves.
pub fn run(args: &PlanArgs) -> Done {
    let opened = Opened::from_path(&args.programme)?;
    let intake = check(&opened);
    print::messages(&intake.findings);
    if let Some(folder) = missing_folder(&args.out) {
        print::message(&format!(
            "There is no folder {folder}; make it, or name another --out."
        ));
        return Ok(ExitCode::from(1));
    }
    let keep = args.keep.as_deref().map(read_plan).transpose()?;
    let stop = stop_on_interrupt();
    let options = PlanOptions {
        seconds: args.seconds,
        iterations: args.iterations,
        seed: args.seed,
        threads: args.threads,
    };
    let mut meter = print::Meter::default();
    let plan = make_plan(&opened, &options, keep.as_ref(), &mut |progress| {
        meter.show(progress);
        !stop.load(Ordering::Relaxed)
    })?;
    meter.end();
    write_plan(&args.out, &plan)?;
    if args.json {
        print::json(&plan);
    } else {
        plan_in_words(&opened, &plan)
            .iter()
            .for_each(|line| print::line(line));
    }
    print::messages(&what_the_public_meets(&opened, &plan).clashes_left());
    Ok(status(intake.sound))
}

/// The folder that the plan should go into, where it is not there.
fn missing_folder(out: &Path) -> Option<String> {
    let folder = out
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())?;
    (!folder.is_dir()).then(|| folder.display().to_string())
}
