//! The codes of this room's findings and reasons.

/// Code and one-line meaning: `R-` the plan breaks a rule, `U-` why a job is not planned.
pub const CODES: &[(&str, &str)] = &[
    ("R-BREAK", "A long gang-day has no break."),
    (
        "R-CLASH",
        "Two closures that must not be there at once are.",
    ),
    (
        "R-COLD",
        "Concrete or mortar is placed on a day that is too cold for it.",
    ),
    (
        "R-COSTS",
        "A part of the plan's costs is not what its visits and times come to, or the parts don't add up.",
    ),
    ("R-DATE", "A time of a gang-day is on another date."),
    (
        "R-DATES",
        "A job is worked before its earliest or after its latest date, or while its street is barred.",
    ),
    (
        "R-DAYOFF",
        "A gang works on a day that is not one of its days.",
    ),
    (
        "R-DEPART",
        "A gang is at its first job sooner than it can drive there from its depot.",
    ),
    (
        "R-DRIVE",
        "A gang drives longer than a driver may in a day.",
    ),
    (
        "R-DUTY",
        "A gang that drives far is on duty longer than a driver may be.",
    ),
    ("R-EARLY", "Work starts before the gang is on the spot."),
    ("R-EMPTY", "A gang-day has nothing in it."),
    (
        "R-GANG",
        "A gang-day is for a gang that is not in the programme.",
    ),
    (
        "R-GAP",
        "A stage comes later after the one before than it may.",
    ),
    (
        "R-HALT",
        "A halt is at no known place, too short, or not between two visits.",
    ),
    ("R-HOLIDAY", "A gang works on a holiday."),
    (
        "R-HOURS",
        "A closure is not within one of the job's site hours, or is there in hours that its street bars.",
    ),
    (
        "R-JOB",
        "The plan names a job that is not in the programme.",
    ),
    ("R-LENGTH", "A stage does not last as long as it takes."),
    (
        "R-LOAD",
        "A vehicle bears more than its payload, or its body more than it holds.",
    ),
    (
        "R-LOCKED",
        "A done or locked visit of an earlier plan is not where it was.",
    ),
    (
        "R-MISSING",
        "A job is neither in a gang-day nor among those not planned.",
    ),
    ("R-NIGHTS", "A job is left over more nights than it may be."),
    (
        "R-NIGHTWAIT",
        "A stage starts in the morning before the wait over the night is over.",
    ),
    ("R-NOREASON", "A job is not planned and no reason is given."),
    (
        "R-NOWORK",
        "A job is planned although its stages are not known.",
    ),
    ("R-ORDER", "The stages of a job are out of order."),
    ("R-OVERLAP", "A gang is in two places at once."),
    (
        "R-PAST",
        "A job is planned on a day before that from which is planned, and not recorded as done.",
    ),
    (
        "R-READY",
        "Work goes on before what was placed in an earlier week is ready.",
    ),
    (
        "R-RETURN",
        "A gang is back at its depot sooner than it can drive there.",
    ),
    (
        "R-SHAKE",
        "The vibration of a gang-day is past the limit value.",
    ),
    (
        "R-SHIFTEND",
        "A gang-day ends after the shift and its overtime.",
    ),
    (
        "R-SHIFTSTART",
        "A gang leaves before the shift has started and the vehicle is loaded.",
    ),
    (
        "R-SPLIT",
        "A job is spread over several gang-days of a date, or over nights over which it may not be left.",
    ),
    (
        "R-STAGES",
        "A job lacks a stage, or has one too often or one that it has not.",
    ),
    ("R-TICKET", "A gang lacks a ticket that a job needs."),
    (
        "R-TRAVEL",
        "A gang is at a job sooner than it can drive there.",
    ),
    (
        "R-TWICE",
        "A job is both planned and not planned, or listed more than once.",
    ),
    ("R-TWODAYS", "A gang has two gang-days on one date."),
    (
        "R-WAIT",
        "A stage starts before the wait after the one before it is over.",
    ),
    ("R-WEEK", "A gang-day is outside the week."),
    (
        "R-WEEKEND",
        "A job is left over a weekend or a day on which nobody works, and may not be.",
    ),
    (
        "U-APART",
        "The job's site hours and the gangs' days don't overlap by enough.",
    ),
    (
        "U-BREAK",
        "The job would fit but for the break of a long day.",
    ),
    (
        "U-CLASH",
        "The job's closure would clash with another's wherever it fits.",
    ),
    (
        "U-COST",
        "The job would fit, but leaving it out is priced lower.",
    ),
    (
        "U-DATES",
        "The job's dates leave no day on which anybody works.",
    ),
    (
        "U-DAYS",
        "On the job's days nobody who holds its tickets works.",
    ),
    (
        "U-DRIVE",
        "The drive to the job and back is longer than a driver may drive in a day.",
    ),
    ("U-FULL", "Every gang-day that could do the job is full."),
    (
        "U-GAP",
        "A stage of the job may wait for the next no longer than it has to.",
    ),
    (
        "U-HEAVY",
        "The job is heavier, or takes more room, than any vehicle bears at once.",
    ),
    (
        "U-HOURS",
        "The job's closure is longer than its site hours.",
    ),
    ("U-IF", "What one change would make the job fit."),
    (
        "U-LOCKED",
        "The job is locked to a gang, a day and times that can't be kept.",
    ),
    (
        "U-NIGHTS",
        "Left over a night, as it may be, the job fits no two gang-days.",
    ),
    ("U-NOWORK", "There is no work in the job."),
    (
        "U-SHAKE",
        "The job's tools alone pass the vibration limit of a gang-day.",
    ),
    (
        "U-SHIFT",
        "The job is longer than any gang-day, overtime included.",
    ),
    (
        "U-STOPPED",
        "The job fits, but the search was stopped before it got there.",
    ),
    (
        "U-TAKEN",
        "Other jobs' site hours leave no room for the job on any gang-day.",
    ),
    ("U-TICKET", "Nobody holds a ticket that the job needs."),
    (
        "U-TICKETS",
        "No one gang holds all the tickets that the job needs.",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_unique_and_in_order() {
        assert!(CODES.is_sorted_by(|one, next| one.0 < next.0));
    }

    #[test]
    fn codes_are_of_this_room() {
        assert!(
            CODES
                .iter()
                .all(|(code, _)| code.starts_with("R-") || code.starts_with("U-"))
        );
    }
}
