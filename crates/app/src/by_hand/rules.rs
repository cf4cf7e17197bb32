//! The rules that a change by hand would break, in words: one line for each rule and gang-day, with the jobs
//! that it is about.

use std::collections::BTreeMap;

use gangday_planner::Broken;

use super::board::Board;
use crate::reasons::{gang_day_name, lasting, named};
use crate::view::BrokenView;
use crate::words;

/// So many jobs are named in a line; the rest are counted.
const NAMED: usize = 4;

/// What makes two broken rules one line: the code that is told, the gang-day, by how much, and the tickets that lack.
type Line = (&'static str, u32, u32, u64);

/// Every line, in the order in which its rule is found first.
pub fn view(board: &Board<'_>, broken: &[Broken]) -> Vec<BrokenView> {
    let mut places: BTreeMap<Line, usize> = BTreeMap::new();
    let mut lines: Vec<(Line, Vec<usize>)> = Vec::new();
    for one in broken {
        let line = (told(board, one), one.gang_day, one.by, lacking(board, one));
        let at = *places.entry(line).or_insert(lines.len());
        if at == lines.len() {
            lines.push((line, Vec::new()));
        }
        let job = one.task.map(|task| board.posed.jobs[task as usize]);
        lines[at].1.extend(job);
    }
    lines
        .into_iter()
        .map(|(line, jobs)| one_line(board, line, jobs))
        .collect()
}

fn one_line(board: &Board<'_>, line: Line, mut jobs: Vec<usize>) -> BrokenView {
    jobs.sort_unstable();
    jobs.dedup();
    let programme = &board.prepared.programme;
    let ids: Vec<String> = jobs
        .into_iter()
        .map(|job| programme.jobs[job].id.to_string())
        .collect();
    BrokenView {
        code: line.0.to_owned(),
        key: board.key(line.1),
        text: text(board, line, &ids),
        jobs: ids,
    }
}

/// The code that is told: a day that is barred because it is too cold has one of its own, and so has one on which
/// what was placed in an earlier week is not ready.
fn told(board: &Board<'_>, broken: &Broken) -> &'static str {
    let job = broken.task.map(|task| board.posed.jobs[task as usize]);
    let cold = |at: usize| {
        let date = board.date(broken.gang_day);
        board.prepared.programme.jobs[at].allows(date) && !board.prepared.is_warm_enough(at, date)
    };
    let unready = |at: usize| !board.prepared.is_ready_on(at, board.date(broken.gang_day));
    let is_past = || {
        let week = &board.prepared.programme.week;
        week.is_past(board.date(broken.gang_day))
    };
    match broken.code {
        "R-DATES" if is_past() => "R-PAST",
        "R-DATES" if job.is_some_and(cold) => "R-COLD",
        "R-DATES" if job.is_some_and(unready) => "R-READY",
        code => code,
    }
}

/// The tickets that a job needs and the gang lacks, where it is that which is broken.
fn lacking(board: &Board<'_>, broken: &Broken) -> u64 {
    let problem = &board.posed.problem;
    let Some(task) = broken.task.filter(|_| broken.code == "R-TICKET") else {
        return 0;
    };
    problem.tasks[task as usize].tickets & !problem.gang_days[broken.gang_day as usize].tickets
}

fn text(board: &Board<'_>, (code, gang_day, by, lacking): Line, ids: &[String]) -> String {
    let on = gang_day_name(board.prepared, &board.posed, gang_day);
    let day = words::day(board.date(gang_day));
    let jobs = listed(ids);
    // Of one job or of several.
    let say = |one: &str, several: &str| if ids.len() == 1 { one } else { several }.to_owned();
    match code {
        "R-SHIFTEND" => format!("{on} ends {} later than it may.", lasting(by)),
        "R-DRIVE" => format!("{on} drives {} more than it may.", lasting(by)),
        "R-SHAKE" => format!(
            "{on} is past the limit value of vibration, by {} points.",
            by.div_ceil(100)
        ),
        "R-LOAD" if by > 0 => format!("{on} bears {by} kg less than it would have to."),
        "R-LOAD" => format!(
            "{on} would have to go by a tip or the depot between jobs, and has no time for that."
        ),
        "R-TICKET" => format!(
            "Nobody in {on} holds {} for {jobs}.",
            named(&board.posed, lacking)
        ),
        "R-COLD" => format!("{day} is too cold for the concrete or mortar of {jobs}."),
        "R-READY" => format!(
            "What was placed of {jobs} in an earlier week is not ready when the first gang begins on {day}."
        ),
        "R-PAST" => format!(
            "{jobs} would be on {day}, before the day from which is planned, and {} not recorded as done.",
            say("is", "are")
        ),
        "R-DATES" => format!("{jobs} may not be worked on {day}."),
        "R-HOURS" => format!(
            "{jobs} would not be within the hours in which {} may be worked on {day}.",
            say("it", "they")
        ),
        "R-LOCKED" => format!(
            "{jobs} {} done or locked, and would not be where {}.",
            say("is", "are"),
            say("it is", "they are")
        ),
        "R-NIGHTS" => format!(
            "{jobs} would be left over more nights, or other ones, than {} may.",
            say("it", "they")
        ),
        "R-ORDER" => format!("The stages of {jobs} would not come in their order."),
        "R-GAP" => format!("More time than may be would pass between two stages of {jobs}."),
        _ => format!(
            "The {} of {jobs} would be there at once with one that {} with.",
            say("closure", "closures"),
            say("it clashes", "they clash")
        ),
    }
}

/// `J012`, `J012 and J014`, `J012, J014, J015, J016 and 3 more jobs`.
fn listed(ids: &[String]) -> String {
    let named = &ids[..ids.len().min(NAMED)];
    let more = ids.len() - named.len();
    let last = words::count(more, "more job", "more jobs");
    match named {
        [one] => one.clone(),
        _ if more > 0 => format!("{} and {last}", named.join(", ")),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
        [] => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::listed;

    #[test]
    fn a_few_jobs_are_named_and_the_rest_are_counted() {
        let ids = |many: usize| -> Vec<String> { (1..=many).map(|at| format!("J{at}")).collect() };
        assert_eq!(listed(&ids(1)), "J1");
        assert_eq!(listed(&ids(2)), "J1 and J2");
        assert_eq!(listed(&ids(4)), "J1, J2, J3 and J4");
        assert_eq!(listed(&ids(5)), "J1, J2, J3, J4 and 1 more job");
        assert_eq!(listed(&ids(72)), "J1, J2, J3, J4 and 68 more jobs");
    }
}
