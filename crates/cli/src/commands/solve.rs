//! `gangday solve`.

use gangday_app::{PlanOptions, solve_routing};

use super::{Done, status, stop_on_interrupt};
use crate::args::SolveArgs;
use crate::print;

/// Solves a published routing problem and prints its routes.
pub fn run(args: &SolveArgs) -> Done {
    let stop = stop_on_interrupt();
    let options = PlanOptions {
        seconds: args.seconds,
        iterations: args.iterations,
        seed: args.seed,
        ..PlanOptions::default()
    };
    let answer = solve_routing(&args.instance, &options, &mut |_| {
        !stop.load(std::sync::atomic::Ordering::Relaxed)
    })?;
    for (number, route) in (1..).zip(&answer.routes) {
        let customers: Vec<String> = route.iter().map(u32::to_string).collect();
        print::line(&format!("Route #{number}: {}", customers.join(" ")));
    }
    print::line(&format!("Cost {}", answer.distance));
    for customer in &answer.left_out {
        print::message(&format!("There is no room for customer {customer}."));
    }
    Ok(status(answer.left_out.is_empty()))
}
