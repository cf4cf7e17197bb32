//! The `gangday` command.

mod args;
mod commands;
mod print;
mod serve;

use std::process::ExitCode;

use clap::Parser as _;

use args::{Cli, Command};

fn main() -> ExitCode {
    let done = match Cli::parse().command {
        Command::Check(args) => commands::check::run(&args),
        Command::Totals(args) => commands::totals::run(&args),
        Command::Plan(args) => commands::plan::run(&args),
        Command::Verify(args) => commands::verify::run(&args),
        Command::Closures(args) => commands::closures::run(&args),
        Command::Pack(args) => commands::pack::run(&args),
        Command::Import(args) => commands::import::run(&args),
        Command::Convert(args) => commands::convert::run(&args),
        Command::Export(args) => commands::export::run(&args),
        Command::Solve(args) => commands::solve::run(&args),
        Command::Pose(args) => commands::pose::run(&args),
        Command::Schema { name } => commands::schema::run(name.as_deref()),
        Command::View(args) => commands::view::run(&args),
    };
    done.unwrap_or_else(|refusal| {
        print::refusal(&refusal);
        ExitCode::from(1)
    })
}
