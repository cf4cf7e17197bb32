//! A plan after what it is for has changed: every gang-day in the order that it has, timed and priced anew.

use std::collections::HashSet;

use gangday_model::{Plan, Reason};
use gangday_planner::DaySolution;

use super::board::Board;
use super::made::{self, Key};
use crate::planning;
use crate::prepared::Prepared;

/// The plan timed and priced anew. Jobs that can't stand where they stood (their stages are others now, or
/// can't be worked out any more) are not planned, for this reason. A gang-day that nobody could do in its
/// order, or that is in no day of the week, stays as it is, for the checker to name.
pub fn timed_anew(prepared: &Prepared, plan: &Plan, reason: &Reason) -> Plan {
    let board = Board::of(prepared, plan);
    let what_if = board.what_if();
    let mut days = what_if.days();
    days.extend(board.given_up());
    let routes = made::with_days(&board, &days);
    let (costs, _) = what_if.now();
    Plan {
        unplanned: made::unplanned(plan, &routes, reason),
        routes,
        costs: planning::costs(&costs),
        ..plan.clone()
    }
    .tidied()
}

impl Board<'_> {
    /// The gang-days of the plan in which none of its jobs can stand any more.
    fn given_up(&self) -> Vec<DaySolution> {
        let planned: HashSet<Key> = self.plan.routes.iter().map(made::key).collect();
        let begun = self.begun();
        let days = (0..).zip(&self.posed.problem.gang_days[..self.spare as usize]);
        let days = days.filter(|(gang_day, day)| {
            let key = || {
                (
                    self.date(*gang_day),
                    self.posed.gang(self.prepared, day).id.clone(),
                )
            };
            !begun.contains(gang_day) && planned.contains(&key())
        });
        let empty = days.map(|(gang_day, _)| DaySolution {
            gang_day,
            ..DaySolution::default()
        });
        empty.collect()
    }
}
