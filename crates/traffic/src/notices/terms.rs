//! What a programme says of the law that its notices are given under.

use chrono::NaiveDate;
use gangday_model::{Finding, Week};
use serde_json::Value;

use super::editions::{Edition, editions, named, usual};
use crate::holidays::Holidays;

/// The law, its holidays and the programme's day.
#[derive(Clone, Debug)]
pub struct NoticeTerms {
    /// Which edition of which nation's law.
    pub edition: &'static Edition,
    /// The days that don't count.
    pub holidays: Holidays,
    /// The day on which notice would be given.
    pub today: Option<NaiveDate>,
}

impl NoticeTerms {
    /// The terms that a week states: its nation, `notice_edition`, and `bank_holidays` with lists of
    /// dates to `add` and to `remove`.
    #[must_use]
    pub fn of_week(week: &Week) -> (Self, Vec<Finding>) {
        let mut findings = Vec::new();
        let edition = edition(week, &mut findings);
        let changes = week.extra.get("bank_holidays");
        let added = dates(changes, "add", &mut findings);
        let removed = dates(changes, "remove", &mut findings);
        let terms = Self {
            edition,
            holidays: Holidays::of(week.nation).changed(&added, &removed),
            today: week.today,
        };
        (terms, findings)
    }
}

fn edition(week: &Week, findings: &mut Vec<Finding>) -> &'static Edition {
    let usual = usual(week.nation);
    let Some(stated) = week.extra.get("notice_edition") else {
        return usual;
    };
    let known = stated.as_str().and_then(|id| named(id, week.nation));
    known.unwrap_or_else(|| {
        let known: Vec<&str> = editions()
            .iter()
            .filter(|edition| edition.nation == week.nation)
            .map(|edition| edition.id.as_str())
            .collect();
        let text = format!(
            "`notice_edition` {stated} is no edition of this nation's law that is known; {} is used.",
            usual.id
        );
        let remedy = format!("State one of {}.", known.join(", "));
        findings.push(Finding::warning("T-EDITION", text, remedy).of("notice_edition"));
        usual
    })
}

fn dates(changes: Option<&Value>, which: &str, findings: &mut Vec<Finding>) -> Vec<NaiveDate> {
    let Some(stated) = changes.and_then(|changes| changes.get(which)) else {
        return Vec::new();
    };
    let read: Option<Vec<NaiveDate>> = serde_json::from_value(stated.clone()).ok();
    read.unwrap_or_else(|| {
        let text = format!("`{which}` of `bank_holidays` is not a list of dates.");
        let remedy = "Write dates as 2026-06-15.";
        findings.push(Finding::warning("T-HOLIDAY", text, remedy).of("bank_holidays"));
        Vec::new()
    })
}

#[cfg(test)]
mod tests {
    use gangday_model::Nation;
    use serde_json::{Map, json};

    use super::*;

    fn week(extra: &Value) -> Week {
        Week {
            nation: Nation::Scotland,
            first_day: NaiveDate::default(),
            days: 5,
            holidays: Vec::new(),
            temperature_c: 10.0,
            today: None,
            rates: Vec::new(),
            nights: 0,
            over_weekend: false,
            plan_from: None,
            extra: extra.as_object().cloned().unwrap_or_else(Map::new),
        }
    }

    #[test]
    fn a_week_s_own_bank_holidays_count() {
        let stated = json!({"bank_holidays": {"add": ["2026-06-15"], "remove": ["2026-11-30"]}});
        let (terms, found) = NoticeTerms::of_week(&week(&stated));
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        assert!(found.is_empty());
        assert!(!terms.holidays.is_working_day(day("2026-06-15")));
        assert!(terms.holidays.is_working_day(day("2026-11-30")));
    }

    #[test]
    fn what_can_t_be_used_is_named() {
        let stated = json!({"bank_holidays": {"add": "soon"}, "notice_edition": "england-2020"});
        let (terms, found) = NoticeTerms::of_week(&week(&stated));
        let codes: Vec<_> = found.iter().map(|one| one.code.as_str()).collect();
        assert_eq!(codes, ["T-EDITION", "T-HOLIDAY"]);
        assert_eq!(terms.edition.id, "scotland-2008");
        assert!(found[0].remedy.contains("scotland-2008"));
    }
}
