//! Made-up programmes within what a file may say, with all kinds of unknown properties.

use chrono::{NaiveDate, NaiveTime};
use gangday_model::{
    ClosureKind, Gang, Hours, Job, LoadClass, LonLat, Mass, Millimetres, Nation, Parameter,
    Position, Seconds, Sizes, Street, StreetId, Tip, Week, Work,
};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::{Map, Value, json};

fn date() -> impl Strategy<Value = NaiveDate> {
    (2020..2060i32, 1..=366u32).prop_filter_map("a day of the year", |(year, day)| {
        NaiveDate::from_yo_opt(year, day)
    })
}

fn hours() -> impl Strategy<Value = Hours> {
    let time = |seconds| NaiveTime::from_num_seconds_from_midnight_opt(seconds, 0);
    (0..86_000u32, 1..86_400u32).prop_filter_map("forward within a day", move |(from, until)| {
        let hours = Hours {
            from: time(from)?,
            until: time(until)?,
        };
        (hours.from < hours.until).then_some(hours)
    })
}

/// Within a district, so that no place is called far.
fn place() -> impl Strategy<Value = LonLat> {
    (-1.7..-1.4f64, 53.7..53.9f64).prop_map(|(lon, lat)| LonLat::new(lon, lat))
}

fn word() -> impl Strategy<Value = String> {
    prop_oneof!["[a-z]{1,8}", "\\PC{1,12}"].prop_filter("not blank", |text| !text.trim().is_empty())
}

fn value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(|number| json!(number)),
        "\\PC{0,10}".prop_map(Value::from),
    ];
    leaf.prop_recursive(3, 12, 4, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
            prop::collection::vec(("[a-z]{1,4}", inner), 0..4)
                .prop_map(|members| Value::Object(members.into_iter().collect())),
        ]
    })
}

fn extra() -> impl Strategy<Value = Map<String, Value>> {
    prop::collection::vec(("own_\\PC{0,6}", value()), 0..4)
        .prop_map(|members| members.into_iter().collect())
}

fn mm(least: i64, most: i64) -> impl Strategy<Value = Option<Millimetres>> {
    option::of((least..=most).prop_map(Millimetres::from_mm))
}

fn sizes() -> impl Strategy<Value = Sizes> {
    let clear = (100..=6000i64, 100..=6000i64, 1..=100u32);
    let frame = (mm(25, 2000), mm(5, 500), mm(200, 2000), mm(0, 200));
    let top = (
        mm(10, 600),
        mm(100, 7000),
        mm(100, 7000),
        mm(0, 300),
        mm(0, 2000),
    );
    (clear, frame, top).prop_map(|((length, width, sections), frame, top)| Sizes {
        clear_length: Some(Millimetres::from_mm(length)),
        clear_width: Some(Millimetres::from_mm(width)),
        sections: Some(sections),
        section_depth: frame.0,
        wall: frame.1,
        base: frame.2,
        embed: frame.3,
        ironwork_depth: top.0,
        ironwork_length: top.1,
        ironwork_width: top.2,
        bedding: top.3,
        margin: top.4,
    })
}

pub fn job() -> impl Strategy<Value = Job> {
    let kind = (
        select(vec![Work::New, Work::Replace, Work::Adjust]),
        select(vec![
            Position::Verge,
            Position::Footway,
            Position::CycleTrack,
            Position::Carriageway,
        ]),
        option::of(select(vec![
            LoadClass::A15,
            LoadClass::D400,
            LoadClass::F900,
        ])),
        option::of(select(vec![
            ClosureKind::None,
            ClosureKind::Lane,
            ClosureKind::Road,
        ])),
    );
    let dates = option::of((date(), 0..30u64));
    let words = (option::of(word()), option::of(word()), option::of(word()));
    let lists = (
        prop::collection::vec(hours(), 0..3),
        prop::collection::vec(word(), 0..3),
    );
    (
        word(),
        place(),
        kind,
        sizes(),
        dates,
        words,
        lists,
        1..=5u8,
        extra(),
    )
        .prop_map(
            |(id, at, kind, sizes, dates, words, lists, priority, extra)| {
                let latest =
                    dates.and_then(|(first, days)| first.checked_add_days(chrono::Days::new(days)));
                Job {
                    sizes,
                    load_class: kind.2,
                    closure: kind.3,
                    earliest: dates.map(|(first, _)| first),
                    latest,
                    ground: words.0,
                    street: words.1.map(StreetId::new),
                    permit: words.2,
                    site_hours: lists.0,
                    tickets: lists.1,
                    priority,
                    extra,
                    ..Job::new(id.as_str(), at, kind.0, kind.1)
                }
            },
        )
}

pub fn street() -> impl Strategy<Value = Street> {
    let lines = prop::collection::vec(prop::collection::vec(place(), 2..5), 1..3);
    let numbers = (
        option::of(0..=4u8),
        option::of(5..=100u32),
        option::of(0.5..60.0f64),
        option::of(0.0..1000.0f64),
    );
    let times = (prop::collection::vec(hours(), 0..3), option::of(date()));
    (
        word(),
        option::of(word()),
        numbers,
        any::<bool>(),
        times,
        lines,
        extra(),
    )
        .prop_map(|(id, name, numbers, one_way, times, lines, extra)| Street {
            id: StreetId::new(id),
            name,
            road_type: numbers.0,
            speed_limit_mph: numbers.1,
            width_m: numbers.2,
            one_way,
            flow_per_3_min: numbers.3,
            traffic_sensitive: times.0,
            restricted_until: times.1,
            lines,
            extra,
        })
}

pub fn gang() -> impl Strategy<Value = Gang> {
    let load = (option::of(0..50_000_000i64), option::of(0.0..1000.0f64));
    let time = (
        hours(),
        0..86_400i64,
        option::of(prop::collection::vec(date(), 0..4)),
    );
    (
        word(),
        word(),
        place(),
        1..=100u32,
        prop::collection::vec(word(), 0..3),
        load,
        time,
        extra(),
    )
        .prop_map(
            |(id, name, depot, people, tickets, load, time, extra)| Gang {
                id: id.as_str().into(),
                name,
                depot,
                people,
                tickets,
                payload: load.0.map(|grams| Mass::from_kg(grams as f64 / 1e3)),
                volume_m3: load.1,
                shift: time.0,
                overtime: Seconds::from_seconds(time.1),
                days: time.2,
                extra,
            },
        )
}

pub fn tip() -> impl Strategy<Value = Tip> {
    (word(), word(), place(), extra()).prop_map(|(id, name, at, extra)| Tip {
        id: id.as_str().into(),
        name,
        at,
        extra,
    })
}

pub fn parameters() -> impl Strategy<Value = Vec<Parameter>> {
    let finite = any::<f64>().prop_filter("finite", |number| number.is_finite());
    let row = (word(), finite, word(), "\\PC{0,8}", "\\PC{0,8}", extra());
    let row = row.prop_map(|(key, value, unit, source, date, extra)| Parameter {
        key,
        value,
        unit,
        source,
        date,
        extra,
    });
    prop::collection::vec(row, 0..5)
}

pub fn week() -> impl Strategy<Value = Week> {
    let nations = vec![
        Nation::England,
        Nation::Wales,
        Nation::Scotland,
        Nation::NorthernIreland,
    ];
    let days = (
        date(),
        1..=60u32,
        prop::collection::vec(date(), 0..3),
        option::of(date()),
        (0..=60u32, any::<bool>(), option::of(date())),
    );
    (select(nations), days, -30.0..50.0f64, parameters(), extra()).prop_map(
        |(nation, days, temperature_c, rates, extra)| {
            let mut seen = std::collections::HashSet::new();
            let rates = rates
                .into_iter()
                .filter(|rate| seen.insert(rate.key.clone()))
                .collect();
            Week {
                nation,
                first_day: days.0,
                days: days.1,
                holidays: days.2,
                temperature_c,
                today: days.3,
                nights: days.4.0,
                over_weekend: days.4.1,
                plan_from: days.4.2,
                rates,
                extra,
            }
        },
    )
}
