//! What has to be told, by when, and what that makes the earliest start.

use chrono::{Days, Months, NaiveDate, NaiveDateTime, TimeDelta};
use gangday_model::{Nation, NoticeStep, WorksCategory};

use super::key;
use super::terms::NoticeTerms;
use crate::rules::Rules;

/// What steps are worked out from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asked<'a> {
    pub category: WorksCategory,
    pub start: NaiveDateTime,
    pub by_order: bool,
    /// Whether the street is traffic-sensitive at the time of the works.
    pub is_sensitive: bool,
    pub terms: &'a NoticeTerms,
}

/// How long before the start something has to be told.
#[derive(Clone, Copy)]
enum Lead {
    Months(&'static str),
    WorkingDays(&'static str),
    /// By a time of the day before.
    DayBefore(&'static str),
    HoursBefore(&'static str),
    HoursAfter(&'static str),
}

/// One step of a nation's law.
struct Step {
    name: &'static str,
    what: &'static str,
    lead: Lead,
}

const fn step(name: &'static str, what: &'static str, lead: Lead) -> Step {
    Step { name, what, lead }
}

fn law(asked: &Asked<'_>) -> Vec<Step> {
    let nation = asked.terms.edition.nation;
    let keys = key::of(nation);
    let is_scotland = nation == Nation::Scotland;
    let (first, then) = match nation {
        Nation::England => (
            "Apply for provisional advance authorisation",
            "Apply for the permit",
        ),
        _ => (
            "Give advance notice of major works",
            "Give notice of the works",
        ),
    };
    let days = |key| step("application", then, Lead::WorkingDays(key));
    match asked.category {
        WorksCategory::Major => vec![
            step("advance", first, Lead::Months(keys.major_months)),
            days(keys.major_days),
        ],
        WorksCategory::Standard => vec![days(keys.standard_days)],
        WorksCategory::Minor if is_scotland && !asked.is_sensitive => {
            vec![step("application", then, Lead::DayBefore(key::NOON))]
        }
        WorksCategory::Minor => vec![days(keys.minor_days)],
        WorksCategory::Immediate if is_scotland && asked.is_sensitive => {
            vec![step(
                "immediate",
                then,
                Lead::HoursBefore(keys.immediate_hours),
            )]
        }
        WorksCategory::Immediate => {
            vec![step(
                "immediate",
                then,
                Lead::HoursAfter(keys.immediate_hours),
            )]
        }
    }
}

impl Rules {
    /// What to do and by when, the first first.
    pub(super) fn steps(&self, asked: &Asked<'_>) -> Vec<NoticeStep> {
        let mut steps: Vec<NoticeStep> = law(asked)
            .iter()
            .map(|step| self.dated(step, asked))
            .collect();
        steps.extend(asked.by_order.then(|| self.order(asked)));
        steps.extend(self.told_start(asked));
        steps.sort_by_key(|step| step.by);
        steps
    }

    fn dated(&self, step: &Step, asked: &Asked<'_>) -> NoticeStep {
        let (by, rule, key) = self.lead(step.lead, asked);
        self.step_of(
            asked,
            (step.name, step.what),
            (by, rule),
            self.source(key).to_owned(),
        )
    }

    fn lead(&self, lead: Lead, asked: &Asked<'_>) -> (NaiveDateTime, String, &'static str) {
        let (holidays, start) = (&asked.terms.holidays, asked.start);
        let number = |key| self.value(key) as u32;
        match lead {
            Lead::Months(key) => {
                let day = holidays.on_or_before(start.date() - Months::new(number(key)));
                let rule = format!("{} months before the start", number(key));
                (self.closing(day), rule, key)
            }
            Lead::WorkingDays(key) => {
                let day = holidays.before(start.date(), number(key));
                let rule = format!("{} working days before the start", number(key));
                (self.closing(day), rule, key)
            }
            Lead::DayBefore(key) => {
                let day = holidays.on_or_before(start.date() - Days::new(1));
                let time = self.time(key);
                let rule = format!("by {} on the day before the start", time.format("%H:%M"));
                (day.and_time(time), rule, key)
            }
            Lead::HoursBefore(key) => {
                let rule = format!("{} hours before the start", number(key));
                (start - TimeDelta::hours(i64::from(number(key))), rule, key)
            }
            Lead::HoursAfter(key) => {
                let rule = format!("within {} hours of the start", number(key));
                (start + TimeDelta::hours(i64::from(number(key))), rule, key)
            }
        }
    }

    /// An order has to be published before it is made; the authority usually needs longer.
    fn order(&self, asked: &Asked<'_>) -> NoticeStep {
        let days = self.value(key::ORDER_PUBLISH) as u64;
        let by = self.closing(
            asked
                .terms
                .holidays
                .on_or_before(asked.start.date() - Days::new(days)),
        );
        let rule = format!("{days} days before the order is made, at the latest for the start");
        let what = ("order", "Have the closure order published");
        self.step_of(
            asked,
            what,
            (by, rule),
            self.source(key::ORDER_PUBLISH).to_owned(),
        )
    }

    /// England alone has its times of telling the start read.
    fn told_start(&self, asked: &Asked<'_>) -> Option<NoticeStep> {
        if asked.terms.edition.nation != Nation::England
            || asked.category == WorksCategory::Immediate
        {
            return None;
        }
        let by = self.start_told_by(asked.start, &asked.terms.holidays);
        let rule =
            "two hours after the start, or 10:00 of a working day, by the time of day".to_owned();
        let what = ("start", "Tell the actual start");
        Some(self.step_of(
            asked,
            what,
            (by, rule),
            self.source(key::START_AFTER).to_owned(),
        ))
    }

    fn step_of(
        &self,
        asked: &Asked<'_>,
        (name, what): (&str, &str),
        (by, rule): (NaiveDateTime, String),
        source: String,
    ) -> NoticeStep {
        NoticeStep {
            step: name.to_owned(),
            what: what.to_owned(),
            missed: asked.terms.today.is_some_and(|today| by.date() < today),
            by,
            rule,
            source,
        }
    }

    /// The first day on which works may start where everything is told on this day, in time.
    pub(super) fn earliest(&self, asked: &Asked<'_>, today: NaiveDate) -> NaiveDate {
        let holidays = &asked.terms.holidays;
        let told = holidays.on_or_after(today);
        let number = |key| self.value(key) as u32;
        let after = |step: &Step| match step.lead {
            Lead::Months(key) => months_after(told, Months::new(number(key))),
            Lead::WorkingDays(key) => holidays.after(told, number(key)),
            Lead::DayBefore(_) => told + Days::new(1),
            Lead::HoursBefore(_) | Lead::HoursAfter(_) => today,
        };
        let by_law = law(asked).iter().map(after).max().unwrap_or(today);
        let published = told + Days::new(self.value(key::ORDER_PUBLISH) as u64);
        if asked.by_order {
            by_law.max(published)
        } else {
            by_law
        }
    }
}

/// The first day that lies so many months after another, told backward as well as forward: three
/// months before 30 June is 30 March, so what is told on 31 March is in time for 1 July.
fn months_after(told: NaiveDate, months: Months) -> NaiveDate {
    let day = told + months;
    if day - months < told {
        day + Days::new(1)
    } else {
        day
    }
}

#[cfg(test)]
mod tests {
    use super::super::editions::usual;
    use super::*;
    use crate::holidays::Holidays;

    fn terms(nation: Nation) -> NoticeTerms {
        NoticeTerms {
            edition: usual(nation),
            holidays: Holidays::of(nation),
            today: None,
        }
    }

    fn asked<'a>(terms: &'a NoticeTerms, category: WorksCategory, start: &str) -> Asked<'a> {
        Asked {
            category,
            start: start.parse().unwrap(),
            by_order: false,
            is_sensitive: false,
            terms,
        }
    }

    fn by(asked: &Asked<'_>, name: &str) -> String {
        let steps = Rules::shipped().steps(asked);
        let step = steps.iter().find(|step| step.step == name).unwrap();
        step.by.format("%a %-d %b %Y %H:%M").to_string()
    }

    /// English permits, from memory: application 10 working days before standard works and 3 before
    /// minor ones. The bank holidays of Easter 2026 don't count.
    #[test]
    fn an_english_permit_is_asked_for_working_days_ahead() {
        let terms = terms(Nation::England);
        let minor = asked(&terms, WorksCategory::Minor, "2026-04-08T08:00:00");
        assert_eq!(by(&minor, "application"), "Wed 1 Apr 2026 16:30");
        let standard = asked(&terms, WorksCategory::Standard, "2026-04-08T08:00:00");
        assert_eq!(by(&standard, "application"), "Mon 23 Mar 2026 16:30");
    }

    /// Major works: three months' notice (Scottish co-ordination code, ch. 5), here back to a
    /// Saturday and so to the Friday before it.
    #[test]
    fn major_works_are_told_three_months_ahead_on_a_working_day() {
        let terms = terms(Nation::England);
        let major = asked(&terms, WorksCategory::Major, "2026-06-07T08:00:00");
        assert_eq!(by(&major, "advance"), "Fri 6 Mar 2026 16:30");
        let steps = Rules::shipped().steps(&major);
        assert_eq!(steps[0].step, "advance");
        assert!(steps.iter().any(|step| step.step == "application"));
    }

    /// SSI 2008/88 reg. 7, as made: on a road that is not traffic-sensitive, minor works that break
    /// it up by noon on the day before; s. 114 of the Act, 7 working days, where nothing else is
    /// said. Urgent works: 2 hours ahead where sensitive, within 2 hours of the start where not.
    #[test]
    fn scotland_tells_minor_works_by_noon_of_the_day_before() {
        let terms = terms(Nation::Scotland);
        let start = "2026-03-10T08:00:00";
        let minor = asked(&terms, WorksCategory::Minor, start);
        assert_eq!(by(&minor, "application"), "Mon 9 Mar 2026 12:00");
        let sensitive = Asked {
            is_sensitive: true,
            ..minor
        };
        assert_eq!(by(&sensitive, "application"), "Fri 27 Feb 2026 16:30");
        let urgent = asked(&terms, WorksCategory::Immediate, start);
        assert_eq!(by(&urgent, "immediate"), "Tue 10 Mar 2026 10:00");
        let urgent = Asked {
            is_sensitive: true,
            ..urgent
        };
        assert_eq!(by(&urgent, "immediate"), "Tue 10 Mar 2026 06:00");
    }

    /// English immediate works, from memory: within 2 hours of the start, and nothing before it.
    #[test]
    fn immediate_works_are_told_within_two_hours_of_their_start() {
        let terms = terms(Nation::England);
        let urgent = asked(&terms, WorksCategory::Immediate, "2026-03-07T23:30:00");
        assert_eq!(by(&urgent, "immediate"), "Sun 8 Mar 2026 01:30");
        assert_eq!(Rules::shipped().steps(&urgent).len(), 1);
    }

    /// Wales and Northern Ireland, from memory: shown with their source so.
    #[test]
    fn what_is_from_memory_says_so() {
        for nation in [Nation::Wales, Nation::NorthernIreland] {
            let terms = terms(nation);
            let minor = asked(&terms, WorksCategory::Minor, "2026-03-10T08:00:00");
            let steps = Rules::shipped().steps(&minor);
            assert!(steps[0].source.starts_with("from memory"), "{nation:?}");
        }
    }

    /// Order procedure, from memory: published 7 days before it is made.
    #[test]
    fn an_order_is_published_seven_days_ahead() {
        let terms = terms(Nation::England);
        let order = Asked {
            by_order: true,
            ..asked(&terms, WorksCategory::Major, "2026-06-10T08:00:00")
        };
        assert_eq!(by(&order, "order"), "Wed 3 Jun 2026 16:30");
    }

    /// Told on the last day that counts, works may start on their day; told a working day later,
    /// they may not.
    #[test]
    fn the_earliest_start_and_the_last_day_to_tell_agree() {
        let rules = Rules::shipped();
        for nation in [
            Nation::England,
            Nation::Wales,
            Nation::Scotland,
            Nation::NorthernIreland,
        ] {
            let terms = terms(nation);
            for (category, name) in [
                (WorksCategory::Minor, "application"),
                (WorksCategory::Standard, "application"),
                (WorksCategory::Major, "advance"),
            ] {
                for offset in 0..400 {
                    let day = NaiveDate::from_ymd_opt(2026, 1, 1).unwrap() + Days::new(offset);
                    let day = terms.holidays.on_or_after(day);
                    let start = day.and_hms_opt(8, 0, 0).unwrap();
                    let asked = Asked {
                        start,
                        ..asked(&terms, category, "2026-01-01T08:00:00")
                    };
                    let steps = rules.steps(&asked);
                    let last = steps.iter().find(|step| step.step == name).unwrap();
                    let last = last.by.date();
                    assert!(rules.earliest(&asked, last) <= day, "{nation:?} {day}");
                    let late = terms.holidays.next(last);
                    assert!(rules.earliest(&asked, late) > day, "{nation:?} {day}");
                }
            }
        }
    }
}
