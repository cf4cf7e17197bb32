//! Cuts: of any three tasks, at most one gang-day serves two or more.
//!
//! True of every plan, but not of every mixture of plans that the linear program can make; what it gives
//! the prices more room by, the program finds. Each cut has a price too, which a gang-day saves that
//! serves two or three of its tasks.
//!
//! # Source
//! Jepsen, Petersen, Spoorendonk and Pisinger, "Subset-Row Inequalities Applied to the Vehicle-Routing
//! Problem with Time Windows", Operations Research 56(2), 2008, with sets of three.

use rustc_hash::FxHashMap;

use super::sets::Set;

/// Of the cuts that a mixture breaks most, so many are added at once.
const AT_ONCE: usize = 24;

/// Less than this is not worth a cut.
const TELLING: f64 = 0.02;

/// Three tasks, in order.
pub(super) type Cut = [u32; 3];

/// Whether a set of tasks has two or three of a cut's.
pub(super) fn is_in(cut: &Cut, tasks: &[u32]) -> bool {
    let has = |task: &&u32| tasks.contains(task);
    cut.iter().filter(has).count() >= 2
}

/// The cuts that a mixture of these sets, with so much of each, breaks most; none where it breaks none.
pub(super) fn broken((known, parts): (&[Set], &[f64]), cuts: &[Cut], count: u32) -> Vec<Cut> {
    let mut sums: FxHashMap<Cut, f64> = FxHashMap::default();
    for (set, &part) in known.iter().zip(parts) {
        if part > 1e-6 && set.tasks.len() >= 2 {
            add(&mut sums, &set.tasks, part, count);
        }
    }
    let telling = sums.into_iter().filter(|(_, sum)| *sum > 1.0 + TELLING);
    let mut telling: Vec<(i64, Cut)> = telling
        .map(|(cut, sum)| (-(sum * 1e6).round() as i64, cut))
        .filter(|(_, cut)| !cuts.contains(cut))
        .collect();
    telling.sort_unstable();
    telling.truncate(AT_ONCE);
    telling.into_iter().map(|(_, cut)| cut).collect()
}

/// Adds a set's part to every three tasks of which it has two or three.
fn add(sums: &mut FxHashMap<Cut, f64>, tasks: &[u32], part: f64, count: u32) {
    for (at, &one) in tasks.iter().enumerate() {
        for &other in &tasks[at + 1..] {
            for third in (0..count).filter(|third| *third != one && *third != other) {
                // Three of its own tasks come up three times: counted where the third is the greatest.
                if tasks.contains(&third) && third < one.max(other) {
                    continue;
                }
                let mut cut = [one, other, third];
                cut.sort_unstable();
                *sums.entry(cut).or_insert(0.0) += part;
            }
        }
    }
}
