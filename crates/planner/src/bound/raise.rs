//! Raising prices: the program proposes, the sets that the proposal is unfair to are added to it.
//!
//! First by what sets cost at the least where only tables are looked up (`Look::Rough`), which always comes
//! to an end soon; then by what they really cost, beginning with the prices that came of it.

use super::Reach;
use super::classes::Class;
use super::effort::Effort;
use super::metric::Metric;
use super::prices::{PARTS, Prices};
use super::program::Program;
use super::sets::{Look, Set, Sets, Unfair};
use super::{centre, cuts};
use crate::Solution;
use crate::setting::Setting;
use crate::stop::Stop;

/// So often cuts are added.
const CUTTINGS: usize = 40;

/// The best fair prices are good enough within this part of the program's.
const CLOSE: f64 = 0.002;

/// So many parts of the way from the best prices to the program's are tried first, and then all.
const A_LITTLE: i64 = PARTS / 5;
const WHOLE_WAY: i64 = PARTS;

/// Going through all sets is quick in so many steps.
const QUICK: u64 = 1_500_000;

/// What prices are raised with.
struct Raise<'a> {
    setting: &'a Setting<'a>,
    classes: &'a [Class],
    sets: Sets<'a>,
    /// No bound is above a plan's cost; of no plan nothing is known.
    cost: f64,
    fair: &'a mut Prices,
    centre: Prices,
    /// So far it goes the program's way where all sets are gone through.
    part: i64,
}

/// Raises the prices, and says how far they are.
pub(super) fn raise(
    setting: &Setting<'_>,
    classes: &[Class],
    (plan, fair): (&Solution, &mut Prices),
    stop: &mut dyn Stop,
) -> Reach {
    let metric = Metric::of(setting);
    let rough = fair.sum(classes);
    let Some(sets) = Sets::new(setting, classes, &metric, Effort::new(stop)) else {
        return Reach::ByHand;
    };
    let mut raise = Raise {
        setting,
        classes,
        sets,
        cost: match plan.costs.total() {
            0 => f64::INFINITY,
            cost => cost as f64,
        },
        fair,
        centre: centre::of(setting, classes, plan),
        part: 1,
    };
    let whole = raise.roughly().is_some() && raise.really(plan).is_some();
    match (whole, raise.fair.sum(classes) > rough) {
        (true, _) => Reach::Whole,
        (false, true) => Reach::Part,
        (false, false) => Reach::ByHand,
    }
}

impl Raise<'_> {
    /// By what they really cost, and then with cuts.
    fn really(&mut self, plan: &Solution) -> Option<()> {
        let begin = self.first(plan);
        let mut program = Program::new(self.setting, self.classes, (begin, &[]));
        self.settle(&mut program)?;
        for _ in 0..CUTTINGS {
            let known = (program.known(), program.parts());
            let count = self.setting.facts.len() as u32;
            let broken = cuts::broken((known.0, &known.1), &self.sets.cuts, count);
            if broken.is_empty() {
                break;
            }
            self.sets.cuts.extend(broken);
            let cuts = &self.sets.cuts;
            self.fair.cuts.resize(cuts.len(), 0);
            self.centre.cuts.resize(cuts.len(), 0);
            program = Program::new(self.setting, self.classes, (known.0.to_vec(), cuts));
            if self.settle(&mut program).is_none() {
                break;
            }
        }
        Some(())
    }

    /// Sets to begin with: each task alone, and the plan's gang-days, whole and without one of their tasks.
    fn first(&mut self, plan: &Solution) -> Vec<Set> {
        let mut begin = Vec::new();
        for (at, class) in self.classes.iter().enumerate() {
            let alone = class.tasks.iter();
            begin.extend(alone.filter_map(|&task| self.sets.set(at, vec![task])));
        }
        for day in &plan.days {
            let mut classes = self.classes.iter();
            let of = classes.position(|class| class.days.contains(&day.gang_day));
            let tasks = centre::tasks(day);
            let Some(class) = of.filter(|_| tasks.len() > 1) else {
                continue;
            };
            for without in &tasks {
                let others = tasks.iter().filter(|task| *task != without);
                begin.extend(self.sets.set(class, others.copied().collect()));
            }
            begin.extend(self.sets.set(class, tasks));
        }
        begin
    }

    /// By what sets cost at the least where only tables are looked up.
    fn roughly(&mut self) -> Option<()> {
        let mut program = Program::new(self.setting, self.classes, (Vec::new(), &[]));
        let mut part = 0;
        loop {
            program.solve(&mut self.sets.effort)?;
            if self.is_close(&program) {
                return Some(());
            }
            let between = self.centre.towards(&program.prices(), part);
            let found = self.sets.unfair(&between, Look::Rough)?;
            if self.went_on(&mut program, &between, found) {
                part = A_LITTLE;
            } else if part == WHOLE_WAY {
                return Some(());
            } else {
                part = WHOLE_WAY.min(2 * part.max(A_LITTLE));
            }
        }
    }

    /// Raises the prices as far as they go with the cuts that there are; false where the effort ends first.
    fn settle(&mut self, program: &mut Program) -> Option<()> {
        let mut look = Look::Likely;
        loop {
            program.solve(&mut self.sets.effort)?;
            if self.is_close(program) {
                return Some(());
            }
            let between = self.centre.towards(&program.prices(), self.part);
            let before = self.sets.effort.gone();
            let found = self.sets.unfair(&between, look)?;
            let exact = found.exact;
            let went_on = self.went_on(program, &between, found);
            if look == Look::Likely {
                look = if went_on { Look::Likely } else { Look::All };
                continue;
            }
            look = if went_on { Look::Likely } else { Look::All };
            if exact && !went_on && self.part == WHOLE_WAY {
                return Some(());
            }
            self.step(exact, went_on, self.sets.effort.gone() - before);
        }
    }

    /// Goes further the program's way the next time, or less far, as going through all sets has come out.
    fn step(&mut self, exact: bool, went_on: bool, steps: u64) {
        if exact && (!went_on || steps < QUICK) {
            self.part = WHOLE_WAY.min(2 * self.part);
        } else if !exact && self.part == 1 {
            self.sets.most *= 2;
        } else if !exact {
            self.part /= 2;
        }
    }

    /// Whether the best prices are nearly as high as the program's.
    fn is_close(&self, program: &Program) -> bool {
        let most = program.value().min(self.cost);
        most - self.fair.sum(self.classes) as f64 <= CLOSE * most.abs().max(1.0)
    }

    /// Gives the program what was found, and says whether that or the prices are new.
    fn went_on(&mut self, program: &mut Program, prices: &Prices, found: Unfair) -> bool {
        let better = self.improve(prices, &found);
        let mut new = found.sets;
        new.retain(|set| program.wants(set));
        let more = !new.is_empty();
        program.add(new);
        better || more
    }

    /// Takes prices, made fair, for the best fair ones if they are better.
    fn improve(&mut self, prices: &Prices, found: &Unfair) -> bool {
        let sound = prices.made_fair(&found.least);
        let better = sound.sum(self.classes) > self.fair.sum(self.classes);
        if better {
            *self.fair = sound;
            self.centre = self.fair.clone();
        }
        better
    }
}
