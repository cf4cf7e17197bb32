//! A job is left over no weekend and no other day on which nobody works, unless it may be.

use gangday_model::Finding;

use super::case::{Case, days, name, of_visit};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let week = &case.programme.week;
    for (id, visits) in &case.visits {
        if case.job(id).is_none_or(|job| case.may_be_left(job).1) {
            continue;
        }
        for pair in days(visits).windows(2) {
            let (left, next) = (pair[0], pair[1]);
            let between = left.date.iter_days().skip(1);
            let mut between = between.take_while(|day| *day < next.date);
            if let Some(day) = between.find(|day| !week.is_working_day(*day)) {
                let text = format!(
                    "it is left from {} to {}, over {}, on which nobody works",
                    name(left),
                    name(next),
                    day.format("%A %-d %B")
                );
                let remedy = "bring the rest forward, or allow it with `over_weekend`";
                found.push(of_visit("R-WEEKEND", next, id, text, remedy));
            }
        }
    }
}
