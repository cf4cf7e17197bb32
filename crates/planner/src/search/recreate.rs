//! Puts tasks back, one after the other in an order thrown for.

use super::dice::Dice;
use super::plan::Plan;

/// So many times in a thousand, a round is generous: a gang-day that is not worth beginning for one
/// task may be for several.
const GENEROUS: usize = 100;

/// So many times in a thousand, a generous round takes a task's place, however dear it is.
const ANY_PRICE: usize = 700;

/// In which order tasks are put back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Order {
    Mixed,
    LongestFirst,
    HeaviestFirst,
    FarthestFirst,
    NearestFirst,
    DearestFirst,
    TightestFirst,
    EarliestFirst,
    LatestFirst,
}

/// Orders, and how many times each is thrown out of the sum of all times.
pub(crate) type Mix = &'static [(usize, Order)];

/// Puts these back; what fits nowhere for less than it costs to leave it out stays absent, but for a
/// generous round.
pub(crate) fn put_back<P: Plan>(plan: &mut P, dice: &mut Dice, tasks: &mut [u32]) {
    let order = thrown(P::MANNER.mix, dice);
    sort(plan, tasks, order, dice);
    let generous = dice.per_mille(GENEROUS);
    for &task in &*tasks {
        let limit = if generous && dice.per_mille(ANY_PRICE) {
            i64::MAX
        } else {
            plan.left_out(task)
        };
        plan.put(dice, task, limit);
    }
}

fn thrown(mix: Mix, dice: &mut Dice) -> Order {
    let mut pick = dice.below(mix.iter().map(|(times, _)| times).sum());
    for &(times, order) in mix {
        match pick.checked_sub(times) {
            Some(rest) => pick = rest,
            None => return order,
        }
    }
    Order::Mixed
}

/// Brings the tasks into the order, by chance where it doesn't say.
fn sort<P: Plan>(plan: &P, tasks: &mut [u32], order: Order, dice: &mut Dice) {
    tasks.sort_unstable();
    dice.shuffle(tasks);
    if order != Order::Mixed {
        tasks.sort_by_key(|&task| plan.rank(order, task));
    }
}

/// The order of the first plan: dearest to leave out first, then tightest, then as numbered.
pub(crate) fn first_order<P: Plan>(plan: &P) -> Vec<u32> {
    let mut tasks = plan.absent().to_vec();
    tasks.sort_by_key(|&task| {
        (
            plan.rank(Order::DearestFirst, task),
            plan.rank(Order::TightestFirst, task),
            task,
        )
    });
    tasks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_are_thrown_as_often_as_the_mix_says() {
        let mix: Mix = &[(1, Order::NearestFirst), (3, Order::HeaviestFirst)];
        let mut dice = Dice::new(5);
        let thrown: Vec<Order> = (0..4_000).map(|_| thrown(mix, &mut dice)).collect();
        let heavy = thrown
            .iter()
            .filter(|&&order| order == Order::HeaviestFirst);
        let heavy = heavy.count();
        assert!((2_850..3_150).contains(&heavy), "{heavy}");
        assert!(!thrown.contains(&Order::Mixed));
    }
}
