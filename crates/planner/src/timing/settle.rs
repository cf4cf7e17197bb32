//! The backward passes: how late each turn may be.

use super::{NONE, Timing};
use crate::GangDay;
use crate::rules::haul::Way;
use crate::rules::{cure, driving, locked};
use crate::setting::{FOREVER, Setting};

impl Timing {
    /// Moves everything but each task's last block as late as it can be without moving that.
    pub(crate) fn settle(&mut self, setting: &Setting<'_>) {
        if !self.settles(setting) {
            self.leave_unsettled();
        }
        if !setting.is_flat() {
            self.drive_settled(setting);
        }
    }

    fn settles(&mut self, setting: &Setting<'_>) -> bool {
        for _ in 0..=self.turns.len() {
            self.settle_once(setting);
            if !self.cap_gaps(setting) {
                return true;
            }
        }
        false
    }

    fn leave_unsettled(&mut self) {
        self.turns
            .iter_mut()
            .for_each(|turn| turn.settled = turn.start);
    }

    /// Counts the driving again, since the settled times may lie in other hours. Where that is more
    /// than may be, everything is as early as it can be, for which the day was held to be possible.
    fn drive_settled(&mut self, setting: &Setting<'_>) {
        if self.turns.is_empty() {
            return;
        }
        let (mut node, mut left) = (self.day.depot, self.depart(setting, &self.day));
        let mut travel = self.home_drive;
        for at in 0..self.turns.len() {
            travel += self.way(setting, at, (node, left)).drive;
            (node, left) = (self.turns[at].node, self.settled_finish(at));
        }
        if driving::keeps(&self.day, travel) {
            self.travel = travel;
        } else {
            self.leave_unsettled();
            self.early = true;
        }
    }

    /// The way to a turn for a gang that is free to leave somewhere then.
    pub(crate) fn way(&self, setting: &Setting<'_>, at: usize, (from, left): (u32, u32)) -> Way {
        let turn = &self.turns[at];
        let free = left + turn.pause;
        turn.call.way(setting, &self.day, (from, turn.node), free)
    }

    /// How late the gang may leave for a turn to be there by then; never before it is free to leave
    /// by the earliest times.
    fn leave_by(&self, setting: &Setting<'_>, at: usize, by: u32) -> u32 {
        let turn = &self.turns[at];
        if setting.is_flat() {
            return by - turn.leg;
        }
        let (from, free) = self.before(&self.day, at);
        let leave = turn
            .call
            .leave_by(setting, &self.day, (from, turn.node), by);
        leave.saturating_sub(turn.pause).max(free)
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
            let leave = self.leave_by(setting, at, start);
            let before = &mut self.turns[before];
            let work = before.finish - before.start;
            let cap = leave - work;
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
    pub(crate) fn depart(&self, setting: &Setting<'_>, day: &GangDay) -> u32 {
        match self.turns.first() {
            Some(turn) if !self.early => self.leave_by(setting, 0, turn.settled),
            _ => day.start + day.load,
        }
    }

    /// When this turn ends, settled.
    pub(crate) fn settled_finish(&self, at: usize) -> u32 {
        let turn = &self.turns[at];
        turn.settled + (turn.finish - turn.start)
    }
}
