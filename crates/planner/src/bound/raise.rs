//! Raising prices: the program proposes, the sets that the proposal is unfair to are added to it.
//!
//! First by what sets cost at the least where only tables are looked up (`Look::Rough`), which always comes
//! to an end soon; then by what they really cost, beginning with the prices that came of it.

use super::Reach;
use super::classes::Class;
use super::effort::Effort;
use super::metric::Metric;
use super::near::Near;
use super::nights::{self, Night};
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
const HALF_WAY: i64 = PARTS / 2;
const WHOLE_WAY: i64 = PARTS;

/// Going through all sets is quick in so many steps.
const QUICK: u64 = 300_000;

/// So many times as many steps are gone where going through all sets came to no end.
const MORE: u64 = 64;

/// More effort is not spent where this many times what was spent in vain is all the effort so far.
const VAIN: u64 = 3;

/// What prices are raised with.
struct Raise<'a> {
    setting: &'a Setting<'a>,
    classes: &'a [Class],
    sets: Sets<'a>,
    /// No bound is above a plan's cost; of no plan nothing is known.
    cost: f64,
    nights: Vec<Night>,
    fair: &'a mut Prices,
    centre: Prices,
    /// So far it goes the program's way where all sets are gone through.
    part: i64,
    /// How many steps more led to nothing.
    in_vain: u64,
}

/// Raises the prices, and says how far they are.
pub(super) fn raise(
    setting: &Setting<'_>,
    classes: &[Class],
    (plan, fair): (&Solution, &mut Prices),
    stop: &mut dyn Stop,
) -> Reach {
    let metric = Metric::of(setting);
    let nights = nights::of(setting);
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
        nights,
        fair,
        centre: centre::of(setting, classes, plan),
        part: 1,
        in_vain: 0,
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
        let mut program = Program::new(self.setting, self.classes, &self.nights, (begin, &[]));
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
            program = Program::new(
                self.setting,
                self.classes,
                &self.nights,
                (known.0.to_vec(), cuts),
            );
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
        let mut program = Program::new(self.setting, self.classes, &self.nights, (Vec::new(), &[]));
        let mut part = 0;
        loop {
            program.solve(&mut self.sets.effort)?;
            if self.is_close(&program) {
                return Some(());
            }
            let between = self.centre.towards(&program.prices(), part);
            let found = self.sets.unfair(&between, Look::Rough);
            let ended = found.ended;
            if self.went_on(&mut program, &between, found) {
                part = A_LITTLE;
            } else if part == WHOLE_WAY {
                return Some(());
            } else {
                part = WHOLE_WAY.min(2 * part.max(A_LITTLE));
            }
            if ended {
                return None;
            }
        }
    }

    /// Raises the prices as far as they go with the cuts that there are; nothing where the effort ends first.
    fn settle(&mut self, program: &mut Program) -> Option<()> {
        self.converge(program, HALF_WAY)?;
        self.part = HALF_WAY;
        while !self.is_close(program) {
            let between = self.centre.towards(&program.prices(), self.part);
            let (before, sets) = (self.sets.effort.gone(), program.known().len());
            let found = self.all(&between);
            let (exact, ended) = (found.unfinished.is_empty(), found.ended);
            let went_on = self.went_on(program, &between, found);
            if ended {
                return None;
            }
            if exact && !went_on && self.part == WHOLE_WAY {
                break;
            }
            if program.known().len() > sets {
                self.converge(program, WHOLE_WAY)?;
            } else {
                let quick = self.sets.effort.gone() - before < QUICK;
                self.step(exact, quick || !went_on);
            }
        }
        Some(())
    }

    /// Goes further the program's way the next time, or less far, as going through all sets has come out.
    fn step(&mut self, exact: bool, easy: bool) {
        if exact && (easy || self.part < HALF_WAY) {
            self.part = WHOLE_WAY.min(2 * self.part);
        } else if !exact && self.part == 1 {
            self.sets.most = self.sets.most.saturating_mul(2);
        } else if !exact {
            self.part /= 2;
        }
    }

    /// Goes through all sets, and with more effort where that comes to no end and finds few.
    fn all(&mut self, prices: &Prices) -> Unfair {
        self.sets.tolerance = self.tolerance(prices);
        let mut found = self.sets.unfair(prices, Look::All);
        let before = self.sets.effort.gone();
        let few = found.sets.len() < self.classes.len();
        if few && !found.ended && VAIN * self.in_vain < before {
            self.sets.go_on(prices, &mut found, MORE);
            if !found.unfinished.is_empty() && found.sets.is_empty() {
                self.in_vain += self.sets.effort.gone() - before;
            }
        }
        found
    }

    /// So much short of fair a set of each class may be: together a quarter of what these prices would gain.
    fn tolerance(&self, prices: &Prices) -> i64 {
        let days: i64 = self.classes.iter().map(|class| class.count).sum();
        let gain = prices.sum(self.classes) - self.fair.sum(self.classes);
        gain.max(0) / (4 * days.max(1))
    }

    /// Adds sets near those of the mixture until it is unfair to none of them: by what they cost about, and
    /// then, as soon as the program's own prices are asked, by what they really cost.
    fn converge(&mut self, program: &mut Program, mut part: i64) -> Option<()> {
        let mut near = if part == WHOLE_WAY {
            Near::Really
        } else {
            Near::About
        };
        loop {
            program.solve(&mut self.sets.effort)?;
            let proposed = program.prices();
            self.sets.tolerance = match near {
                Near::About => 0,
                Near::Really => self.tolerance(&proposed) / 2,
            };
            let between = self.centre.towards(&proposed, part);
            let mut new = self.sets.near(&between, &program.mixture(), near)?;
            new.retain(|set| program.wants(set));
            match (new.is_empty(), part, near) {
                (false, _, _) => program.add(new),
                (true, WHOLE_WAY, Near::Really) => return Some(()),
                (true, WHOLE_WAY, Near::About) => near = Near::Really,
                (true, _, _) => part = WHOLE_WAY.min(2 * part),
            }
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
        let sound = prices.made_fair(&found.least).over(&self.nights);
        let better = sound.sum(self.classes) > self.fair.sum(self.classes);
        if better {
            *self.fair = sound;
            self.centre = self.fair.clone();
        }
        better
    }
}
