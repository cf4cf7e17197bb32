//! Holds a plan to the rules, from the programme alone.
//!
//! It shares no code with the search: it reads the programme and the plan as anybody could who has
//! the two files, and it stops at no fault. One rule, one file.

mod barred;
mod bill;
mod case;
mod clash;
mod curing;
mod driving;
mod duty;
mod gap;
mod halt;
mod legs;
mod limits;
mod load;
mod locked;
mod prices;
mod rest;
mod shake;

mod cold;
mod costs;
mod date;
mod dates;
mod day_off;
mod depart;
mod early;
mod empty;
mod gang;
mod holiday;
mod hours;
mod job;
mod length;
mod missing;
mod night_wait;
mod nights;
mod no_reason;
mod no_work;
mod order;
mod overlap;
mod past;
mod ready;
mod returned;
mod shift_end;
mod shift_start;
mod split;
mod stages;
mod ticket;
mod travel;
mod twice;
mod two_days;
mod wait;
mod week;
mod weekend;

use chrono::NaiveDate;
use gangday_model::{
    Costs, Finding, Gang, GangId, JobId, JobWork, LonLat, Plan, Programme, Seconds,
};

use case::Case;
pub use curing::{Curing, Law, Material};
pub use limits::{Burden, Exposure, Gap, Limits, PlacedBefore};
pub use prices::{JobPrices, Prices};

/// What a plan is held to.
pub struct Brief<'a> {
    /// The programme that was planned.
    pub programme: &'a Programme,
    /// The stages of each job, and the waits between them.
    pub works: &'a [JobWork],
    /// The stages of a job as a gang does them on a date, where they differ from `works`.
    pub paced: &'a [Paced],
    /// How what is placed ages, and what cold it bears.
    pub curing: &'a Curing,
    /// Jobs that reading had to refuse: they belong among those not planned.
    pub refused: &'a [JobId],
    /// How long it takes a gang to drive from one place to another if it leaves in that hour of the
    /// day, 0 to 23.
    pub travel: &'a dyn Fn(&Gang, u32, LonLat, LonLat) -> Seconds,
    /// Loading, from the shift's start to leaving the depot.
    pub load: Seconds,
    /// Unloading, from the return to the end of the gang's day.
    pub unload: Seconds,
    /// Loads, breaks, driving and the like.
    pub limits: Limits<'a>,
}

/// The stages of one job as one gang does them on one date.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paced {
    /// The gang.
    pub gang: GangId,
    /// The date.
    pub date: NaiveDate,
    /// The stages and the waits between them.
    pub work: JobWork,
}

/// A rule: adds what breaks it.
type Rule = fn(&Case<'_>, &mut Vec<Finding>);

/// Every rule.
const RULES: &[Rule] = &[
    job::check,
    gang::check,
    missing::check,
    twice::check,
    split::check,
    nights::check,
    weekend::check,
    no_reason::check,
    no_work::check,
    stages::check,
    order::check,
    length::check,
    wait::check,
    night_wait::check,
    ready::check,
    early::check,
    overlap::check,
    travel::check,
    depart::check,
    returned::check,
    shift_start::check,
    shift_end::check,
    date::check,
    two_days::check,
    empty::check,
    week::check,
    past::check,
    holiday::check,
    day_off::check,
    dates::check,
    hours::check,
    barred::check,
    ticket::check,
    cold::check,
    halt::check,
    load::check,
    rest::check,
    driving::check,
    duty::check,
    shake::check,
    clash::check,
    gap::check,
    locked::check,
    costs::check,
];

/// Every rule that the plan breaks, and where; nothing if the plan is sound.
#[must_use]
pub fn verify(brief: &Brief<'_>, plan: &Plan) -> Vec<Finding> {
    let case = Case::new(brief, plan);
    let mut found = Vec::new();
    for rule in RULES {
        rule(&case, &mut found);
    }
    found
}

/// What a plan costs by its visits and times alone, whoever put them there and whatever rules they break; none
/// where the brief tells no prices. Changes are priced only beside the plan that was issued.
#[must_use]
pub fn costs(brief: &Brief<'_>, plan: &Plan) -> Option<Costs> {
    costs::as_it_stands(&Case::new(brief, plan))
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::Path;

    /// The checker's own sources: name and text.
    fn sources() -> Vec<(String, String)> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/checker");
        let files = fs::read_dir(folder).expect("the checker's folder");
        files
            .map(|file| file.expect("a file").path())
            .map(|path| {
                let name = path
                    .file_name()
                    .expect("a name")
                    .to_string_lossy()
                    .into_owned();
                (name, fs::read_to_string(&path).expect("readable"))
            })
            .collect()
    }

    #[test]
    fn the_checker_borrows_nothing_from_the_search() {
        let own = concat!("crate", "::");
        let sources = sources();
        assert!(sources.len() > super::RULES.len());
        for (name, text) in sources {
            assert!(
                !text.contains(own),
                "{name} reaches into the rest of the crate"
            );
            let up = concat!("super::", "super");
            assert!(
                !text.contains(up),
                "{name} reaches into the rest of the crate"
            );
        }
    }

    #[test]
    fn there_is_one_rule_per_file() {
        let signature = concat!("pub(super) fn ", "check(");
        let rules = sources()
            .iter()
            .filter(|(_, text)| text.contains(signature))
            .count();
        assert_eq!(rules, super::RULES.len());
        assert!(
            sources()
                .iter()
                .all(|(_, text)| text.matches(signature).count() <= 1)
        );
    }
}
