//! The gang holds every ticket that a job needs.

use gangday_model::Finding;

use super::case::{Case, days};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits) in &case.visits {
        let Some(job) = case.job(id) else { continue };
        for route in days(visits) {
            let Some(gang) = case.gang(route) else {
                continue;
            };
            let tickets = job.tickets.iter();
            for ticket in tickets.filter(|ticket| !gang.tickets.contains(ticket)) {
                let text = format!("nobody in the gang holds the ticket {ticket:?}");
                let remedy = format!("give the job to a gang that holds {ticket:?}");
                found.push(case.of_visit("R-TICKET", route, id, text, remedy));
            }
        }
    }
}
