//! Deadlines and closures as a calendar.

use gangday_files::{CalendarEntry, write_calendar};
use gangday_model::{Closure, JobId, Notice, NoticeStep};
use gangday_traffic::StreetNames;

use crate::attributions;
use crate::closures::Public;
use crate::opened::Opened;
use crate::words;

/// The closures and deadlines of a plan as iCalendar (RFC 5545).
///
/// The day it is stamped with is the programme's own, so that the same plan gives the same bytes.
#[must_use]
pub fn calendar(opened: &Opened, public: &Public) -> Vec<u8> {
    let prepared = &opened.prepared;
    let programme = &prepared.programme;
    let writing = Writing {
        town: slug(&programme.name),
        streets: prepared.street_names(),
    };
    let place = |job: &JobId| prepared.place_of(job);
    let mut entries = Vec::new();
    for closure in &public.closures {
        let mut entry = writing.closure(closure);
        entry.place = place(&closure.job);
        entries.push(entry);
    }
    for notice in &public.notices {
        let steps = notice.steps.iter();
        entries.extend(steps.map(|step| writing.deadline(notice, step)));
    }
    entries.sort_by(|a, b| (a.from, &a.uid).cmp(&(b.from, &b.uid)));
    let stamp = programme.week.today.unwrap_or(programme.week.first_day);
    let named = attributions::in_one_line(prepared);
    write_calendar(&programme.name, named.as_deref(), stamp, &entries)
}

/// What every entry is written with.
struct Writing<'a> {
    town: String,
    streets: &'a StreetNames,
}

impl Writing<'_> {
    fn closure(&self, closure: &Closure) -> CalendarEntry {
        let street = closure.street.as_ref().map(|id| self.streets.word(id));
        let place = street.map_or(String::new(), |street| format!(", {street}"));
        CalendarEntry {
            uid: self.uid("closure", &closure.job),
            summary: format!("{}{place} ({})", words::closed(closure), closure.job),
            description: format!(
                "{}\n{} For planning only; the street authority's word goes before it.",
                closure.because,
                worked_by(closure)
            ),
            from: closure.start,
            until: Some(closure.end),
            place: None,
            category: "Closure".to_owned(),
        }
    }

    fn deadline(&self, notice: &Notice, step: &NoticeStep) -> CalendarEntry {
        CalendarEntry {
            uid: self.uid(&format!("deadline-{}", step.step), &notice.job),
            summary: format!("Last moment: {} ({})", step.what.to_lowercase(), notice.job),
            description: format!(
                "{}: {} ({}). {} Check the law in force and the authority's conditions.",
                step.what, step.rule, step.source, notice.because
            ),
            from: step.by,
            until: None,
            place: None,
            category: "Deadline".to_owned(),
        }
    }

    /// The same job of the same programme keeps its entries, however often it is planned anew.
    fn uid(&self, what: &str, job: &JobId) -> String {
        format!("{what}-{}@{}.gangday", slug(job.as_str()), self.town)
    }
}

/// `Gang G1.`
fn worked_by(closure: &Closure) -> String {
    match closure.worked {
        Some(_) => format!("Gang {}.", closure.gang),
        None => "It stands open, and nobody works there in the week.".to_owned(),
    }
}

/// Letters and digits as they are, whatever else as its number, so that no two names fall together.
fn slug(name: &str) -> String {
    let part = |letter: char| match letter {
        'a'..='z' | 'A'..='Z' | '0'..='9' => letter.to_string(),
        ' ' => "-".to_owned(),
        other => format!("_{:x}", u32::from(other)),
    };
    name.chars().map(part).collect()
}

#[cfg(test)]
mod tests {
    use super::slug;

    #[test]
    fn no_two_names_fall_together() {
        assert_eq!(slug("Sallowby, week 9"), "Sallowby_2c-week-9");
        assert_ne!(slug("a-b"), slug("a b"));
    }
}
