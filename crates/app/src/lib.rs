//! The use-cases of Gangday: open, import, plan, total, export. The doors know nothing but this.

mod as_planned;
mod attachments;
mod attributions;
mod barred;
mod begun;
mod by_hand;
mod calendar;
mod changes;
mod clashes;
mod closures;
pub mod codes;
mod columns;
mod comparing;
mod credible;
mod crews;
mod cures;
mod demo;
mod desk;
mod detail;
mod diary;
mod done_stays;
mod driving;
#[cfg(test)]
mod duty_tests;
mod edits;
mod explaining;
mod exporting;
mod extracts;
mod fields;
mod figures;
mod following;
mod from_day;
mod gang_days;
mod gang_sheets;
mod grid_lists;
mod importing;
mod job_view;
mod journeys;
mod keeping;
mod limits;
mod matching;
mod mending;
mod nights;
mod opened;
mod order_sheets;
mod orders;
mod over;
mod paces;
mod pack;
mod packing;
mod planning;
mod posing;
mod prepared;
mod pricing;
mod problem;
mod public_view;
mod rates;
mod reasons;
mod recorded;
mod refusal;
mod reports;
mod routing;
mod row_places;
mod saving;
mod schemas;
mod sheet;
mod standing;
mod stops;
mod streets;
mod tables;
mod taking_in;
#[cfg(test)]
mod terms_tests;
mod totals;
mod travel;
#[cfg(test)]
mod travel_tests;
#[cfg(test)]
mod trial;
pub mod types;
pub mod view;
mod watching;
mod words;

pub use words::{tidy, unit};

pub use calendar::calendar;
pub use closures::{Public, closures_geojson, what_the_public_meets};
pub use desk::Desk;
pub use explaining::{Explained, cross_section, explain};
pub use exporting::write_tables;
pub use extracts::{ExtractReport, import_extract, is_extract};
pub use gang_days::GangDay;
pub use importing::{ImportReport, import_into, mapping_for};
pub use keeping::changes_in_words;
pub use opened::Opened;
pub use planning::PlanOptions;
pub use posing::posed;
pub use reports::{Report, check, look_over, verify};
pub use routing::{RoutingAnswer, solve_routing};
pub use saving::{convert, read_plan, write_calendar, write_pack, write_plan};
pub use schemas::{schema, schema_names};
pub use serde::Serialize;
pub use totals::{JobTotals, OrderBy, TotalsReport, totals};
pub use view::Refusal;

use gangday_model::Plan;
use view::ProgressView;

/// Makes the week, changing `keep` as little as its prices ask for. `watch` sees how far it is and says whether to go on; stopping keeps the best.
///
/// # Errors
/// Where there is nothing to plan.
pub fn make_plan(
    opened: &Opened,
    options: &PlanOptions,
    keep: Option<&Plan>,
    watch: &mut dyn FnMut(&ProgressView) -> bool,
) -> Result<Plan, Refusal> {
    if opened.is_nothing_to_plan() {
        let text = "There is nothing to plan: the programme needs at least one job and one gang.";
        return Err(Refusal::coded("D-EMPTY", text));
    }
    Ok(planning::make(opened, options, keep, watch))
}

/// A plan in a few lines: the summary, each gang-day, each job left out with its first reason.
#[must_use]
pub fn plan_in_words(opened: &Opened, plan: &Plan) -> Vec<String> {
    let mut lines = vec![sheet::summary(sheet::how_many_jobs(opened), plan)];
    for route in &plan.routes {
        let column = columns::column(&opened.prepared, route);
        lines.extend(column.map(|column| {
            let jobs = column.jobs.join(" ");
            let at = |minutes| words::clock_on(route.date, minutes);
            let (depart, back) = (at(column.depart), at(column.back));
            format!("  {}  {depart}–{back}  {jobs}", column.key)
        }));
    }
    let left = plan.unplanned.iter().map(|job| ("not planned", job));
    let begun = plan.unfinished.iter().map(|job| ("left unfinished", job));
    for (how, job) in left.chain(begun) {
        let reason = job
            .reasons
            .first()
            .map(|reason| reason.text.as_str())
            .unwrap_or_default();
        lines.push(format!("  {how} {}: {reason}", job.job));
    }
    lines.extend(gang_days::shaken(&opened.prepared, plan));
    lines.push(format!("Cost {}", words::money(plan.costs.total_pence)));
    lines.extend(plan.bound.iter().map(|bound| bound.text.clone()));
    lines.extend(changes_in_words(plan));
    lines
}
