//! Which remembered gang-days make a plan that is cheaper than the best: gone through by what they cost
//! over the prices of their tasks, which is the part of the plan's cost that prices don't explain.

use super::Pool;
use super::prices::Prices;
use crate::setting::Setting;

/// So many steps are gone at most.
const TRIES: u32 = 200_000;

/// One gang-day that could be in a cheaper plan.
struct Candidate {
    over: i64,
    column: u32,
    tasks: u128,
    class: usize,
}

struct Choice<'a> {
    pool: &'a Pool,
    candidates: Vec<Candidate>,
    /// For each task the candidates that serve it, those that are least over first; the tasks in the
    /// order in which they are decided.
    serving: Vec<Vec<u32>>,
    order: Vec<u32>,
    /// What leaving a task out costs over its price.
    out: Vec<i64>,
    left: Vec<usize>,
    chosen: Vec<u32>,
    best: Option<Vec<u32>>,
    /// The most that a cheaper plan is over prices.
    most: i64,
    tries: u32,
}

/// Columns that make a plan that costs less than `than`, the cheapest that is found.
pub(super) fn cheaper(
    setting: &Setting<'_>,
    pool: &Pool,
    prices: &Prices,
    than: i64,
) -> Option<Vec<u32>> {
    let days = prices.classes.iter().zip(&pool.classes);
    let days: i64 = days.map(|(price, own)| price * own.len() as i64).sum();
    let least = prices.tasks.iter().sum::<i64>() - days;
    let most = than - least;
    let all = (0..).zip(&pool.columns);
    let over = all.map(|(at, column)| (prices.over(column), at, column));
    let within = over.filter(|(over, ..)| (0..most).contains(over));
    let mut candidates: Vec<Candidate> = within
        .map(|(over, at, column)| Candidate {
            over,
            column: at,
            tasks: column.tasks.iter().fold(0, |all, &task| all | 1 << task),
            class: column.class as usize,
        })
        .collect();
    candidates.sort_by_key(|candidate| (candidate.over, candidate.column));
    let count = setting.facts.len();
    let mut serving = vec![Vec::new(); count];
    for (at, candidate) in (0..).zip(&candidates) {
        for &task in &pool.columns[candidate.column as usize].tasks {
            serving[task as usize].push(at);
        }
    }
    let mut order: Vec<u32> = (0..count as u32).collect();
    order.sort_by_key(|&task| (serving[task as usize].len(), task));
    let out = (0..count).map(|task| setting.problem.tasks[task].left_out - prices.tasks[task]);
    let mut choice = Choice {
        out: out.collect(),
        left: pool.classes.iter().map(Vec::len).collect(),
        pool,
        candidates,
        serving,
        order,
        chosen: Vec::new(),
        best: None,
        most,
        tries: TRIES,
    };
    choice.go(prices, 0, (0, 0));
    choice.best
}

impl Choice<'_> {
    /// Decides the next task that is not served yet.
    fn go(&mut self, prices: &Prices, from: usize, (served, over): (u128, i64)) {
        let mut next = self.order[from..].iter();
        let next = next.position(|&task| served >> task & 1 == 0);
        let Some(at) = next.map(|next| from + next) else {
            self.take(prices, over);
            return;
        };
        let task = self.order[at];
        for place in 0..self.serving[task as usize].len() {
            let id = self.serving[task as usize][place];
            let candidate = &self.candidates[id as usize];
            let (sum, class) = (over + candidate.over, candidate.class);
            if sum >= self.most || self.tries == 0 {
                break;
            }
            if candidate.tasks & served != 0 || self.left[class] == 0 {
                continue;
            }
            self.tries -= 1;
            let served = served | candidate.tasks;
            self.left[class] -= 1;
            self.chosen.push(candidate.column);
            self.go(prices, at + 1, (served, sum));
            self.chosen.pop();
            self.left[class] += 1;
        }
        let sum = over + self.out[task as usize].max(0);
        if sum < self.most && self.tries > 0 {
            self.tries -= 1;
            self.go(prices, at + 1, (served | 1 << task, sum));
        }
    }

    /// A whole plan; gang-days that it leaves over have a price too.
    fn take(&mut self, prices: &Prices, over: i64) {
        let idle = self.left.iter().zip(&prices.classes);
        let idle: i64 = idle.map(|(&left, price)| left as i64 * price).sum();
        debug_assert!(self.chosen.len() <= self.pool.class_of.len());
        if over + idle < self.most {
            self.most = over + idle;
            self.best = Some(self.chosen.clone());
        }
    }
}
