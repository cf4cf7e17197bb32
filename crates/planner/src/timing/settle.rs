//! The backward passes: how late each turn may be.

use super::{NONE, Timing};
use crate::GangDay;
use crate::rules::{cure, locked};
use crate::setting::{FOREVER, Setting};

impl Timing {
    /// Moves everything but each task's last block as late as it can be without moving that.
    pub(crate) fn settle(&mut self, setting: &Setting<'_>) {
        for _ in 0..=self.turns.len() {
            self.settle_once(setting);
            if !self.cap_gaps(setting) {
                return;
            }
        }
        self.turns
            .iter_mut()
            .for_each(|turn| turn.settled = turn.start);
    }

    fn settle_once(&mut self, setting: &Setting<'_>) {
        for turn in &mut self.turns {
            let last = setting.is_last(turn.step.task, turn.step.block);
            let stays = last || locked::start(setting, turn.step).is_some();
            turn.settled = match turn.cap {
                _ if stays => turn.start,
                0 => FOREVER,
                cap => cap,
            };
        }
        for at in (0..self.turns.len()).rev() {
            let settled = self.warm(setting, at, self.turns[at].settled);
            self.turns[at].settled = settled;
            self.hold(setting, at, settled, |turn| &mut turn.settled);
        }
    }

    /// How late each turn may be so that the day stays possible, and so that it ends no later.
    ///
    /// Tasks stay in the windows they are in.
    pub(crate) fn slack(&mut self, setting: &Setting<'_>, day: &GangDay) {
        let spare = day.latest.min(FOREVER) - self.end;
        for at in 0..self.turns.len() {
            let turn = &mut self.turns[at];
            let work = turn.finish - turn.start;
            let last = setting.is_last(turn.step.task, turn.step.block);
            turn.latest = if locked::start(setting, turn.step).is_some() {
                turn.start
            } else if last {
                turn.until.min(FOREVER) - work
            } else {
                FOREVER
            };
            turn.float = FOREVER;
        }
        if let Some(turn) = self.turns.last_mut() {
            turn.latest = turn.latest.min(turn.start + spare);
            turn.float = turn.start;
        }
        for at in (0..self.turns.len()).rev() {
            let (latest, float) = (self.turns[at].latest, self.turns[at].float);
            let [latest, float] = [latest, float].map(|start| self.warm(setting, at, start));
            (self.turns[at].latest, self.turns[at].float) = (latest, float);
            self.hold(setting, at, latest, |turn| &mut turn.latest);
            self.hold(setting, at, float, |turn| &mut turn.float);
        }
    }

    /// Holds the turns that this one waits for to what lets it start by `start`.
    fn hold(
        &mut self,
        setting: &Setting<'_>,
        at: usize,
        start: u32,
        time: impl Fn(&mut super::Turn) -> &mut u32,
    ) {
        let turn = self.turns[at];
        if let Some(before) = at.checked_sub(1) {
            let before = &mut self.turns[before];
            let work = before.finish - before.start;
            let cap = start - turn.leg - work;
            let held = time(before);
            *held = (*held).min(cap);
        }
        if turn.prev != NONE {
            let prev = &mut self.turns[turn.prev as usize];
            let cap = cure::of(setting, prev.step, self.pace).start_for(start);
            let held = time(prev);
            *held = (*held).min(cap);
        }
    }

    /// The last start up to this one that is warm enough for what the turn places; of one that is
    /// locked or a task's last, the start itself.
    fn warm(&self, setting: &Setting<'_>, at: usize, start: u32) -> u32 {
        let turn = &self.turns[at];
        if locked::start(setting, turn.step).is_some() {
            return start;
        }
        cure::of(setting, turn.step, self.pace).start_by(start)
    }

    /// When the gang leaves the depot, settled.
    pub(crate) fn depart(&self, day: &GangDay) -> u32 {
        self.turns
            .first()
            .map_or(day.start + day.load, |turn| turn.settled - turn.leg)
    }

    /// When this turn ends, settled.
    pub(crate) fn settled_finish(&self, at: usize) -> u32 {
        let turn = &self.turns[at];
        turn.settled + (turn.finish - turn.start)
    }
}
