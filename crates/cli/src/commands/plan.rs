//! `gangday plan`.

use std::sync::atomic::Ordering;

use gangday_app::{Opened, PlanOptions, check, make_plan, plan_in_words, write_plan};

use super::{Done, status, stop_on_interrupt};
use crate::args::PlanArgs;
use crate::print;

/// Makes the week and writes it.
pub fn run(args: &PlanArgs) -> Done {
    let opened = Opened::from_folder(&args.programme)?;
    let intake = check(&opened);
    print::messages(&intake.findings);
    let stop = stop_on_interrupt();
    let options = PlanOptions {
        seconds: args.seconds,
        iterations: args.iterations,
        seed: args.seed,
    };
    let mut meter = print::Meter::default();
    let plan = make_plan(&opened, &options, &mut |progress| {
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
    Ok(status(intake.sound))
}
