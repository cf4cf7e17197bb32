//! Notices and permits: the category, the last day to tell, the earliest lawful start. Every figure
//! is the reader's to check against the law in force; the street authority's word goes before it.

mod category;
mod editions;
pub(crate) mod key;
mod longest;
mod moments;
mod steps;
mod terms;

use std::collections::HashMap;

use chrono::NaiveTime;
use gangday_model::{Closure, Finding, Job, JobId, Notice, Programme, Street};

pub use editions::{Edition, editions};
pub use terms::NoticeTerms;

use crate::rules::Rules;
use category::Facts;
use longest::{ClosedBy, closed_by};
use steps::Asked;

impl Rules {
    /// What has to be told of each planned job, in the order of the closures, with what is late: of what is
    /// worked there, not of what stands before or after it.
    ///
    /// # Source
    /// The edition that the programme names; each step carries its own instrument and clause.
    #[must_use]
    pub fn notices(
        &self,
        programme: &Programme,
        closures: &[Closure],
        terms: &NoticeTerms,
    ) -> (Vec<Notice>, Vec<Finding>) {
        let jobs: HashMap<&JobId, &Job> = programme.jobs.iter().map(|job| (&job.id, job)).collect();
        let streets: HashMap<_, &Street> = programme
            .streets
            .iter()
            .map(|street| (&street.id, street))
            .collect();
        let mut findings = Vec::new();
        let mut notices = Vec::new();
        for closure in closures.iter().filter_map(Closure::as_worked) {
            let closure = &closure;
            let Some(job) = jobs.get(&closure.job) else {
                continue;
            };
            let street = closure.street.as_ref().and_then(|id| streets.get(id));
            let notice = self.notice(job, street.copied(), closure, terms);
            findings.extend(late(job, closure, &notice));
            findings.extend(self.too_long(job, closure));
            notices.push(notice);
        }
        (notices, findings)
    }

    fn notice(
        &self,
        job: &Job,
        street: Option<&Street>,
        closure: &Closure,
        terms: &NoticeTerms,
    ) -> Notice {
        let days = (closure.start.date(), closure.end.date());
        let flag = |name: &str| job.extra.get(name).is_some_and(|flag| *flag == true);
        let facts = Facts {
            days,
            is_immediate: flag("immediate"),
            by_order: closed_by(job, closure.closes_road) == ClosedBy::Order,
            in_annual_programme: flag("annual_programme"),
        };
        let (category, because) = self.category(&facts, terms);
        let asked = Asked {
            category,
            start: closure.start,
            by_order: facts.by_order,
            is_sensitive: is_sensitive(street, closure),
            terms,
        };
        Notice {
            job: job.id.clone(),
            nation: terms.edition.nation,
            edition: terms.edition.name.clone(),
            category,
            because,
            source: terms.edition.source.clone(),
            working_days: terms.holidays.between(days.0, days.1),
            steps: self.steps(&asked),
            earliest: terms.today.map(|today| self.earliest(&asked, today)),
            longest: self.longest(
                job,
                (closure.kind, closure.closes_road),
                terms.edition.nation,
            ),
        }
    }

    /// The longest that works count as of short duration, minutes.
    ///
    /// # Source
    /// Safety at Street Works and Road Works, Code of Practice (October 2013), signing and glossary:
    /// 60 minutes, in Scotland 30; longer works are a fixed site with full signing.
    #[must_use]
    pub fn short_duration_minutes(&self, nation: gangday_model::Nation) -> f64 {
        if nation == gangday_model::Nation::Scotland {
            self.value(key::SHORT_SCOTLAND)
        } else {
            self.value(key::SHORT)
        }
    }
}

/// Whether works and a street's traffic-sensitive hours meet; works over a night meet them all.
fn is_sensitive(street: Option<&Street>, closure: &Closure) -> bool {
    let is_over_night = closure.end.date() > closure.start.date();
    let (from, until): (NaiveTime, NaiveTime) = (closure.start.time(), closure.end.time());
    street.is_some_and(|street| {
        let mut hours = street.traffic_sensitive.iter();
        hours.any(|hours| is_over_night || (from < hours.until && hours.from < until))
    })
}

/// Works that start before the law lets them, where no permit is stated.
fn late(job: &Job, closure: &Closure, notice: &Notice) -> Option<Finding> {
    let earliest = notice.earliest?;
    let start = closure.start.date();
    if job.permit.is_some() || start >= earliest {
        return None;
    }
    let missed = notice.steps.iter().find(|step| step.missed);
    let missed = missed.map_or(String::new(), |step| {
        format!(
            " {} was due by {}.",
            step.what,
            step.by.format("%-d %B %Y %H:%M")
        )
    });
    let text = format!(
        "Job {} is planned for {start}; told today, its works may start on {earliest} at the \
         earliest.{missed}",
        job.id
    );
    let remedy = "State its permit, ask the authority for an early start, or plan it later.";
    Some(Finding::warning("T-LATE", text, remedy).at(job.id.as_str()))
}

#[cfg(test)]
mod tests {
    use gangday_model::Nation;

    use crate::rules::Rules;

    /// Code of Practice (October 2013), signing page and glossary: 60 minutes, 30 in Scotland.
    #[test]
    fn short_duration_ends_at_60_minutes_and_in_scotland_at_30() {
        let minutes = |nation| Rules::shipped().short_duration_minutes(nation) as u32;
        assert_eq!(minutes(Nation::England), 60);
        assert_eq!(minutes(Nation::Wales), 60);
        assert_eq!(minutes(Nation::Scotland), 30);
    }
}
