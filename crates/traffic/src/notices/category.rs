//! The category that works fall into.

use chrono::NaiveDate;
use gangday_model::WorksCategory;

use super::editions::Counted;
use super::key;
use super::terms::NoticeTerms;
use crate::rules::Rules;

/// What a category is worked out from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facts {
    /// The first and the last planned day.
    pub days: (NaiveDate, NaiveDate),
    /// Whether it is an emergency or urgent.
    pub is_immediate: bool,
    /// Whether the road is closed by order.
    pub by_order: bool,
    /// Whether they stand in an annual operating programme.
    pub in_annual_programme: bool,
}

impl Rules {
    /// The category, and the rule in words.
    ///
    /// # Source
    /// England: SI 2009/303 reg. 3, as amended by SI 2020/122 reg. 6. Other nations as their edition
    /// says.
    pub(super) fn category(&self, facts: &Facts, terms: &NoticeTerms) -> (WorksCategory, String) {
        let keys = key::of(terms.edition.nation);
        let (days, day_words) = duration(facts, terms);
        let over = self.value(keys.major_over);
        let up_to = self.value(keys.minor_up_to);
        if facts.is_immediate {
            return (
                WorksCategory::Immediate,
                "Emergency or urgent works.".to_owned(),
            );
        }
        if facts.by_order {
            let because = "The road is closed by an order, so the works are major, however short.";
            return (WorksCategory::Major, because.to_owned());
        }
        if terms.edition.annual_programme && facts.in_annual_programme {
            let because = "The works stand in an annual operating programme.";
            return (WorksCategory::Major, because.to_owned());
        }
        let lasting = format!("They last {days} {day_words}");
        if f64::from(days) > over {
            return (
                WorksCategory::Major,
                format!("{lasting}, more than {over}."),
            );
        }
        if f64::from(days) <= up_to {
            return (
                WorksCategory::Minor,
                format!("{lasting}, not more than {up_to}."),
            );
        }
        let because = format!("{lasting}, more than {up_to} and not more than {over}.");
        (WorksCategory::Standard, because)
    }
}

fn duration(facts: &Facts, terms: &NoticeTerms) -> (u32, &'static str) {
    let (first, last) = facts.days;
    match terms.edition.days {
        Counted::Working => (terms.holidays.between(first, last), "working day(s)"),
        Counted::Calendar => {
            let days = (last - first).num_days() + 1;
            (u32::try_from(days).unwrap_or(0), "day(s)")
        }
    }
}

#[cfg(test)]
mod tests {
    use gangday_model::Nation;

    use super::*;
    use crate::holidays::Holidays;
    use crate::notices::editions::named;

    fn terms(id: &str) -> NoticeTerms {
        NoticeTerms {
            edition: named(id, Nation::England).unwrap(),
            holidays: Holidays::of(Nation::England),
            today: None,
        }
    }

    fn facts(first: &str, last: &str) -> Facts {
        Facts {
            days: (first.parse().unwrap(), last.parse().unwrap()),
            is_immediate: false,
            by_order: false,
            in_annual_programme: false,
        }
    }

    fn found(facts: &Facts, id: &str) -> WorksCategory {
        Rules::shipped().category(facts, &terms(id)).0
    }

    /// SI 2009/303 reg. 3 as amended by SI 2020/122 reg. 6: minor to 3 working days, standard 4 to
    /// 10, major from 11. Monday is 1 March 2027; no holiday is near.
    #[test]
    fn england_2020_sorts_by_working_days() {
        let upto = |last| found(&facts("2027-03-01", last), "england-2020");
        assert_eq!(upto("2027-03-01"), WorksCategory::Minor);
        assert_eq!(upto("2027-03-03"), WorksCategory::Minor);
        assert_eq!(upto("2027-03-04"), WorksCategory::Standard);
        assert_eq!(upto("2027-03-12"), WorksCategory::Standard);
        assert_eq!(upto("2027-03-14"), WorksCategory::Standard);
        assert_eq!(upto("2027-03-15"), WorksCategory::Major);
    }

    /// SI 2009/303 reg. 3(b): one day's works that need an order are major; a temporary traffic
    /// notice does not make them so.
    #[test]
    fn a_day_s_works_under_a_closure_order_are_major_and_under_a_notice_are_not() {
        let notice = facts("2027-03-01", "2027-03-01");
        let order = Facts {
            by_order: true,
            ..notice
        };
        assert_eq!(found(&order, "england-2020"), WorksCategory::Major);
        assert_eq!(found(&notice, "england-2020"), WorksCategory::Minor);
        let burst = Facts {
            is_immediate: true,
            ..order
        };
        assert_eq!(found(&burst, "england-2020"), WorksCategory::Immediate);
    }

    /// The text of 2009 counts days and has the annual programme; the amendment of 2020 counts
    /// working days and has not; local schemes may keep it.
    #[test]
    fn major_works_differ_between_2009_and_2020_and_local_schemes() {
        let eleven_days = facts("2027-03-01", "2027-03-11");
        assert_eq!(found(&eleven_days, "england-2009"), WorksCategory::Major);
        assert_eq!(found(&eleven_days, "england-2020"), WorksCategory::Standard);
        let planned = Facts {
            in_annual_programme: true,
            ..facts("2027-03-01", "2027-03-01")
        };
        assert_eq!(found(&planned, "england-2009"), WorksCategory::Major);
        assert_eq!(found(&planned, "england-2020"), WorksCategory::Minor);
        assert_eq!(found(&planned, "england-local"), WorksCategory::Major);
    }
}
