//! Changes a programme folder so that each week is held by another mixture of rules.

use std::fs;
use std::path::Path;

use gangday_tests::sample::Chance;
use serde_json::{Value, json};

/// The days of the week that the sample writes, and two days of a weekend.
const DATES: [&str; 7] = [
    "2027-03-01",
    "2027-03-02",
    "2027-03-03",
    "2027-03-04",
    "2027-03-05",
    "2027-03-06",
    "2027-03-07",
];

/// Site hours that a job may have: short and long, before noon and after, in the evening.
const SITE_HOURS: [&[[&str; 2]]; 6] = [
    &[["09:30", "15:30"]],
    &[["07:30", "12:00"], ["12:30", "17:30"]],
    &[["08:00", "11:00"]],
    &[["10:00", "18:30"]],
    &[["18:00", "23:30"]],
    &[["00:00", "08:45"], ["09:15", "15:15"], ["15:45", "23:59"]],
];

/// Shifts: the usual one, a short one, one past 11 h of duty, a late one.
const SHIFTS: [[&str; 2]; 6] = [
    ["07:30", "16:30"],
    ["07:30", "16:30"],
    ["08:00", "13:00"],
    ["06:00", "17:30"],
    ["13:00", "21:00"],
    ["18:00", "23:30"],
];

const TICKETS: [&str; 4] = [
    "street works",
    "traffic control",
    "confined space",
    "lifting",
];

/// Mixes one folder; the same seed, the same mixture.
pub fn mix(week: &Path, seed: u64) {
    let mut chance = Chance::new(seed, 5);
    change(&week.join("week.json"), |week| days(week, &mut chance));
    change(&week.join("method.json"), |method| {
        figures(method, &mut chance);
    });
    change(&week.join("gangs.json"), |gangs| {
        for gang in gangs["gangs"].as_array_mut().expect("gangs") {
            self::gang(gang, &mut chance);
        }
    });
    change(&week.join("jobs.geojson"), |jobs| {
        for job in jobs["features"].as_array_mut().expect("jobs") {
            self::job(&mut job["properties"], &mut chance);
        }
    });
    leave(week, &mut Chance::new(seed, 6));
}

/// Nights over which jobs may be left: by the week now and then, and some jobs by their own word, which
/// take longer too.
fn leave(week: &Path, chance: &mut Chance) {
    if chance.in_hundred(30) {
        change(&week.join("week.json"), |week| {
            week["nights"] = json!(chance.pick(&[1, 2, 3]));
            week["over_weekend"] = json!(chance.in_hundred(40));
        });
    }
    change(&week.join("jobs.geojson"), |jobs| {
        for job in jobs["features"].as_array_mut().expect("jobs") {
            let own = &mut job["properties"];
            if !chance.in_hundred(35) {
                continue;
            }
            own["nights"] = json!(chance.pick(&[0, 1, 1, 2, 4]));
            own["over_weekend"] = json!(chance.in_hundred(50));
            if own["work"] != "adjust" && chance.in_hundred(60) {
                own["clear_length_mm"] = json!(chance.pick(&[1_500, 2_100, 2_800]));
                own["sections"] = json!(chance.pick(&[8, 11]));
            }
        }
    });
}

fn change(path: &Path, how: impl FnOnce(&mut Value)) {
    let read = fs::read(path).expect("the file is there");
    let mut value: Value = serde_json::from_slice(&read).expect("it is JSON");
    how(&mut value);
    fs::write(path, value.to_string()).expect("it can be written");
}

/// How many days, which are holidays, and how cold each is.
fn days(week: &mut Value, chance: &mut Chance) {
    week["days"] = json!(chance.pick(&[1, 2, 4, 5, 5, 7]));
    if chance.in_hundred(20) {
        week["holidays"] = json!([chance.pick(&DATES)]);
    }
    week["temperature_c"] = json!(chance.pick(&[-2, 3, 8, 10, 16, 27]));
    let some = DATES.iter().filter(|_| chance.in_hundred(30));
    let some: Vec<&str> = some.copied().collect();
    let each = some.iter().map(|date| {
        let celsius = chance.pick(&[-4, 1, 4, 6, 12, 24]);
        ((*date).to_owned(), json!(celsius))
    });
    week["temperatures"] = Value::Object(each.collect());
}

/// Keys of figures, their values and units.
const FIGURES: [(&str, &[f64], &str); 18] = [
    ("break.min", &[0.0, 20.0, 45.0], "min"),
    ("break.after_h", &[4.0, 6.0], "h"),
    ("driving.most_h", &[0.4, 1.0, 10.0], "h"),
    ("driving.little_h", &[0.2, 0.5, 4.0], "h"),
    ("duty.most_h", &[7.0, 8.5, 11.0], "h"),
    ("vibration.limit_value", &[2.0, 3.0, 5.0], "m/s2 A(8)"),
    ("vibration.sharing", &[1.0, 2.0], "operatives taking turns"),
    ("haulage.tip_min", &[5.0, 15.0, 40.0], "min"),
    ("haulage.reload_min", &[10.0, 25.0, 60.0], "min"),
    ("clash.weight.one_street", &[1.0, 2.0, 3.0], "0 to 3"),
    ("clash.weight.near", &[1.0, 2.0, 3.0], "0 to 3"),
    ("clash.weight.sensitive", &[1.0, 2.0, 3.0], "0 to 3"),
    ("gap.after_base_min", &[100.0, 240.0, 400.0], "min"),
    ("gap.after_surround_min", &[60.0, 120.0, 240.0], "min"),
    ("road.hour.07", &[1.4, 2.0], "times the usual journey"),
    ("road.hour.08", &[0.8, 2.5], "times the usual journey"),
    ("road.hour.12", &[1.2, 0.6], "times the usual journey"),
    ("road.hour.16", &[1.7, 3.0], "times the usual journey"),
];

fn figures(method: &mut Value, chance: &mut Chance) {
    let rows = method["parameters"].as_array_mut().expect("rows");
    for (key, values, unit) in FIGURES {
        if chance.in_hundred(35) {
            let value = chance.pick(values);
            rows.push(json!({
                "key": key, "value": value, "unit": unit,
                "source": "this test", "date": "2027-02-25",
            }));
        }
    }
}

/// Another vehicle, shift, days and tickets.
fn gang(gang: &mut Value, chance: &mut Chance) {
    gang["shift"] = json!(chance.pick(&SHIFTS));
    gang["overtime_min"] = json!(chance.pick(&[0, 29, 60, 120]));
    gang["payload_kg"] = json!(chance.pick(&[1_500, 3_500, 6_000, 9_000]));
    gang["volume_m3"] = json!(chance.pick(&[1.2, 2.5, 8.0]));
    gang["people"] = json!(chance.pick(&[2, 3, 4]));
    if chance.in_hundred(25) {
        let own = DATES.iter().filter(|_| chance.in_hundred(60));
        gang["days"] = json!(own.collect::<Vec<_>>());
    }
    let held = TICKETS.iter().filter(|_| chance.in_hundred(75));
    gang["tickets"] = json!(held.collect::<Vec<_>>());
}

/// Other hours, dates, tickets and closures for some jobs.
fn job(job: &mut Value, chance: &mut Chance) {
    if chance.in_hundred(30) {
        job["site_hours"] = json!(chance.pick(&SITE_HOURS));
    }
    if chance.in_hundred(15) {
        job["earliest"] = json!(chance.pick(&DATES));
    }
    if chance.in_hundred(15) {
        job["latest"] = json!(chance.pick(&DATES));
    }
    if chance.in_hundred(15) {
        job["tickets"] = json!([chance.pick(&TICKETS)]);
    }
    if chance.in_hundred(20) {
        job["closure"] = json!(chance.pick(&["none", "footway", "lane", "road"]));
    }
}
