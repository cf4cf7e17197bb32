//! Several searches at once, each with a seed of its own; the cheapest plan is kept.

use std::sync::atomic::{AtomicBool, Ordering};

use super::simple::Plain;
use super::{Go, Progress, search, setting};
use crate::parts::apart;
use crate::{Problem, Solution, Stop};

/// Plans the gang-days by one search for each stop, all at once, each in a thread of its own, and
/// gives the cheapest plan; of equally cheap ones the first.
///
/// The first search is the one that [`crate::solve`] would make with this seed, and the one that
/// `watch` is told of; where `watch` stops it, all stop. With [`crate::Iterations`] the plan depends
/// on the problem, the seed and how many stops there are, and never on which thread is quicker. With
/// no stops, every task is left out.
///
/// # Panics
/// As [`crate::solve`].
pub fn solve_at_once(
    problem: &Problem,
    stops: Vec<Box<dyn Stop + Send + '_>>,
    seed: u64,
    watch: &mut dyn FnMut(&Progress<'_>) -> Go,
) -> Solution {
    let apart = apart(problem);
    let setting = setting(problem, apart.as_ref());
    let plain = Plain::of(&setting);
    let (setting, plain) = (&setting, plain.as_ref());
    let stopped = AtomicBool::new(false);
    let obey = |_: &Progress<'_>| {
        if stopped.load(Ordering::Relaxed) {
            Go::Stop
        } else {
            Go::On
        }
    };
    let mut tell = |progress: &Progress<'_>| {
        let go = watch(progress);
        if go == Go::Stop {
            stopped.store(true, Ordering::Relaxed);
        }
        go
    };
    let plans: Vec<Solution> = std::thread::scope(|scope| {
        let mut stops = (0..).zip(stops);
        let first = stops.next();
        let others: Vec<_> = stops
            .map(|(at, mut stop)| {
                let seed = seed_of(seed, at);
                scope.spawn(move || search(setting, plain, &mut *stop, seed, &mut { obey }))
            })
            .collect();
        let first = first.map(|(_, mut stop)| search(setting, plain, &mut *stop, seed, &mut tell));
        let others = others.into_iter().map(|other| {
            other
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
        });
        first.into_iter().chain(others).collect()
    });
    let cheapest = plans.into_iter().min_by_key(|plan| plan.costs.total());
    cheapest.unwrap_or_else(|| nothing(problem))
}

/// The seed of one search: for the first, as it is.
fn seed_of(seed: u64, at: u64) -> u64 {
    seed.wrapping_add(at.wrapping_mul(0x9E37_79B9_7F4A_7C15))
}

fn nothing(problem: &Problem) -> Solution {
    let mut plan = Solution {
        left_out: (0..problem.tasks.len() as u32).collect(),
        ..Solution::default()
    };
    plan.costs.left_out = problem.tasks.iter().map(|task| task.left_out).sum();
    plan
}
