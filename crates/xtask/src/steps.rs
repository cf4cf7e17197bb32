//! A row of named steps, timed, that stops at the first failure or goes on as it is told.

use std::time::{Duration, Instant};

use crate::trouble::{Trouble, trouble};

/// What has been done so far, and whether it went well.
#[derive(Debug)]
pub struct Steps {
    keep_going: bool,
    done: Vec<(String, Duration, bool)>,
}

impl Steps {
    /// An empty row; `keep_going` goes on after a failure.
    pub fn new(keep_going: bool) -> Self {
        Self {
            keep_going,
            done: Vec::new(),
        }
    }

    /// Does one step and tells its name and time.
    ///
    /// # Errors
    /// The step's own trouble, where the row is to stop at the first.
    pub fn step(
        &mut self,
        name: &str,
        work: impl FnOnce() -> Result<(), Trouble>,
    ) -> Result<(), Trouble> {
        println!("\n=== {name}");
        let start = Instant::now();
        let outcome = work();
        let took = start.elapsed();
        let word = if outcome.is_ok() { "done" } else { "FAILED" };
        println!("=== {name}: {word} in {:.1} s", took.as_secs_f64());
        self.done.push((name.to_owned(), took, outcome.is_ok()));
        match outcome {
            Err(trouble) if self.keep_going => {
                println!("gangday: {trouble}");
                Ok(())
            }
            other => other,
        }
    }

    /// Prints every step on a line and tells whether all went well.
    ///
    /// # Errors
    /// When a step failed.
    pub fn sum_up(&self) -> Result<(), Trouble> {
        println!("\n=== Summary");
        for (name, took, well) in &self.done {
            println!(
                "{:>8.1} s  {}  {name}",
                took.as_secs_f64(),
                if *well { "ok    " } else { "FAILED" }
            );
        }
        let failed: Vec<&str> = self
            .done
            .iter()
            .filter(|(_, _, well)| !well)
            .map(|(name, _, _)| name.as_str())
            .collect();
        if failed.is_empty() {
            return Ok(());
        }
        Err(trouble(
            format!("failed: {}", failed.join(", ")),
            "put right what each step names above",
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failure_stops_the_row_unless_it_keeps_going() {
        let mut strict = Steps::new(false);
        assert!(
            strict
                .step("one", || Err(trouble("broken", "mend it")))
                .is_err()
        );
        let mut patient = Steps::new(true);
        assert!(
            patient
                .step("one", || Err(trouble("broken", "mend it")))
                .is_ok()
        );
        assert!(patient.step("two", || Ok(())).is_ok());
        let verdict = patient.sum_up().unwrap_err().to_string();
        assert!(verdict.contains("failed: one\n"), "{verdict}");
    }

    #[test]
    fn a_row_of_good_steps_is_good() {
        let mut steps = Steps::new(false);
        steps.step("one", || Ok(())).unwrap();
        assert!(steps.sum_up().is_ok());
    }
}
