//! Mixing, compaction, work, waits and vibration, followed back.

use gangday_model::{Finding, Job, Stage, TakeOff, WaitKind};

use super::traced::{Tables, plain};
use super::{Explained, Explaining};
use crate::activities::Activity;
use crate::compaction::CompactedLift;
use crate::vibration::{DayVibration, day_vibration};

pub(super) fn concrete(
    explaining: &Explaining,
    taken: &TakeOff,
    tables: &Tables,
) -> Result<Vec<Explained>, Vec<Finding>> {
    let rules = explaining.rules;
    let slower = rules.outputs.slower(explaining.conditions.people)?;
    let mut all = Vec::new();
    for pour in rules.pours.pours(taken, slower) {
        let what = match pour.stage {
            Stage::Base => "base",
            _ => "surround",
        };
        let bags = format!(
            "up({} / {})",
            plain(pour.volume_m3),
            tables.value("pack.concrete.yield")
        );
        let value = (f64::from(pour.bags), "bags");
        let name = format!("bags in the {what}");
        all.push(tables.tell(
            &name,
            value,
            "volume / yield",
            bags,
            &["pack.concrete.yield"],
        ));
        let batches = format!("up({} / {})", pour.bags, pour.bags_per_batch);
        let keys = [
            "output.concrete",
            "open_time.concrete",
            "mixer.count",
            "mixer.batches_most",
            "pack.concrete.yield",
        ];
        let formula = "bags / as many whole bags as are mixed and placed in the open time";
        let value = (f64::from(pour.batches), "batches");
        all.push(tables.tell(
            &format!("batches in the {what}"),
            value,
            formula,
            batches,
            &keys,
        ));
        let full = pour.bags_per_batch.min(pour.bags);
        let water = format!("{full} x {}", tables.value("pack.concrete.water"));
        let keys = ["pack.concrete.water", "pack.concrete.water_extra"];
        let formula = "bags in a batch x water a bag; the permitted extra is besides";
        let value = (pour.water_per_batch_l, "l");
        all.push(tables.tell(
            &format!("water in a batch of the {what}"),
            value,
            formula,
            water,
            &keys,
        ));
        all.push(more_water(what, full, tables));
    }
    Ok(all)
}

/// What may be added to a batch besides its water.
fn more_water(what: &str, bags: u32, tables: &Tables) -> Explained {
    let key = "pack.concrete.water_extra";
    let extra = tables.value(key);
    tables.tell(
        &format!("more water permitted in a batch of the {what}"),
        (f64::from(bags) * extra, "l"),
        "bags in a batch x what may be added a bag",
        format!("{bags} x {extra}"),
        &[key],
    )
}

pub(super) fn stages(
    explaining: &Explaining,
    job: &Job,
    taken: &TakeOff,
    tables: &Tables,
) -> Result<Vec<Explained>, Vec<Finding>> {
    let (rules, conditions) = (explaining.rules, explaining.conditions);
    let slower = rules.outputs.slower(conditions.people)?;
    let activities = rules.activities(job, taken, conditions.people)?;
    let mut all = Vec::new();
    for stage in rules.stage_work(job, taken, conditions)?.stages {
        let own: Vec<_> = activities
            .iter()
            .filter(|own| own.stage == stage.stage)
            .collect();
        all.extend(
            own.iter()
                .map(|own| activity(own, slower, rules.pours.mixers, tables)),
        );
        let parts: Vec<String> = own.iter().map(|own| plain(own.minutes)).collect();
        let numbers = format!("up({})", parts.join(" + "));
        let keys: Vec<&str> = own.iter().map(|own| own.key).collect();
        let value = (stage.work.minutes_up() as f64, "min");
        let name = format!("{:?}, work", stage.stage);
        all.push(tables.tell(
            &name,
            value,
            "its activities, in whole minutes",
            numbers,
            &keys,
        ));
        if let Some(wait) = stage.then {
            all.push(waited(
                explaining,
                wait.kind,
                wait.time.minutes_up() as f64,
                tables,
            ));
        }
    }
    Ok(all)
}

fn activity(own: &Activity, slower: f64, mixers: f64, tables: &Tables) -> Explained {
    let (quantity, rate) = (plain(own.quantity), tables.value(own.key));
    let (slower, mixers) = (plain(slower), plain(mixers));
    let name = format!("{:?}: {}", own.stage, own.what);
    let mut keys = vec![own.key];
    let (formula, numbers) = if own.key == "lift.walking_speed" {
        keys.push("chamber.plate");
        keys.extend(own.lifts.iter().map(|lift| lift.row));
        keys.dedup();
        let plate = tables.value("chamber.plate");
        let passed =
            |lift: &CompactedLift<'_>| format!("{} x {}", lift.passes, plain(lift.area_m2));
        let passed: Vec<String> = own.lifts.iter().map(passed).collect();
        (
            "passes x area of each lift / (plate width x walking speed)",
            format!("({}) / ({plate} / 1000 x {rate})", passed.join(" + ")),
        )
    } else if own.unit == "no." {
        ("number x minutes each", format!("{quantity} x {rate}"))
    } else if own.key == "output.concrete" {
        keys.extend(["gang.people", "mixer.count"]);
        (
            "quantity / output x 60 x gang / mixers",
            format!("{quantity} / {rate} x 60 x {slower} / {mixers}"),
        )
    } else {
        keys.push("gang.people");
        (
            "quantity / output x 60 x usual gang / this one",
            format!("{quantity} / {rate} x 60 x {slower}"),
        )
    };
    tables.tell(&name, (own.minutes, "min"), formula, numbers, &keys)
}

/// The row of a wait, and what it is called.
pub(super) const fn waited_as(kind: WaitKind) -> (&'static str, &'static str) {
    match kind {
        WaitKind::BaseCure => ("wait.base_cure", "base cures"),
        WaitKind::MortarSet => ("wait.mortar_set", "mortar sets"),
        WaitKind::InitialSet => ("wait.initial_set", "surround sets"),
        WaitKind::Hold => ("wait.hold", "held from traffic"),
    }
}

fn waited(explaining: &Explaining, kind: WaitKind, minutes: f64, tables: &Tables) -> Explained {
    let (key, name) = waited_as(kind);
    let own = tables.value(key);
    let value = (minutes, "min");
    if kind == WaitKind::Hold {
        return tables.tell(
            name,
            value,
            "at any temperature",
            format!("up({own})"),
            &[key],
        );
    }
    let reference = tables.value("wait.reference_temperature");
    let celsius = explaining.conditions.celsius;
    if tables.value("wait.maturity") > 0.0 {
        let datum = tables.value("wait.datum_temperature");
        let numbers = format!("up({own} x ({reference} - ({datum})) / ({celsius} - ({datum})))");
        let keys = [
            key,
            "wait.datum_temperature",
            "wait.reference_temperature",
            "wait.maturity",
        ];
        return tables.tell(
            name,
            value,
            "time at the reference x (Tr - T0) / (T - T0)",
            numbers,
            &keys,
        );
    }
    let e_over_r = tables.value("wait.activation_e_over_r");
    let numbers = format!(
        "up({own} / exp(0 - {e_over_r} x (1 / ({celsius} + 273.15) - 1 / ({reference} + 273.15))))"
    );
    let keys = [
        key,
        "wait.activation_e_over_r",
        "wait.reference_temperature",
        "wait.maturity",
    ];
    let formula = "time at the reference / exp(-(E/R)(1/T - 1/Tr))";
    tables.tell(name, value, formula, numbers, &keys)
}

/// What this job's tools would be for one operative in one day.
pub(super) fn vibration(
    explaining: &Explaining,
    job: &Job,
    taken: &TakeOff,
) -> Result<DayVibration, Vec<Finding>> {
    let people = explaining.conditions.people;
    let activities = explaining.rules.activities(job, taken, people)?;
    let held = activities
        .iter()
        .filter_map(|own| Some((own.tool?, own.minutes)));
    day_vibration(held, people.unwrap_or(u32::MAX), explaining.method)
}

pub(super) fn exposure(day: &DayVibration, tables: &Tables) -> Explained {
    let parts: Vec<String> = day
        .tools
        .iter()
        .map(|tool| {
            format!(
                "2 x {} x {} x {} / 60",
                tool.magnitude,
                tool.magnitude,
                plain(tool.minutes)
            )
        })
        .collect();
    let numbers = if parts.is_empty() {
        "0".to_owned()
    } else {
        parts.join(" + ")
    };
    let keys: Vec<String> = day
        .tools
        .iter()
        .map(|tool| format!("vibration.{}", tool.tool))
        .collect();
    let mut keys: Vec<&str> = keys.iter().map(String::as_str).collect();
    keys.extend([
        "vibration.sharing",
        "vibration.action_value",
        "vibration.limit_value",
    ]);
    let formula = "2 a^2 t for each tool; 100 points at the action value, 400 at the limit";
    tables.tell(
        "vibration of one operative from this job",
        (day.points, "points"),
        formula,
        numbers,
        &keys,
    )
}
