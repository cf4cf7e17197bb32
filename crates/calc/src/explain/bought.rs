//! What is bought and carried for one job, followed back: price, last day to order, loads.

use chrono::{Days, NaiveDate};
use gangday_model::{MaterialLine, TakeOff, Week, Work};

use super::traced::{Tables, plain};
use super::{Explained, Traced};
use crate::order::{Carried, Rates, Sums, Vehicle, haulage, order, parts_out, supplied};

/// When a job's materials are needed, and what carries them.
#[derive(Clone, Copy, Debug, Default)]
pub struct Buying<'a> {
    /// The day that they are needed on, in its week; none where no day is known.
    pub needed: Option<(NaiveDate, &'a Week)>,
    /// The gang's vehicle.
    pub vehicle: Vehicle,
}

pub(super) fn bought(buying: &Buying<'_>, taken: &TakeOff, tables: &Tables) -> Vec<Explained> {
    let mut all = counted(taken, tables);
    all.extend(ready_mixed(taken, tables));
    all.extend(loose_bituminous(taken, tables));
    let bought = order("job", [taken], tables.materials).materials;
    let bought: Vec<_> = bought.iter().filter(|line| is_bought(line)).collect();
    all.extend(bought.iter().filter_map(|line| price(line, tables)));
    all.push(all_prices(&bought, tables));
    if let Some((needed, week)) = buying.needed {
        let order = order("job", [taken], tables.materials);
        let (order, _) = supplied(order, needed, week, tables.materials);
        let lines = order.materials.iter();
        all.extend(lines.filter_map(|line| last_day(line, needed, week, tables)));
    }
    all.extend(carried(&buying.vehicle, taken, tables));
    all
}

/// How the table spells what is bought; all hot mixtures share a row.
fn row(line: &MaterialLine) -> &str {
    match line.material.as_str() {
        mixture if mixture.starts_with("surfacing.") => "mixture",
        material => material,
    }
}

fn is_bought(line: &MaterialLine) -> bool {
    !matches!(
        line.material.as_str(),
        "spoil" | "spoil_loose" | "bituminous" | "old_ironwork"
    )
}

/// Sections, frames and old frames by number.
fn counted(taken: &TakeOff, tables: &Tables) -> Vec<Explained> {
    let mut all = Vec::new();
    if taken.work != Work::Adjust {
        let sections = f64::from(taken.sections);
        let numbers = format!("{sections}");
        let keys = ["chamber.sections"];
        let formula = "sections stacked";
        all.push(tables.tell(
            "Sections, ordered",
            (sections, "no."),
            formula,
            numbers,
            &keys,
        ));
        let formula = "one frame and cover a chamber built";
        let keys = ["ironwork.mass"];
        all.push(tables.tell(
            "Ironwork, ordered",
            (1.0, "no."),
            formula,
            "1".to_owned(),
            &keys,
        ));
    }
    if taken.work == Work::Replace {
        let mass = tables.value("ironwork.mass");
        let numbers = format!("1 x {mass} / 1000");
        let formula = "one frame and cover a chamber replaced x its mass";
        let value = (mass / 1e3, "t");
        all.push(tables.tell(
            "old ironwork away",
            value,
            formula,
            numbers,
            &["ironwork.mass"],
        ));
    }
    all
}

/// Pours that are large enough for a plant, each up to what it delivers by.
fn ready_mixed(taken: &TakeOff, tables: &Tables) -> Option<Explained> {
    let line = order("job", [taken], tables.materials).alternatives;
    let line = line.first()?;
    let (from, step) = ("ready_mixed.from", "ready_mixed.step");
    let volumes = &taken.volumes;
    let pours = [
        (volumes.base_concrete, "waste.base_concrete"),
        (volumes.surround_concrete, "waste.surround_concrete"),
    ];
    let large = |mm3: i64| mm3 as f64 / 1e9 >= tables.value(from);
    let by = tables.value(step);
    let pours = pours.into_iter().filter(|(pour, _)| large(pour.mm3()));
    let (mut parts, mut keys) = (Vec::new(), vec![from, step]);
    for (pour, waste) in pours {
        let share = tables.value(waste);
        parts.push(format!(
            "up({} x (1 + {share} / 100) / {by}) x {by}",
            plain(pour.mm3() as f64 / 1e9)
        ));
        keys.push(waste);
    }
    let formula = "each pour that is large enough, with its waste, up to what a plant delivers by";
    Some(tables.tell(
        "ready-mixed concrete in place of its bags",
        (line.ordered, "m3"),
        formula,
        parts.join(" + "),
        &keys,
    ))
}

fn loose_bituminous(taken: &TakeOff, tables: &Tables) -> Option<Explained> {
    let tonnes = taken.bituminous.tonnes();
    let (density, bulking) = ("density.bituminous", "bulking.bituminous");
    let loose = tonnes * 1e3 / tables.value(density) * tables.value(bulking);
    let numbers = format!(
        "{} x 1000 / {} x {}",
        plain(tonnes),
        tables.value(density),
        tables.value(bulking)
    );
    (tonnes > 0.0).then(|| {
        tables.tell(
            "bituminous arisings, loose on the wagon",
            (loose, "m3"),
            "mass / density in place x bulking",
            numbers,
            &[density, bulking],
        )
    })
}

/// Bags, units and tins by number; what is weighed or counted by its unit.
fn pieces(line: &MaterialLine) -> f64 {
    match &line.packs {
        Some(packs) if packs.name != "load" => f64::from(packs.count),
        _ => line.ordered,
    }
}

fn priced(line: &MaterialLine, tables: &Tables) -> f64 {
    tables.value(&format!("price.{}", row(line)))
}

/// A price in whole pence, where somebody has set one.
fn price(line: &MaterialLine, tables: &Tables) -> Option<Explained> {
    let key = format!("price.{}", row(line));
    let each = priced(line, tables);
    (each > 0.0).then(|| {
        tables.tell(
            &format!("{}, price", line.name),
            (pieces(line) * each, "p"),
            "ordered x price",
            format!("{} x {each}", plain(pieces(line))),
            &[key.as_str()],
        )
    })
}

fn all_prices(lines: &[&MaterialLine], tables: &Tables) -> Explained {
    let part = |line: &&&MaterialLine| {
        let each = priced(line, tables);
        (each > 0.0).then(|| format!("{} x {each}", plain(pieces(line))))
    };
    let parts: Vec<String> = lines.iter().filter_map(|line| part(&line)).collect();
    let value = lines.iter().map(|line| pieces(line) * priced(line, tables));
    let keys: Vec<String> = lines
        .iter()
        .map(|line| format!("price.{}", row(line)))
        .collect();
    let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
    let numbers = if parts.is_empty() {
        "0".to_owned()
    } else {
        parts.join(" + ")
    };
    tables.tell(
        "price of all that is ordered",
        (value.sum(), "p"),
        "what has a price set, added up; nothing is priced at 0",
        numbers,
        &keys,
    )
}

/// How many days before it is needed a line must be ordered at the latest.
fn last_day(
    line: &MaterialLine,
    needed: NaiveDate,
    week: &Week,
    tables: &Tables,
) -> Option<Explained> {
    let supply = line.supply.as_ref()?;
    let days = (needed - supply.order_by).num_days();
    let passed =
        (0..u64::try_from(days).ok()?).filter_map(|n| needed.checked_sub_days(Days::new(n + 1)));
    let idle = passed.filter(|day| !week.is_working_day(*day)).count();
    let key = format!("lead.{}", row(line));
    Some(tables.tell(
        &format!("{}, to be ordered by {}", line.name, supply.order_by),
        (days as f64, "days before"),
        &format!("lead time in working days + days on which nobody works before {needed}"),
        format!("{} + {idle}", days - idle as i64),
        &[key.as_str()],
    ))
}

/// What the gang's vehicle carries for this job, out and back, and in how many loads.
fn carried(vehicle: &Vehicle, taken: &TakeOff, tables: &Tables) -> Vec<Explained> {
    let rates = Rates::new(tables.materials);
    let parts = parts_out(&Sums::of([taken], &rates), &rates);
    let hauled = haulage([taken], vehicle, tables.materials);
    let masses: Vec<String> = parts.iter().map(|part| plain(part.mass_t)).collect();
    let volumes: Vec<String> = parts.iter().map(|part| plain(part.loose_m3)).collect();
    let out_keys = [
        "pack.concrete.mass",
        "density.bagged",
        "density.type1_loose",
        "density.topsoil",
        "density.section",
        "ironwork.mass",
    ];
    let back_keys = ["density.bank_soil", "bulking.bank_soil", "ironwork.mass"];
    let bound_keys = ["density.bituminous", "bulking.bituminous"];
    let mut all = Vec::new();
    let streams = [
        (
            "carried out to the job",
            &hauled.out,
            joined(&masses),
            joined(&volumes),
            &out_keys[..],
        ),
        (
            "carried back to the tip",
            &hauled.spoil,
            plain(hauled.spoil.mass_t),
            plain(hauled.spoil.loose_m3),
            &back_keys[..],
        ),
        (
            "bituminous arisings carried back",
            &hauled.bituminous,
            plain(hauled.bituminous.mass_t),
            plain(hauled.bituminous.loose_m3),
            &bound_keys[..],
        ),
    ];
    for (name, stream, mass, volume, keys) in streams {
        if stream.mass_t <= 0.0 {
            continue;
        }
        let formula = "masses added up";
        all.push(tables.tell(name, (stream.mass_t, "t"), formula, mass, keys));
        let formula = "loose volumes added up";
        let loose = format!("{name}, loose");
        all.push(tables.tell(&loose, (stream.loose_m3, "m3"), formula, volume, keys));
        all.push(trips(name, stream, vehicle, tables));
    }
    all
}

fn joined(parts: &[String]) -> String {
    if parts.is_empty() {
        return "0".to_owned();
    }
    parts.join(" + ")
}

/// By mass or by volume, whichever asks for more loads.
fn trips(name: &str, stream: &Carried, vehicle: &Vehicle, tables: &Tables) -> Explained {
    let payload = vehicle.payload_t.filter(|payload| *payload > 0.0);
    let by_mass = payload.unwrap_or_else(|| tables.value("load.payload"));
    let numbers = format!("up({} / {by_mass})", plain(stream.mass_t));
    let own = |key: &str, value: f64, unit: &str| Traced {
        key: key.to_owned(),
        value,
        unit: unit.to_owned(),
        source: "stated by its gang".to_owned(),
        date: String::new(),
    };
    let loads = (f64::from(stream.loads), "loads");
    let formula = "mass / payload, up; or loose volume / body where that asks for more";
    let mass_loads = (stream.mass_t / by_mass - 1e-9).ceil();
    let body = vehicle.volume_m3.filter(|body| *body > 0.0);
    let by_body = body.filter(|_| mass_loads < loads.0);
    let numbers = by_body.map_or(numbers, |body| {
        format!("up({} / {body})", plain(stream.loose_m3))
    });
    let keys: &[&str] = if payload.is_none() {
        &["load.payload"]
    } else {
        &[]
    };
    let mut told = tables.tell(&format!("{name}, trips"), loads, formula, numbers, keys);
    told.parameters
        .extend(payload.map(|payload| own("payload_kg", payload * 1e3, "kg")));
    told.parameters
        .extend(body.map(|body| own("volume_m3", body, "m3")));
    told
}
