//! Raising prices: the program proposes, the sets that the proposal is unfair to are added to it.

use super::Reach;
use super::classes::Class;
use super::metric::Metric;
use super::prices::Prices;
use super::program::Program;
use super::sets::{Set, Sets, Unfair};
use super::{centre, cuts};
use crate::Solution;
use crate::setting::Setting;
use crate::stop::Stop;

/// So often cuts are added.
const CUTTINGS: usize = 40;

/// The best fair prices are good enough within this part of the program's.
const CLOSE: f64 = 0.002;

/// So many tenths of the way from the best prices to the program's are tried first, and then all.
const A_LITTLE: i64 = 2;
const WHOLE_WAY: i64 = 10;

/// Raises the prices, and says how far they are.
pub(super) fn raise(
    setting: &Setting<'_>,
    classes: &[Class],
    (plan, fair): (&Solution, &mut Prices),
    stop: &mut dyn Stop,
) -> Reach {
    let metric = Metric::of(setting);
    let mut sets = Sets::new(setting, classes, &metric, stop);
    let begin = first(&mut sets, classes, plan);
    let rough = fair.sum(classes);
    let Some(mut program) = Program::new(setting, classes, (begin, &[])) else {
        return Reach::ByHand;
    };
    let mut centre = centre::of(setting, classes, plan);
    // No bound is above a plan's cost; of no plan nothing is known.
    let cost = match plan.costs.total() {
        0 => f64::INFINITY,
        cost => cost as f64,
    };
    if !settle(
        &mut sets,
        &mut program,
        (classes, cost),
        (fair, &mut centre),
    ) {
        let better = fair.sum(classes) > rough;
        return if better { Reach::Part } else { Reach::ByHand };
    }
    for _ in 0..CUTTINGS {
        let known = program.known();
        let broken = cuts::broken(setting, classes, (known, &sets.cuts));
        if broken.is_empty() {
            break;
        }
        sets.cuts.extend(broken);
        fair.cuts.resize(sets.cuts.len(), 0);
        centre.cuts.resize(sets.cuts.len(), 0);
        let known = known.to_vec();
        let Some(next) = Program::new(setting, classes, (known, &sets.cuts)) else {
            break;
        };
        program = next;
        if !settle(
            &mut sets,
            &mut program,
            (classes, cost),
            (fair, &mut centre),
        ) {
            break;
        }
    }
    Reach::Whole
}

/// Sets to begin with: each task alone, and the plan's gang-days, whole and without one of their tasks.
fn first(sets: &mut Sets<'_>, classes: &[Class], plan: &Solution) -> Vec<Set> {
    let mut begin = Vec::new();
    for (at, class) in classes.iter().enumerate() {
        begin.extend(
            class
                .tasks
                .iter()
                .filter_map(|&task| sets.set(at, vec![task])),
        );
    }
    for day in &plan.days {
        let of = classes
            .iter()
            .position(|class| class.days.contains(&day.gang_day));
        let tasks = centre::tasks(day);
        let Some(class) = of.filter(|_| tasks.len() > 1) else {
            continue;
        };
        for without in &tasks {
            let others = tasks.iter().filter(|task| *task != without);
            begin.extend(sets.set(class, others.copied().collect()));
        }
        begin.extend(sets.set(class, tasks));
    }
    begin
}

/// Raises the prices as far as they go with the cuts that there are; false where effort ends first.
fn settle(
    sets: &mut Sets<'_>,
    program: &mut Program,
    (classes, cost): (&[Class], f64),
    (fair, centre): (&mut Prices, &mut Prices),
) -> bool {
    let (mut all, mut tenths, mut first) = (true, 0, true);
    loop {
        let Some(proposed) = program.prices() else {
            return false;
        };
        let (most, best) = (program.value().min(cost), fair.sum(classes));
        if most - best as f64 <= CLOSE * most.abs().max(1.0) {
            return true;
        }
        // Near the best prices unfair sets are telling and few.
        let between = centre.towards(&proposed, tenths);
        let Some(found) = sets.unfair(&between, all) else {
            return false;
        };
        all = found.least.is_some() && !first;
        first = false;
        let better = improve(classes, (&between, &found), fair);
        if better {
            *centre = fair.clone();
        }
        let mut new = found.sets;
        new.retain(|set| program.wants(set));
        if !better && new.is_empty() {
            // The program knows all that these prices are unfair to: go further its way.
            if tenths == WHOLE_WAY {
                return true;
            }
            tenths = WHOLE_WAY.min(2 * tenths.max(A_LITTLE));
            continue;
        }
        tenths = A_LITTLE;
        if !program.add(&new) {
            return false;
        }
    }
}

/// Takes prices, made fair, for the best fair ones if they are better; only where all sets were gone through.
fn improve(classes: &[Class], (prices, found): (&Prices, &Unfair), fair: &mut Prices) -> bool {
    let Some(least) = &found.least else {
        return false;
    };
    let sound = prices.made_fair(least);
    let better = sound.sum(classes) > fair.sum(classes);
    if better {
        *fair = sound;
    }
    better
}
