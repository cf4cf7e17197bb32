//! A job is left over no weekend and no other day on which nobody works, unless it may be.

use gangday_model::Finding;

use super::case::{Case, day, days};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let week = &case.programme.week;
    for (id, visits) in &case.visits {
        if case.job(id).is_none_or(|job| case.may_be_left(job).1) {
            continue;
        }
        for pair in days(visits).windows(2) {
            let (left, next) = (pair[0], pair[1]);
            let between = left.date.iter_days().skip(1);
            let mut between = between.take_while(|date| *date < next.date);
            if let Some(off) = between.find(|date| !week.is_working_day(*date)) {
                let text = format!(
                    "it is left from {} to {}, over {}, on which nobody works",
                    day(left.date),
                    day(next.date),
                    day(off)
                );
                let remedy = "bring the rest forward, or allow it with `over_weekend`";
                found.push(case.of_visit("R-WEEKEND", next, id, text, remedy));
            }
        }
    }
}
