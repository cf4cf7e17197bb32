//! Why a job is not planned, in words with names, and what would make it fit.

use chrono::NaiveDate;
use gangday_model::{Finding, JobId, Reason};
use gangday_planner::{Cure, Why};

use crate::closures;
use crate::from_day;
use crate::prepared::Prepared;
use crate::problem::Posed;
use crate::words::{self, sentence};

/// The reasons of a job that the search left out.
#[must_use]
pub fn of_task(prepared: &Prepared, posed: &Posed, task: u32, whys: &[Why]) -> Vec<Reason> {
    whys.iter()
        .map(|why| {
            let at = posed.jobs[task as usize];
            let outside = || {
                if posed.problem.gang_days.is_empty() {
                    return Some(nobody_works());
                }
                let barred = restricted(prepared, at).or_else(|| too_cold(prepared, at));
                let barred = barred.or_else(|| from_day::is_over(prepared, at));
                let barred = barred.or_else(|| prepared.not_ready(at));
                barred.or_else(|| out_of_week(prepared, at))
            };
            let outside = (*why == Why::NoDay).then(outside).flatten();
            outside.unwrap_or_else(|| Reason {
                code: why.code().to_owned(),
                text: text(prepared, posed, *why),
            })
        })
        .collect()
}

/// Where a job's own dates leave days on which gangs work, but all are too cold for its concrete
/// or mortar: the first of them with its temperature, and the stage that places it.
fn too_cold(prepared: &Prepared, at: usize) -> Option<Reason> {
    let (week, job) = (&prepared.programme.week, &prepared.programme.jobs[at]);
    let open = |day: &NaiveDate| job.allows(*day) && week.is_working_day(*day);
    let mut days = week.calendar_days().filter(open).peekable();
    let first = *days.peek()?;
    let (kind, least) = prepared.too_cold_on(at, first)?;
    let by_hour = week.temperature_on(first).is_curve();
    let lasting = if by_hour { " at the coldest," } else { "," };
    days.all(|day| !prepared.is_warm_enough(at, day))
        .then(|| Reason {
            code: "C-TOO-COLD".to_owned(),
            text: format!(
                "{} places {}, but on {} only {} °C is expected{lasting} below the {least} °C that it \
                 needs, and no other of its days is warmer; wait for one that is.",
                words::stage(words::placing(kind)),
                words::placed(kind),
                words::day(first),
                week.celsius_on(first)
            ),
        })
}

/// Where the week has no gang-day at all.
fn nobody_works() -> Reason {
    Reason {
        code: "U-DATES".to_owned(),
        text: "No gang works on any day of the week; state days on which one does.".to_owned(),
    }
}

/// Where a job's own dates lie wholly before the week or after it: the date that stands in the way.
fn out_of_week(prepared: &Prepared, at: usize) -> Option<Reason> {
    let (week, job) = (&prepared.programme.week, &prepared.programme.jobs[at]);
    let (first, last) = (week.calendar_days().next()?, week.calendar_days().last()?);
    let text = match (job.earliest, job.latest) {
        (Some(earliest), _) if earliest > last => format!(
            "It may not begin before {}, and the week ends on {}; agree an earlier date, or leave it to a later week.",
            words::day(earliest),
            words::day(last)
        ),
        (_, Some(latest)) if latest < first => format!(
            "It had to be done by {}, and the week begins on {}; agree a later date.",
            words::day(latest),
            words::day(first)
        ),
        _ => return None,
    };
    Some(Reason {
        code: "U-DATES".to_owned(),
        text,
    })
}

/// Where a job's own dates leave days on which gangs work, but its street is barred on all of them.
fn restricted(prepared: &Prepared, at: usize) -> Option<Reason> {
    let (week, job) = (&prepared.programme.week, &prepared.programme.jobs[at]);
    let open = |day: &NaiveDate| job.allows(*day) && week.is_working_day(*day);
    let until = closures::barred(prepared, at).before?;
    let mut days = week.calendar_days().filter(open).peekable();
    days.peek()?;
    days.all(|day| day < until).then(|| Reason {
        code: "T-RESTRICTED".to_owned(),
        text: format!(
            "Its street is restricted after earlier works until {}; ask the authority for its \
             consent, or plan it after that date.",
            words::long_date(until)
        ),
    })
}

/// The reasons of a job that never got so far: the faults of its take-off or stages, else those of
/// the tables of figures, else its place.
#[must_use]
pub fn of_refused(prepared: &Prepared, at: usize) -> Vec<Reason> {
    let own = of_faults(prepared.findings().iter(), &prepared.programme.jobs[at].id);
    if !own.is_empty() {
        return own;
    }
    if prepared.points[at].is_none() {
        let text = "Its place can't be put on the working plane; check its coordinates.";
        return vec![Reason {
            code: "U-PLACE".to_owned(),
            text: text.to_owned(),
        }];
    }
    let tables = prepared.findings().iter().filter(|fault| fault.is_fault());
    tables
        .filter(|fault| fault.code.starts_with("P-"))
        .map(reason)
        .collect()
}

/// The faults of one job as reasons.
pub fn of_faults<'a>(findings: impl Iterator<Item = &'a Finding>, job: &JobId) -> Vec<Reason> {
    let about = |finding: &&Finding| {
        finding.is_fault() && finding.place.feature.as_deref() == Some(job.as_str())
    };
    findings.filter(about).map(reason).collect()
}

fn reason(fault: &Finding) -> Reason {
    Reason {
        code: fault.code.clone(),
        text: format!("{} {}", sentence(&fault.text), sentence(&fault.remedy)),
    }
}

/// The reason with gangs, days and tickets named where they say more than the number alone.
fn text(prepared: &Prepared, posed: &Posed, why: Why) -> String {
    match why {
        Why::NobodyHolds { tickets } => {
            format!(
                "No gang holds {}; a person with it would do.",
                named(posed, tickets)
            )
        }
        Why::NoGangHoldsAll { lacking, gang_day } => format!(
            "No one gang holds all its tickets; {} lacks {}.",
            gang_day_name(prepared, posed, gang_day),
            named(posed, lacking)
        ),
        Why::Full { over, gang_day, .. } => format!(
            "Every gang-day that could do it is full; {} more for {} would do.",
            lasting(over),
            gang_day_name(prepared, posed, gang_day)
        ),
        Why::LongerThanHours { needs, window } => format!(
            "Its closure lasts {} at the least, its longest site hours {}; {} more would do.",
            lasting(needs),
            lasting(window),
            lasting(needs.saturating_sub(window))
        ),
        Why::LongerThanDay { needs, lasts, .. } => format!(
            "With loading, travel and unloading it takes {}; the longest gang-day lasts {}, \
             overtime included.",
            lasting(needs),
            lasting(lasts)
        ),
        Why::NotWorth { adds, left_out, .. } => format!(
            "It would fit for {}, but leaving it out is priced at {}; a higher priority would \
             bring it in.",
            words::money(adds),
            words::money(left_out)
        ),
        Why::Stopped { adds, gang_day } => format!(
            "It would fit for {} with {}; the search stopped before it got there: plan for longer.",
            words::money(adds),
            gang_day_name(prepared, posed, gang_day)
        ),
        Why::If(cure) => cure_text(prepared, posed, cure),
        other => other.words(),
    }
}

/// What would make the job fit.
fn cure_text(prepared: &Prepared, posed: &Posed, cure: Cure) -> String {
    let on = |gang_day| gang_day_name(prepared, posed, gang_day);
    match cure {
        Cure::Tickets {
            lacking,
            gang_day,
            adds,
        } => format!(
            "With a person who holds {} in {} it would fit for {}.",
            named(posed, lacking),
            on(gang_day),
            words::money(adds)
        ),
        Cure::Longer {
            over,
            gang_day,
            adds,
        } => format!(
            "With {} more overtime for {} it would fit for {}.",
            lasting(over),
            on(gang_day),
            words::money(adds)
        ),
        Cure::Date { gang_day, adds } => format!(
            "With {}, outside its dates, it would fit for {}.",
            on(gang_day),
            words::money(adds)
        ),
        Cure::Night {
            gang_day,
            next,
            adds,
        } => format!(
            "Left over a night from {} to {} it would fit for {}, the night included; allow that with `nights`.",
            on(gang_day),
            on(next),
            words::money(adds)
        ),
        Cure::Hours { gang_day, adds } => format!(
            "With {}, were it not held to its site hours, it would fit for {}.",
            on(gang_day),
            words::money(adds)
        ),
    }
}

/// Seconds as minutes begun, in words.
pub fn lasting(seconds: u32) -> String {
    words::lasting(seconds.div_ceil(60))
}

/// The tickets of these bits, by name.
pub fn named(posed: &Posed, mask: u64) -> String {
    let bit = |at: usize| 1_u64 << at.min(63);
    let names = posed.tickets.iter().enumerate();
    let names: Vec<&str> = names
        .filter(|(at, _)| mask & bit(*at) != 0)
        .map(|(_, name)| name.as_str())
        .collect();
    names.join(", ")
}

/// `Gang Oak on Wed 3 Mar`.
pub fn gang_day_name(prepared: &Prepared, posed: &Posed, gang_day: u32) -> String {
    let gang_day = &posed.problem.gang_days[gang_day as usize];
    let gang = posed.gang(prepared, gang_day);
    format!(
        "{} on {}",
        gang.name,
        words::day(posed.dates[gang_day.day as usize])
    )
}
