//! Journeys that begin at a time of day, and how late one may begin.
//!
//! A journey takes as long as the hour says in which it begins. Where the next hour is quicker, a gang that
//! waited for it could overtake one that left before; so a gang that is there sooner by waiting for a
//! full hour waits: whoever leaves first is there first, and never later than whoever leaves after. That
//! is what lets times be carried forwards as the earliest and backwards as the latest.
//!
//! # Source
//! That times of travel which change in steps need this, to keep "first in, first out": Ichoua, Gendreau
//! and Potvin, "Vehicle dispatching with time-dependent travel times", European Journal of Operational
//! Research 144(2), 2003 (from memory). That the hour of departure counts for the whole journey, and
//! waiting mends what that does to the order, is a choice of our own.

use crate::GangDay;
use crate::setting::Setting;

/// Seconds in an hour, and in a minute.
const HOUR: u32 = 3_600;
const MINUTE: u32 = 60;

/// A journey from node to node.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Drive {
    /// When the gang is there.
    pub(crate) arrive: u32,
    /// How long it is on the road.
    pub(crate) lasts: u32,
}

impl Setting<'_> {
    /// The journey of a gang that is free to leave then: the earliest to be there, with the least
    /// driving of those.
    #[inline]
    pub(crate) fn drive(&self, day: &GangDay, (from, to): (u32, u32), left: u32) -> Drive {
        if self.is_flat() {
            let lasts = self.travel_by(day.vehicle, from, to);
            let arrive = left.saturating_add(lasts);
            return Drive { arrive, lasts };
        }
        self.drive_by_hour(day.vehicle, (from, to), left)
    }

    #[inline(never)]
    fn drive_by_hour(&self, vehicle: u32, (from, to): (u32, u32), left: u32) -> Drive {
        let leaves = |leave: u32| {
            let lasts = self.travel_in(vehicle, leave / HOUR, from, to);
            let arrive = leave.saturating_add(lasts);
            Drive { arrive, lasts }
        };
        let mut best = leaves(left);
        let mut hour = next_hour(left);
        while hour < best.arrive {
            best = best.min(leaves(hour));
            hour = next_hour(hour);
        }
        best
    }

    /// From leaving, or waiting to leave, to being there.
    #[inline]
    pub(crate) fn lasts(&self, day: &GangDay, way: (u32, u32), left: u32) -> u32 {
        if self.is_flat() {
            return self.travel_by(day.vehicle, way.0, way.1);
        }
        self.drive_by_hour(day.vehicle, way, left).arrive - left
    }

    /// How late the gang may leave to be there by then; of what is left of an hour that is quicker
    /// than the next, up to its last full minute.
    pub(crate) fn leave_by(&self, day: &GangDay, (from, to): (u32, u32), by: u32) -> u32 {
        if self.is_flat() {
            return by.saturating_sub(self.travel_by(day.vehicle, from, to));
        }
        let mut hour = by / HOUR;
        loop {
            let lasts = self.travel_in(day.vehicle, hour, from, to);
            let leave = by.saturating_sub(lasts);
            if leave >= hour * HOUR {
                let next = (hour + 1) * HOUR;
                return if leave < next { leave } else { next - MINUTE };
            }
            match hour.checked_sub(1) {
                Some(before) => hour = before,
                None => return 0,
            }
        }
    }
}

/// The full hour after this time.
fn next_hour(time: u32) -> u32 {
    (time / HOUR + 1) * HOUR
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{Problem, Task, Travel};

    const fn clock(hour: u32, minute: u32) -> u32 {
        hour * 3_600 + minute * 60
    }

    /// Two places; journeys of 20 min, and of each of these many minutes in its hour.
    fn two_places(hours: &[(usize, u32)]) -> Problem {
        let table = |minutes: u32| Travel::Matrix {
            nodes: 2,
            seconds: vec![0, minutes * MINUTE, minutes * MINUTE, 0],
        };
        let mut row = [0; 24];
        for (at, (hour, _)) in (1..).zip(hours) {
            row[*hour] = at;
        }
        Problem {
            travel: table(20),
            other_travel: hours.iter().map(|hour| table(hour.1)).collect(),
            hours: vec![row],
            tasks: vec![Task {
                node: 1,
                ..Task::default()
            }],
            gang_days: vec![GangDay::default()],
            ..Problem::default()
        }
    }

    fn drive(problem: &Problem, left: u32) -> (u32, u32) {
        let drive = Setting::full(problem).drive(&GangDay::default(), (0, 1), left);
        (drive.arrive, drive.lasts / MINUTE)
    }

    fn leave_by(problem: &Problem, by: u32) -> u32 {
        Setting::light(problem).leave_by(&GangDay::default(), (0, 1), by)
    }

    /// 40 min from 8 to 9, 20 min else.
    #[test]
    fn a_journey_takes_as_long_as_the_hour_says_in_which_it_begins() {
        let problem = two_places(&[(8, 40)]);
        assert_eq!(drive(&problem, clock(7, 30)), (clock(7, 50), 20));
        // It begins before 8, and that it goes on after 8 changes nothing.
        assert_eq!(drive(&problem, clock(7, 50)), (clock(8, 10), 20));
        assert_eq!(drive(&problem, clock(8, 0)), (clock(8, 40), 40));
        // From 8:30 it is there at 9:10; waiting until 9 it would be at 9:20.
        assert_eq!(drive(&problem, clock(8, 30)), (clock(9, 10), 40));
        // Either way at 9:20: then it drives less.
        assert_eq!(drive(&problem, clock(8, 40)), (clock(9, 20), 20));
        assert_eq!(drive(&problem, clock(8, 50)), (clock(9, 20), 20));
        assert_eq!(drive(&problem, clock(9, 0)), (clock(9, 20), 20));
        // The next day has the same hours.
        assert_eq!(drive(&problem, clock(32, 30)), (clock(33, 10), 40));
    }

    #[test]
    fn how_late_it_may_leave_is_the_last_minute_that_is_in_time() {
        let problem = two_places(&[(8, 40)]);
        assert_eq!(leave_by(&problem, clock(8, 10)), clock(7, 50));
        // Until 7:59 it takes 20 min, from 8 on 40.
        assert_eq!(leave_by(&problem, clock(8, 20)), clock(7, 59));
        assert_eq!(leave_by(&problem, clock(8, 39)), clock(7, 59));
        assert_eq!(leave_by(&problem, clock(8, 40)), clock(8, 0));
        assert_eq!(leave_by(&problem, clock(9, 19)), clock(8, 39));
        assert_eq!(leave_by(&problem, clock(9, 20)), clock(9, 0));
        assert_eq!(leave_by(&problem, clock(0, 10)), 0);
    }

    #[test]
    fn bounds_go_by_the_quickest_hour_of_any_gang_day() {
        let mut problem = two_places(&[(8, 40), (3, 10)]);
        let least = |problem: &Problem| {
            let setting = Setting::full(problem);
            let own = setting.travel(&GangDay::default(), 0, 1);
            (setting.least_travel(0, 1) / MINUTE, own / MINUTE)
        };
        (problem.gang_days[0].start, problem.gang_days[0].latest) = (clock(7, 0), clock(16, 0));
        assert_eq!(least(&problem), (20, 10), "nobody is out at 3");
        (problem.gang_days[0].start, problem.gang_days[0].latest) = (clock(8, 0), clock(8, 30));
        assert_eq!(least(&problem), (40, 10));
        problem.gang_days[0].latest = clock(28, 0);
        assert_eq!(least(&problem), (10, 10));
    }

    proptest! {
        /// Whoever leaves first is there first; nobody is there sooner by any later departure; and how
        /// late one may leave is the other way round, up to what is left of a minute.
        #[test]
        fn first_out_is_first_in_and_back_again(
            minutes in proptest::collection::vec(1_u32..200, 24),
            left in 0_u32..90_000,
            later in 0_u32..10_000,
            by in 20_000_u32..100_000,
        ) {
            let hours: Vec<(usize, u32)> = minutes.into_iter().enumerate().collect();
            let problem = two_places(&hours);
            let setting = Setting::full(&problem);
            let day = GangDay::default();
            let arrive = |left: u32| setting.drive(&day, (0, 1), left).arrive;
            let own = setting.drive(&day, (0, 1), left);
            prop_assert!(own.arrive <= arrive(left + later));
            let at_once = |leaves: u32| leaves + setting.travel_in(0, leaves / HOUR, 0, 1);
            prop_assert!(own.arrive <= at_once(left + later));
            // It is a journey that can be made: at once, or from a full hour on.
            let starts = own.arrive - own.lasts;
            prop_assert!(starts == left || (starts > left && starts.is_multiple_of(HOUR)));
            prop_assert_eq!(at_once(starts), own.arrive);
            let leave = setting.leave_by(&day, (0, 1), by);
            prop_assert!(arrive(leave) <= by);
            prop_assert!(arrive(leave + MINUTE) > by, "a minute later is too late");
            prop_assert!(setting.leave_by(&day, (0, 1), own.arrive) + MINUTE > left);
        }
    }
}
