//! Writes sample programme folders.

use std::path::PathBuf;
use std::process::ExitCode;

use gangday_tests::sample::{MOST_JOBS, TownWeek, write_patchwork, write_town};

const USAGE: &str = "\
Writes a programme folder of invented data.

  gangday-sample --small --out FOLDER             12 jobs, 2 gangs in the town of Sallowby
  gangday-sample --full --out FOLDER              72 jobs, 5 gangs in the town of Sallowby
  gangday-sample --jobs N --seed K --out FOLDER   up to 100,000 jobs in a patchwork of neighbourhoods

Example: gangday-sample --jobs 1000 --seed 7 --out target/programme-1k";

enum What {
    Town(TownWeek),
    Patchwork(usize),
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if arguments.iter().any(|argument| argument == "--help") {
        println!("{USAGE}");
        return ExitCode::SUCCESS;
    }
    let Some((what, seed, folder)) = read(&arguments) else {
        eprintln!("{USAGE}");
        return ExitCode::from(2);
    };
    let written = match what {
        What::Town(week) => write_town(&folder, week),
        What::Patchwork(jobs) => write_patchwork(&folder, jobs, seed),
    };
    match written {
        Ok(written) => {
            let (jobs, streets, gangs) = (written.jobs, written.streets, written.gangs);
            eprintln!(
                "{}: {jobs} jobs, {streets} streets, {gangs} gangs",
                folder.display()
            );
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{} could not be written: {error}", folder.display());
            ExitCode::FAILURE
        }
    }
}

fn read(arguments: &[String]) -> Option<(What, u64, PathBuf)> {
    let (mut what, mut seed, mut folder) = (None, 1, None);
    let mut rest = arguments.iter();
    while let Some(argument) = rest.next() {
        match argument.as_str() {
            "--small" => what = Some(What::Town(TownWeek::Small)),
            "--full" => what = Some(What::Town(TownWeek::Full)),
            "--jobs" => what = Some(What::Patchwork(jobs(rest.next()?)?)),
            "--seed" => seed = rest.next()?.parse().ok()?,
            "--out" => folder = Some(PathBuf::from(rest.next()?)),
            _ => return None,
        }
    }
    Some((what?, seed, folder?))
}

fn jobs(text: &str) -> Option<usize> {
    let jobs = text.parse().ok()?;
    (1..=MOST_JOBS).contains(&jobs).then_some(jobs)
}
