//! Made-up weeks.

use gangday_model::CureTimes;
use gangday_planner::{
    Block, Clash, GangDay, Hauling, Kept, Load, Locked, Placed, Problem, Rates, Task, Travel,
};

/// Chance of the tests' own.
pub struct Chance(pub u64);

impl Chance {
    /// From 0 up to and without `count`.
    pub fn below(&mut self, count: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (bits ^ (bits >> 31)) % count
    }

    pub fn minutes(&mut self, from: u64, to: u64, step: u64) -> u32 {
        (from + self.below((to - from) / step + 1) * step) as u32 * 60
    }

    pub fn once_in(&mut self, times: u64) -> bool {
        self.below(times) == 0
    }
}

pub fn hours(hour: u32, minute: u32) -> u32 {
    hour * 3_600 + minute * 60
}

pub fn rates() -> Rates {
    Rates {
        crew_hour: 9_000,
        overtime_hour: 4_500,
        travel_hour: 2_400,
        gang_day: 5_000,
        ..Rates::default()
    }
}

/// A week of some size: jobs in streets of a town, each of two to four blocks.
pub fn week(jobs: u32, gangs: u32, days: u32, seed: u64) -> Problem {
    let mut chance = Chance(seed);
    let mut places = vec![(0, 0)];
    let streets: Vec<(i64, i64)> = (0..jobs.div_ceil(6).max(1))
        .map(|_| {
            (
                chance.below(120_000) as i64 - 60_000,
                chance.below(120_000) as i64 - 60_000,
            )
        })
        .collect();
    let mut tasks = Vec::new();
    for job in 0..jobs {
        let street = chance.below(streets.len() as u64) as usize;
        let (east, north) = streets[street];
        places.push((
            east + chance.below(4_000) as i64,
            north + chance.below(4_000) as i64,
        ));
        tasks.push(task(&mut chance, job + 1, street as u32, days));
    }
    let gang_days = (0..gangs).flat_map(|gang| (0..days).map(move |day| gang_day(gang, day)));
    let near = near(&places);
    Problem {
        tasks,
        gang_days: gang_days.collect(),
        travel: Travel::Plane {
            places,
            seconds_per_1000_km: 156_000,
        },
        near,
        rates: rates(),
        ..Problem::default()
    }
}

fn gang_day(gang: u32, day: u32) -> GangDay {
    GangDay {
        gang,
        day,
        depot: 0,
        start: hours(7, 30),
        end: hours(16, 30),
        latest: hours(17, 30),
        load: 1_200,
        unload: 600,
        tickets: if gang.is_multiple_of(3) { 3 } else { 1 },
        ..GangDay::default()
    }
}

fn task(chance: &mut Chance, node: u32, street: u32, days: u32) -> Task {
    let mut blocks = vec![
        Block {
            work: chance.minutes(60, 130, 5),
            wait: chance.minutes(60, 120, 15),
        },
        Block {
            work: chance.minutes(30, 70, 5),
            wait: chance.minutes(0, 45, 15),
        },
        Block {
            work: chance.minutes(20, 40, 5),
            wait: 3_600,
        },
        Block { work: 600, wait: 0 },
    ];
    if chance.once_in(4) {
        blocks.drain(..2);
    }
    let windows = match chance.below(6) {
        0 => vec![(hours(9, 30), hours(15, 30))],
        1 => vec![(hours(7, 30), hours(12, 0)), (hours(12, 30), hours(17, 30))],
        _ => Vec::new(),
    };
    let (first, last) = if chance.once_in(3) {
        (1, days)
    } else {
        (0, days)
    };
    Task {
        node,
        blocks,
        days: (0..days)
            .map(|day| (first..last).contains(&day) || day + 1 == days)
            .collect(),
        windows,
        tickets: if chance.once_in(8) { 2 } else { 1 },
        left_out: 20_000 * (1 + chance.below(5) as i64),
        street: Some(street),
        closure_hour: [0, 500, 1_500][chance.below(3) as usize],
        set_up: [2_000, 6_000][chance.below(2) as usize],
        ..Task::default()
    }
}

/// For each job, the forty nearest; node 0 is the depot.
fn near(places: &[(i64, i64)]) -> Vec<Vec<u32>> {
    let jobs = &places[1..];
    let nearest = |&(east, north): &(i64, i64), own: usize| {
        let mut others: Vec<u32> = (0..jobs.len() as u32)
            .filter(|&at| at as usize != own)
            .collect();
        others.sort_by_key(|&at| {
            let (e, n) = jobs[at as usize];
            ((e - east).pow(2) + (n - north).pow(2), at)
        });
        others.truncate(40);
        others.shrink_to_fit();
        others
    };
    jobs.iter()
        .enumerate()
        .map(|(own, place)| nearest(place, own))
        .collect()
}

/// A week small enough to be worked out by trying everything.
pub fn tiny(seed: u64, tasks: u32, blocks: u32, gang_days: u32, closures: bool) -> Problem {
    let mut chance = Chance(seed);
    let nodes = tasks + 1;
    let places: Vec<(i64, i64)> = (0..nodes)
        .map(|_| (chance.below(60_000) as i64, chance.below(60_000) as i64))
        .collect();
    let task = |chance: &mut Chance, node| Task {
        node,
        blocks: (0..blocks)
            .map(|_| Block {
                work: chance.minutes(20, 90, 10),
                wait: chance.minutes(0, 120, 30),
            })
            .collect(),
        windows: if chance.once_in(3) {
            vec![(hours(9, 0), hours(15, 0))]
        } else {
            Vec::new()
        },
        tickets: u64::from(chance.once_in(5)),
        left_out: 8_000 + 4_000 * chance.below(5) as i64,
        street: Some(chance.below(2) as u32),
        closure_hour: if closures { 400 } else { 0 },
        set_up: 1_500,
        ..Task::default()
    };
    Problem {
        tasks: (1..nodes).map(|node| task(&mut chance, node)).collect(),
        gang_days: (0..gang_days)
            .map(|gang| GangDay {
                tickets: u64::from(gang == 0),
                ..gang_day(gang, 0)
            })
            .collect(),
        near: (0..tasks)
            .map(|own| (0..tasks).filter(|&other| other != own).collect())
            .collect(),
        travel: Travel::Plane {
            places,
            seconds_per_1000_km: 156_000,
        },
        rates: rates(),
        ..Problem::default()
    }
}

/// The same week with loads, breaks, limits, clashes, gaps, an earlier plan and locked visits.
pub fn with_rules(mut problem: Problem, seed: u64) -> Problem {
    let (mut chance, mut others) = (Chance(seed ^ 0xABCD), Chance(seed ^ 0x0BE4));
    let days = problem
        .gang_days
        .iter()
        .map(|day| day.day)
        .max()
        .unwrap_or(0)
        + 1;
    for day in &mut problem.gang_days {
        day.payload = Some(6_000 + 1_000 * chance.below(3) as u32);
        day.body = chance.once_in(2).then_some(6_500);
        (day.break_after, day.break_lasts) = (hours(6, 0), 60 * [20, 30][chance.below(2) as usize]);
        day.driving = Some(hours(3, 0) + 600 * chance.below(6) as u32);
        day.shake = Some(400);
    }
    let nodes = problem.tasks.len() as u32 + 1;
    for task in &mut problem.tasks {
        let load = |chance: &mut Chance, most: u64| {
            let kg = 200 + chance.below(most) as u32;
            Load {
                kg,
                litres: kg * 7 / 10,
            }
        };
        (task.out, task.back) = (load(&mut chance, 3_000), load(&mut chance, 5_200));
        task.shake = 20 + chance.below(180) as u32;
        if chance.once_in(3) {
            let most = |block: &Block| Some(block.wait + 60 * 5 * 12);
            task.most = task.blocks.iter().map(most).collect();
        }
        if chance.once_in(4) {
            let (gang, day) = (chance.below(3) as u32, chance.below(u64::from(days)) as u32);
            let start = hours(8, 0) + 600 * chance.below(20) as u32;
            task.kept = Some(Kept { gang, day, start });
        }
        task.open = others.once_in(5);
    }
    problem.rates.night = 4_000;
    (
        problem.rates.moved,
        problem.rates.retimed,
        problem.rates.at_same_time,
    ) = (3_000, 1_000, 900);
    lock_one(&mut problem, &mut chance);
    for _ in 0..problem.tasks.len() / 3 {
        let [one, other] = [(); 2].map(|()| chance.below(problem.tasks.len() as u64) as u32);
        if one != other {
            let price = chance.once_in(2).then_some(4_000);
            problem.clashes.push(Clash { one, other, price });
        }
    }
    problem.hauling = Hauling {
        tips: vec![chance.below(u64::from(nodes)) as u32],
        tip: 900,
        reload: 1_200,
    };
    problem
}

/// Locks the first task to the first gang-day, ten minutes' slack before each block.
fn lock_one(problem: &mut Problem, chance: &mut Chance) {
    let (Some(day), true) = (problem.gang_days.first(), chance.once_in(2)) else {
        return;
    };
    let task = &mut problem.tasks[0];
    let mut at = day.start + day.load + hours(1, 0);
    let mut starts = Vec::new();
    for block in &task.blocks {
        starts.push(Some(at));
        at += block.work + block.wait + 600;
    }
    let (gang, day) = (day.gang, day.day);
    (task.locked, task.left_out) = (Some(Locked { gang, day, starts }), 1_000_000_000);
    (task.most, task.kept) = (Vec::new(), None);
}
/// The same week with gangs that take longer or shorter over things, and other waits, by turns.
pub fn paced(mut problem: Problem) -> Problem {
    let scaled = |blocks: &[Block], work: u32, wait: u32| -> Vec<Block> {
        let one = |block: &Block| Block {
            work: block.work * work / 4,
            wait: block.wait * wait / 4,
        };
        blocks.iter().map(one).collect()
    };
    for task in &mut problem.tasks {
        task.paces = vec![scaled(&task.blocks, 3, 4), scaled(&task.blocks, 6, 3)];
    }
    for (at, day) in (0..).zip(&mut problem.gang_days) {
        day.pace = at % 3;
    }
    problem
}

/// A tiny week of two gangs and two days, for an exact model: everything in whole minutes, and rates
/// that make whole pence of them.
pub fn tiny_week(seed: u64, tasks: u32, blocks: u32) -> Problem {
    let mut problem = tiny(seed, tasks, blocks, 2, true);
    let mut chance = Chance(seed ^ 0x7777);
    let first = problem.gang_days.clone();
    let second = first.iter().map(|day| GangDay { day: 1, ..*day });
    problem.gang_days.extend(second);
    for task in &mut problem.tasks {
        task.left_out += 20_000;
        if chance.once_in(3) {
            let late = chance.once_in(2);
            task.days = vec![!late, late];
        }
    }
    problem
}

/// The same week along temperatures by the hour: what the first blocks place takes the longer the
/// earlier it is, and the first and a later stretch of the day are too cold for it.
pub fn curved(mut problem: Problem, seed: u64) -> Problem {
    let mut chance = Chance(seed + 1_000);
    for _ in 0..2 {
        // Degrees over the datum by the hour, a straight line up and down again.
        let degrees = |minute: u64, peak: u64| 8 + 12 * (1_440 - minute.abs_diff(peak)) / 1_440;
        let peak = 600 + chance.below(300);
        let needed = 20 * u64::from(chance.minutes(30, 90, 5)) / 60;
        let ready = |minute: u64| {
            let (mut now, mut aged) = (minute, 0);
            while aged < needed {
                aged += degrees(now, peak);
                now += 1;
            }
            now as u32 * 60
        };
        let morning = hours(7, 0) + 60 * chance.below(150) as u32;
        let later = hours(12, 0) + 60 * chance.below(120) as u32;
        let cold = vec![(0, morning), (later, later + 900)];
        problem
            .cures
            .push(CureTimes::new((0..1_440).map(ready).collect(), cold));
    }
    for task in &mut problem.tasks {
        let mut placed = Vec::new();
        for (at, block) in task.blocks.iter_mut().enumerate() {
            let cures = at < 2 && block.wait > 0 && chance.once_in(2);
            let cure = chance.below(2) as u32;
            let placing = block.work.min(1_200);
            placed.push(cures.then_some(Placed { cure, placing }));
            if cures {
                block.wait = problem.cures[cure as usize].shortest();
            }
        }
        task.placed = vec![placed];
    }
    problem
}

/// The same week with journeys that take longer at some hours, for two sorts of vehicles by turns.
pub fn by_hour(mut problem: Problem, seed: u64) -> Problem {
    let mut chance = Chance(seed ^ 0x5EED);
    let Travel::Plane {
        places,
        seconds_per_1000_km,
    } = &problem.travel
    else {
        return problem;
    };
    let slower = |percent: i64| Travel::Plane {
        places: places.clone(),
        seconds_per_1000_km: seconds_per_1000_km * percent / 100,
    };
    problem.other_travel = [130, 180, 270].map(slower).to_vec();
    let mut row = || [(); 24].map(|()| chance.below(4) as u32);
    problem.hours = vec![row(), row()];
    for (at, day) in (0..).zip(&mut problem.gang_days) {
        day.vehicle = at % 2;
    }
    problem
}
