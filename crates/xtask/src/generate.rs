//! An invented programme of any size.

use std::path::PathBuf;

use crate::generated::sample_maker;
use crate::tool::{say, show};
use crate::trouble::{Trouble, trouble};

/// Runs the maker of sample data.
///
/// # Errors
/// When the words are not understood or the maker fails.
pub fn generate(words: &[String]) -> Result<(), Trouble> {
    let order = Order::read(words)?;
    say(format!(
        "making {} jobs from seed {} in {}",
        order.jobs,
        order.seed,
        order.out.display()
    ));
    let out = std::path::absolute(&order.out).map_err(|e| {
        trouble(
            format!("the folder can't be named: {e}"),
            "give another --out",
        )
    })?;
    let mut command = sample_maker();
    command.args([
        "--jobs",
        &order.jobs.to_string(),
        "--seed",
        &order.seed.to_string(),
    ]);
    show(command.arg("--out").arg(&out), "put right what it names")
}

#[derive(Debug, PartialEq, Eq)]
struct Order {
    jobs: u32,
    seed: u64,
    out: PathBuf,
}

impl Order {
    fn read(words: &[String]) -> Result<Self, Trouble> {
        let remedy = "for example: cargo xtask generate --jobs 1000 --seed 7 --out week-of-1000";
        let (mut jobs, mut seed, mut out) = (None, None, None);
        let mut rest = words.iter();
        while let Some(word) = rest.next() {
            let value = rest
                .next()
                .ok_or_else(|| trouble(format!("'{word}' needs a value"), remedy))?;
            let not_a_number = || {
                trouble(
                    format!("{word} takes a whole number, not '{value}'"),
                    remedy,
                )
            };
            match word.as_str() {
                "--jobs" => jobs = Some(value.parse().map_err(|_| not_a_number())?),
                "--seed" => seed = Some(value.parse().map_err(|_| not_a_number())?),
                "--out" => out = Some(PathBuf::from(value)),
                _ => return Err(trouble(format!("'{word}' is not understood"), remedy)),
            }
        }
        let jobs = jobs.ok_or_else(|| trouble("--jobs is missing", remedy))?;
        let seed = seed.ok_or_else(|| trouble("--seed is missing", remedy))?;
        let out = out
            .unwrap_or_else(|| PathBuf::from(format!("target/generated/{jobs}-jobs-seed-{seed}")));
        Ok(Self { jobs, seed, out })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(words: &[&str]) -> Result<Order, Trouble> {
        Order::read(&words.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>())
    }

    #[test]
    fn jobs_and_seed_are_asked_for_and_the_folder_follows_from_them() {
        let order = read(&["--seed", "7", "--jobs", "1000"]).unwrap();
        assert_eq!(
            order.out,
            PathBuf::from("target/generated/1000-jobs-seed-7")
        );
        assert!(
            read(&["--jobs", "10"])
                .unwrap_err()
                .to_string()
                .contains("--seed is missing")
        );
    }

    #[test]
    fn what_is_no_number_is_named() {
        let refusal = read(&["--jobs", "many", "--seed", "7"])
            .unwrap_err()
            .to_string();
        assert!(
            refusal.contains("--jobs") && refusal.contains("'many'"),
            "{refusal}"
        );
    }
}
