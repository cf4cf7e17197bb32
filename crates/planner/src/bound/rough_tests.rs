//! What the tables say of sets is never more than what the sets really are over their prices.

use super::classes::{self, Class};
use super::effort::Effort;
use super::metric::Metric;
use super::prices::Prices;
use super::sets::{Look, Sets};
use crate::setting::Setting;
use crate::{Block, GangDay, Iterations, Problem, Rates, Task, Travel};

/// Numbers of the tests' own.
struct Chance(u64);

impl Chance {
    fn below(&mut self, count: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (self.0 >> 33) % count
    }

    fn seconds(&mut self, most: u64) -> u32 {
        (60 * self.below(most)) as u32
    }
}

fn week(chance: &mut Chance) -> Problem {
    let tasks = 5 + chance.below(3) as u32;
    let place = |chance: &mut Chance| (chance.below(90_000) as i64, chance.below(90_000) as i64);
    let places = (0..=tasks).map(|_| place(chance)).collect();
    let task = |chance: &mut Chance, node| Task {
        node,
        blocks: (0..1 + chance.below(3))
            .map(|_| Block {
                work: 600 + chance.seconds(90),
                wait: chance.seconds(120),
            })
            .collect(),
        windows: match chance.below(4) {
            0 => vec![(32_400, 55_800)],
            _ => Vec::new(),
        },
        left_out: 20_000 + 10_000 * chance.below(8) as i64,
        street: (chance.below(4) > 0).then(|| chance.below(3) as u32),
        closure_hour: 300 * chance.below(3) as i64,
        set_up: 2_000 * chance.below(3) as i64,
        ..Task::default()
    };
    let day = GangDay {
        start: 27_000,
        end: 57_600,
        latest: 61_200,
        load: 1_200,
        unload: 600,
        break_after: 21_600,
        break_lasts: 1_200 * chance.below(2) as u32,
        ..GangDay::default()
    };
    Problem {
        tasks: (1..=tasks).map(|node| task(chance, node)).collect(),
        gang_days: vec![day],
        travel: Travel::Plane {
            places,
            seconds_per_1000_km: 156_000,
        },
        rates: Rates {
            crew_hour: 9_000,
            overtime_hour: 4_500,
            travel_hour: 2_400,
            gang_day: 5_000,
            ..Rates::default()
        },
        ..Problem::default()
    }
}

/// What the most unfair of all sets is over its prices, each tried by itself.
fn least_of_all(sets: &mut Sets<'_>, classes: &[Class], prices: &Prices) -> i64 {
    let tasks = &classes[0].tasks;
    let mut least = 0;
    for chosen in 1_u32..1 << tasks.len() {
        let own = (0..tasks.len()).filter(|at| chosen >> at & 1 == 1);
        let own: Vec<u32> = own.map(|at| tasks[at]).collect();
        let price: i64 = own.iter().map(|&task| prices.tasks[task as usize]).sum();
        if let Some(set) = sets.set(0, own) {
            least = least.min(set.cost + prices.days[0] - price);
        }
    }
    least
}

#[test]
fn tables_are_never_above_the_sets_and_going_through_finds_the_most_unfair() {
    let (mut unfair, mut told) = (0, 0);
    for seed in 0..60 {
        let chance = &mut Chance(seed);
        let problem = week(chance);
        let setting = Setting::light(&problem);
        let classes = classes::of(&setting, true);
        let metric = Metric::of(&setting);
        let mut stop = Iterations(u64::MAX);
        let mut sets = Sets::new(&setting, &classes, &metric, Effort::new(&mut stop)).unwrap();
        sets.enough = usize::MAX;
        for _ in 0..4 {
            let price = |task: &Task| chance.below(task.left_out as u64 + 1) as i64;
            let prices = Prices {
                tasks: problem.tasks.iter().map(price).collect(),
                days: vec![1_000],
                cuts: Vec::new(),
                wholes: problem.tasks.len(),
            };
            let rough = sets.unfair(&prices, Look::Rough).least[0];
            let all = sets.unfair(&prices, Look::All);
            let least = least_of_all(&mut sets, &classes, &prices);
            assert!(rough <= least, "seed {seed}: {rough} above {least}");
            assert!(
                all.unfinished.is_empty() && all.least[0] == least,
                "seed {seed}: {} {least}",
                all.least[0]
            );
            unfair += least;
            told += rough;
        }
    }
    assert!(unfair < 0 && told >= 2 * unfair, "{told} {unfair}");
}
