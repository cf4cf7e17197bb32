//! Bank holidays against the list that GOV.UK publishes.

use gangday_model::Nation;
use gangday_traffic::Holidays;
use proptest::prelude::*;
use serde_json::Value;

/// Contains public sector information licensed under the Open Government Licence v3.0; the file
/// names its own source, and `tests/scripts/bank_holidays.py` makes it.
const PUBLISHED: &str = include_str!("data/bank-holidays.json");

const LISTS: [(&str, Nation); 4] = [
    ("england-and-wales", Nation::England),
    ("england-and-wales", Nation::Wales),
    ("scotland", Nation::Scotland),
    ("northern-ireland", Nation::NorthernIreland),
];

/// All three lists, 2012 to 2028, day by day: none missing and none too many.
#[test]
fn bank_holidays_are_those_that_are_published() {
    let published: Value = serde_json::from_str(PUBLISHED).unwrap();
    for (list, nation) in LISTS {
        let expected: Vec<&str> = published[list]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(Value::as_str)
            .collect();
        assert!(expected.len() >= 140, "{list}");
        let holidays = Holidays::of(nation);
        let found: Vec<String> = (2012..=2028)
            .flat_map(|year| holidays.of_year(year))
            .map(|holiday| holiday.date.to_string())
            .collect();
        assert_eq!(found, expected, "{list}");
    }
}

#[test]
fn every_holiday_names_its_act_or_its_list() {
    for (_, nation) in LISTS {
        for holiday in (2000..2040).flat_map(|year| Holidays::of(nation).of_year(year)) {
            assert!(!holiday.name.is_empty() && !holiday.source.is_empty());
        }
    }
}

proptest! {
    /// Counting forward and back meet, and what is counted is what lies between.
    #[test]
    fn working_days_count_the_same_both_ways(
        at in 0u64..9000,
        count in 0u32..60,
        list in 0usize..4,
    ) {
        let holidays = Holidays::of(LISTS[list].1);
        let start = chrono::NaiveDate::from_ymd_opt(2005, 1, 1).unwrap() + chrono::Days::new(at);
        let start = holidays.on_or_after(start);
        let end = holidays.after(start, count);
        prop_assert_eq!(holidays.before(end, count), start);
        prop_assert_eq!(holidays.between(start, end), count + 1);
    }
}
