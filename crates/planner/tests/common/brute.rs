//! The cheapest plan of a tiny problem, by trying every assignment and every interleaving.
//!
//! For each order of steps the times are found by relaxing the rules until nothing moves: forwards
//! as early as can be, then, with every task's end held there, backwards as late as can be.

use std::collections::HashMap;

use gangday_planner::{Block, DaySolution, GangDay, Problem, StepTime, Task};

use super::rules::{own_blocks, price};

/// What the cheapest plan costs.
pub fn cheapest(problem: &Problem) -> i64 {
    let mut days: HashMap<(u32, u32), Option<i64>> = HashMap::new();
    let count = problem.gang_days.len() as u32;
    let tasks = problem.tasks.len() as u32;
    let mut best = i64::MAX;
    for assignment in 0..(count + 1).pow(tasks) {
        let home = |task: u32| assignment / (count + 1).pow(task) % (count + 1);
        let left_out = (0..tasks).filter(|&task| home(task) == count);
        let mut cost = left_out
            .map(|task| problem.tasks[task as usize].left_out)
            .sum::<i64>();
        let mut possible = true;
        for day in 0..count {
            let own = (0..tasks)
                .filter(|&task| home(task) == day)
                .fold(0, |set, task| set | 1 << task);
            let price = *days
                .entry((day, own))
                .or_insert_with(|| gang_day(problem, day, own));
            match price {
                Some(price) => cost += price,
                None => possible = false,
            }
        }
        if possible {
            best = best.min(cost);
        }
    }
    best
}

fn gang_day(problem: &Problem, day: u32, own: u32) -> Option<i64> {
    if own == 0 {
        return Some(0);
    }
    let tasks: Vec<u32> = (0..32).filter(|task| own >> task & 1 == 1).collect();
    let held = problem.gang_days[day as usize].tickets;
    let date = problem.gang_days[day as usize].day as usize;
    let barred = |task: &Task| !task.days.is_empty() && !task.days[date];
    let may = |task: &Task| task.tickets & !held == 0 && !barred(task);
    if !tasks.iter().all(|&task| may(&problem.tasks[task as usize])) {
        return None;
    }
    let mut best = None;
    interleave(problem, day, &tasks, &mut Vec::new(), &mut best);
    best
}

fn interleave(
    problem: &Problem,
    day: u32,
    tasks: &[u32],
    steps: &mut Vec<(u32, u32)>,
    best: &mut Option<i64>,
) {
    let mut complete = true;
    for &task in tasks {
        let done = steps.iter().filter(|step| step.0 == task).count();
        if done < problem.tasks[task as usize].blocks.len() {
            complete = false;
            steps.push((task, done as u32));
            interleave(problem, day, tasks, steps, best);
            steps.pop();
        }
    }
    if complete && let Some(price) = timed(problem, day, steps) {
        *best = Some(best.map_or(price, |best: i64| best.min(price)));
    }
}

/// A rule between two steps: the later starts at least so long after the earlier.
type Rule = (usize, usize, u32);

/// One order of steps on one gang-day.
struct Order<'a> {
    problem: &'a Problem,
    stated: GangDay,
    steps: &'a [(u32, u32)],
}

impl Order<'_> {
    fn task(&self, at: usize) -> &Task {
        &self.problem.tasks[self.steps[at].0 as usize]
    }

    fn block(&self, at: usize) -> Block {
        let (task, block) = self.steps[at];
        own_blocks(self.problem, self.stated.pace, task)[block as usize]
    }

    fn leg(&self, at: usize) -> u32 {
        let from = if at == 0 {
            self.stated.depot
        } else {
            self.task(at - 1).node
        };
        self.problem.travel.seconds(from, self.task(at).node)
    }

    fn rules(&self) -> Vec<Rule> {
        let mut rules = Vec::new();
        for at in 1..self.steps.len() {
            rules.push((at - 1, at, self.block(at - 1).work + self.leg(at)));
            let earlier = (0..at)
                .rev()
                .find(|&earlier| self.steps[earlier].0 == self.steps[at].0);
            if let Some(earlier) = earlier {
                let block = self.block(earlier);
                rules.push((earlier, at, block.work + block.wait));
            }
        }
        rules
    }

    fn earliest(&self, rules: &[Rule]) -> Vec<u32> {
        let open = |at: usize| match self.task(at).windows.first() {
            Some(window) if self.steps[at].1 == 0 => window.0,
            _ => 0,
        };
        let mut start: Vec<u32> = (0..self.steps.len()).map(open).collect();
        start[0] = start[0].max(self.stated.start + self.stated.load + self.leg(0));
        let broken = |start: &[u32]| {
            rules
                .iter()
                .find(|&&(from, to, gap)| start[to] < start[from] + gap)
                .copied()
        };
        while let Some((from, to, gap)) = broken(&start) {
            start[to] = start[from] + gap;
        }
        start
    }

    fn latest(&self, rules: &[Rule], start: &[u32]) -> Vec<u32> {
        let again = |at: usize| {
            self.steps[at + 1..]
                .iter()
                .any(|step| step.0 == self.steps[at].0)
        };
        let end = |at: usize| if again(at) { u32::MAX } else { start[at] };
        let mut late: Vec<u32> = (0..self.steps.len()).map(end).collect();
        let broken = |late: &[u32]| {
            rules
                .iter()
                .find(|&&(from, to, gap)| late[from] > late[to] - gap)
                .copied()
        };
        while let Some((from, to, gap)) = broken(&late) {
            late[from] = late[to] - gap;
        }
        late
    }
}

fn timed(problem: &Problem, day: u32, steps: &[(u32, u32)]) -> Option<i64> {
    let stated = problem.gang_days[day as usize];
    let order = Order {
        problem,
        stated,
        steps,
    };
    let rules = order.rules();
    let start = order.earliest(&rules);
    let done = |at: usize| start[at] + order.block(at).work;
    let last = steps.len() - 1;
    let back = done(last) + problem.travel.seconds(order.task(last).node, stated.depot);
    let end = back + stated.unload;
    let within = |at: usize| {
        order
            .task(at)
            .windows
            .first()
            .is_none_or(|window| done(at) <= window.1)
    };
    if end > stated.latest || !(0..=last).all(within) {
        return None;
    }
    let late = order.latest(&rules, &start);
    let depart = late[0] - order.leg(0);
    let mut left = depart;
    let mut times = Vec::new();
    for (at, &(task, block)) in steps.iter().enumerate() {
        let (arrive, finish) = (left + order.leg(at), late[at] + order.block(at).work);
        times.push(StepTime {
            task,
            block,
            arrive,
            start: late[at],
            finish,
        });
        left = finish;
    }
    let day = DaySolution {
        gang_day: day,
        depart,
        steps: times,
        back,
        end,
        ..DaySolution::default()
    };
    Some(price(problem, &day).total())
}
