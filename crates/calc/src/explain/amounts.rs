//! What leaves and what is ordered, followed back.

use gangday_model::{MaterialLine, Millimetres, Position, TakeOff, Work};

use super::Explained;
use super::traced::{Tables, plain};
use super::volumes::Told;
use crate::chamber;
use crate::order::order;

pub(super) fn amounts(taken: &TakeOff, tables: &Tables) -> Vec<Explained> {
    let mut all = vec![spoil(taken, tables)];
    all.extend(bituminous(taken, tables));
    all.extend(sealed(taken, tables));
    if taken.work != Work::Adjust {
        all.push(section_mass(taken, tables));
    }
    let order = order("job", [taken], tables.materials);
    all.extend(
        order
            .materials
            .iter()
            .filter_map(|line| ordered(taken, line, tables)),
    );
    all
}

/// How deep bound material lies over this dig, and its volume in cubic millimetres.
fn bound(taken: &TakeOff, tables: &Tables) -> (String, String) {
    let key = format!("existing.bound.{}", chamber::key(taken.position));
    let thickness = Millimetres::from_mm(tables.value(&key) as i64).min(taken.depth);
    let told = Told::of(taken);
    let numbers = match taken.work {
        Work::New => told.hole(Millimetres::ZERO, thickness),
        Work::Replace | Work::Adjust => told.ring(Millimetres::ZERO, thickness),
    };
    (key, numbers)
}

fn spoil(taken: &TakeOff, tables: &Tables) -> Explained {
    let (key, bound) = bound(taken, tables);
    let bank = tables.value("density.bank_soil");
    let excavation = taken.volumes.excavation.mm3();
    let (formula, numbers) = if taken.work == Work::Replace {
        let levels = &taken.levels;
        let walls = format!(
            "({} x {} - {} x {}) x {}",
            taken.outside_length.mm(),
            taken.outside_width.mm(),
            taken.clear_length.mm(),
            taken.clear_width.mm(),
            (levels.sections_bottom - levels.sections_top).mm(),
        );
        let concrete = tables.value("density.concrete");
        let inside = taken.volumes.inside.mm3();
        let ground = format!("({excavation} - {inside} - ({bound})) x {bank}");
        (
            "(net - old chamber - bound) bank density + old walls",
            format!("{ground} + {walls} x {concrete}"),
        )
    } else {
        let numbers = format!("({excavation} - ({bound})) x {bank}");
        ("(net - bound) bank density, never bulked", numbers)
    };
    let keys = ["density.bank_soil", "density.concrete", &key];
    let numbers = format!("({numbers}) / 1000000000000");
    tables.tell(
        "spoil away",
        (taken.spoil.tonnes(), "t"),
        formula,
        numbers,
        &keys,
    )
}

fn bituminous(taken: &TakeOff, tables: &Tables) -> Option<Explained> {
    let (key, bound) = bound(taken, tables);
    let density = tables.value("density.bituminous");
    let numbers = format!("({bound}) x {density} / 1000000000000");
    let formula = "bound layer broken out x density, a stream of its own";
    let keys = ["density.bituminous", &key];
    let value = (taken.bituminous.tonnes(), "t");
    (value.0 > 0.0).then(|| tables.tell("bituminous arisings away", value, formula, numbers, &keys))
}

fn sealed(taken: &TakeOff, tables: &Tables) -> Option<Explained> {
    if taken.position == Position::Verge {
        return None;
    }
    let surfacing = taken.levels.surfacing_bottom;
    let numbers = format!(
        "(2 x ({} + {}) x {} + 2 x ({} + {}) x {}) / 1000000",
        taken.dig_length.mm(),
        taken.dig_width.mm(),
        surfacing.mm(),
        taken.ironwork_length.mm(),
        taken.ironwork_width.mm(),
        surfacing.min(taken.levels.ironwork_bottom).mm(),
    );
    let value = (taken.sealed_edges.m2(), "m2");
    let formula = "edges of opening and frame x surfacing";
    let keys = ["chamber.ironwork_depth", "chamber.margin"];
    let mut told = tables.tell("edges sealed", value, formula, numbers, &keys);
    told.parameters.extend(tables.surfacing(taken));
    Some(told)
}

fn section_mass(taken: &TakeOff, tables: &Tables) -> Explained {
    let levels = &taken.levels;
    let each =
        (levels.sections_bottom - levels.sections_top).mm() / i64::from(taken.sections.max(1));
    let numbers = format!(
        "({} x {} - {} x {}) x {each} x {} / 1000000000",
        taken.outside_length.mm(),
        taken.outside_width.mm(),
        taken.clear_length.mm(),
        taken.clear_width.mm(),
        tables.value("density.section"),
    );
    let keys = ["density.section", "chamber.wall", "chamber.section_depth"];
    let value = (taken.section_mass.kg(), "kg");
    tables.tell(
        "mass of one section",
        value,
        "(Lo Wo - L W) h x density",
        numbers,
        &keys,
    )
}

/// Spoil on the wagon: ground and old walls each by its own density and bulking.
fn loose(taken: &TakeOff, line: &MaterialLine, tables: &Tables) -> Explained {
    let part = |tonnes: f64, what: &str| {
        let tonnes = plain(tonnes);
        let density = tables.value(&format!("density.{what}"));
        let bulking = tables.value(&format!("bulking.{what}"));
        format!("{tonnes} x 1000 / {density} x {bulking}")
    };
    let walls = taken.old_walls.tonnes();
    let ground = part((taken.spoil - taken.old_walls).tonnes(), "bank_soil");
    let value = (line.ordered, line.unit.as_str());
    let formula = "mass / density in place x bulking";
    let mut keys = vec!["bulking.bank_soil", "density.bank_soil"];
    if walls == 0.0 {
        return tables.tell(&line.name, value, formula, ground, &keys);
    }
    keys.extend(["bulking.concrete", "density.concrete"]);
    let numbers = format!("{ground} + {}", part(walls, "concrete"));
    tables.tell(&line.name, value, formula, numbers, &keys)
}

/// An order line: measured with waste, in whole packs where it comes in them.
fn ordered(taken: &TakeOff, line: &MaterialLine, tables: &Tables) -> Option<Explained> {
    let mixture = line.material.starts_with("surfacing.");
    let material = line.material.as_str();
    let waste = match material {
        "edge_sealant" => "waste.sealant".to_owned(),
        _ if mixture => "waste.surfacing".to_owned(),
        _ => format!("waste.{material}"),
    };
    let measured = plain(line.measured);
    let name = format!("{}, ordered", line.name);
    let value = (line.ordered, line.unit.as_str());
    if material == "spoil_loose" {
        return Some(loose(taken, line, tables));
    }
    let share = tables.traced(&waste)?.value;
    let sold_by = format!("order.step.{material}");
    let step = tables.traced(&sold_by).map_or(0.0, |step| step.value);
    let packed = line
        .packs
        .as_ref()
        .filter(|packs| packs.name != "load" && packs.count > 0);
    let (formula, numbers) = match packed {
        Some(packs) => {
            let pack = plain(line.ordered / f64::from(packs.count));
            let needed = format!("{measured} x (1 + {share} / 100)");
            (
                "whole packs of measured x (1 + waste)",
                format!("up({needed} / {pack}) x {pack}"),
            )
        }
        None if step > 0.0 => (
            "measured x (1 + waste), up to what is sold by",
            format!("up({measured} x (1 + {share} / 100) / {step}) x {step}"),
        ),
        None => (
            "measured x (1 + waste)",
            format!("{measured} x (1 + {share} / 100)"),
        ),
    };
    let mut keys = vec![waste.as_str(), sold_by.as_str()];
    keys.extend(keys_of(material));
    if mixture {
        keys.push("density.bituminous");
    }
    Some(tables.tell(&name, value, formula, numbers, &keys))
}

fn keys_of(material: &str) -> &'static [&'static str] {
    match material {
        "base_concrete" | "surround_concrete" => &["pack.concrete.yield", "pack.concrete.mass"],
        "type1" => &["density.type1"],
        "topsoil" => &["density.topsoil"],
        "mortar" => &["pack.mortar.yield"],
        "surfacing" => &[
            "surcharge.surfacing",
            "density.surfacing_loose",
            "pack.surfacing.mass",
        ],
        "edge_sealant" => &["coverage.sealant", "pack.sealant.volume"],
        _ => &[],
    }
}
