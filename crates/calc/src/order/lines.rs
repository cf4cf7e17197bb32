//! The lines of an order, each with its formula in words.

use gangday_model::{MaterialLine, Packs};

use super::loose::loose_spoil;
use super::rates::{Rate, Rates};
use super::round;
use super::stock::Stock;
use super::sums::Sums;

const MM3_PER_M3: f64 = 1e9;
const MICROGRAMS_PER_T: f64 = 1e12;
pub(super) const MICROGRAMS_PER_KG: f64 = 1e9;
/// Sealed area is kept in mm2 and sealant in millionths of a litre.
const MM2_PER_M2: f64 = 1e6;
const MICROLITRES_PER_L: f64 = 1e6;

/// Every line that is not nothing.
///
/// What earlier orders left over is used first, and what this one leaves over is put by.
pub(crate) fn lines(sums: &Sums, rates: &Rates, stock: &mut Stock) -> Vec<MaterialLine> {
    let mut lines = vec![
        concrete(
            "base_concrete",
            "Base concrete",
            sums.base_concrete,
            rates,
            stock,
        ),
        bulk("type1", "Type 1", sums.type1, rates, stock),
        concrete(
            "surround_concrete",
            "Surround concrete",
            sums.surround_concrete,
            rates,
            stock,
        ),
        surfacing(sums.surfacing, rates, stock),
        mortar(sums.mortar, rates, stock),
        bulk("topsoil", "Topsoil", sums.topsoil, rates, stock),
        number("sections", "Sections", sums.sections, "sections stacked"),
        number(
            "ironwork",
            "Ironwork",
            sums.ironwork,
            "one frame and cover a chamber built",
        ),
        sealant(sums.sealed_edges, rates, stock),
        spoil(sums.spoil, rates),
        loose_spoil(sums, rates),
        bituminous(sums.bituminous, rates),
        number(
            "old_ironwork",
            "Old ironwork, away",
            sums.old_ironwork,
            "one frame and cover a chamber replaced",
        ),
    ];
    let mixed = sums.mixtures.iter();
    lines.extend(mixed.map(|(mixture, volume)| mixture_line(mixture, *volume, rates)));
    lines.retain(|line| line.measured > 0.0);
    lines
}

/// What comes in packs: an amount in whole small parts, and how many of them one pack holds.
struct Packed<'a> {
    material: &'a str,
    name: &'a str,
    parts: i128,
    parts_per_unit: f64,
    unit: &'a str,
    waste: Rate,
    parts_per_pack: i128,
    packs: (f64, &'a str, &'a str),
    /// How the amount came about, where that takes more than measuring.
    before: String,
    sources: Vec<String>,
}

impl Packed<'_> {
    fn line(self, stock: &mut Stock) -> MaterialLine {
        let needed = self.parts * (round::WHOLE + self.waste.percent());
        let pack = self.parts_per_pack * round::WHOLE;
        let drawn = stock.draw(self.material, needed, pack);
        let per_unit = self.parts_per_unit * round::WHOLE as f64;
        let measured = self.parts as f64 / self.parts_per_unit;
        let with_waste = measured * (1.0 + self.waste.value / 100.0);
        let ordered = (drawn.packs * self.parts_per_pack) as f64 / self.parts_per_unit;
        let brought_forward = drawn.used as f64 / per_unit;
        let rounding_added = drawn.added as f64 / per_unit;
        let (size, size_unit, name) = self.packs;
        let packs = Packs {
            count: counted(drawn.packs),
            size,
            unit: size_unit.to_owned(),
            name: name.to_owned(),
        };
        MaterialLine {
            why: self.why(measured, with_waste, brought_forward, ordered, &packs),
            material: self.material.to_owned(),
            name: self.name.to_owned(),
            measured,
            ordered,
            unit: self.unit.to_owned(),
            packs: Some(packs),
            rounding_added,
            brought_forward,
            left_over: drawn.left as f64 / per_unit,
            supply: None,
        }
    }

    fn why(
        &self,
        measured: f64,
        with_waste: f64,
        brought_forward: f64,
        ordered: f64,
        packs: &Packs,
    ) -> String {
        let (unit, count, name) = (self.unit, packs.count, &packs.name);
        let pack = self.parts_per_pack as f64 / self.parts_per_unit;
        let from_stock = if brought_forward > 0.0 {
            format!(" less {brought_forward:.4} {unit} left over before;")
        } else {
            String::new()
        };
        format!(
            "{}{measured:.4} {unit} x (1 + {} % waste) = {with_waste:.4} {unit};{from_stock} / {pack} {unit} \
             a {name}, rounded up = {count} = {ordered:.4} {unit}. From {}; {}.",
            self.before,
            self.waste.value,
            self.waste.told,
            self.sources.join("; "),
        )
    }
}

fn concrete(
    material: &str,
    name: &str,
    mm3: i128,
    rates: &Rates,
    stock: &mut Stock,
) -> MaterialLine {
    let mass = rates.size("pack.concrete.mass");
    let bag = rates.size("pack.concrete.yield");
    Packed {
        material,
        name,
        parts: mm3,
        parts_per_unit: MM3_PER_M3,
        unit: "m3",
        waste: rates.share(&format!("waste.{material}")),
        parts_per_pack: bag.whole(MM3_PER_M3).max(1),
        packs: (mass.value, "kg", "bag"),
        before: String::new(),
        sources: vec![bag.told, mass.told],
    }
    .line(stock)
}

fn mortar(mm3: i128, rates: &Rates, stock: &mut Stock) -> MaterialLine {
    let unit = rates.size("pack.mortar.yield");
    Packed {
        material: "mortar",
        name: "Bedding mortar, resin and filler 1 : 1",
        parts: mm3,
        parts_per_unit: MM3_PER_M3,
        unit: "m3",
        waste: rates.share("waste.mortar"),
        parts_per_pack: unit.whole(MM3_PER_M3).max(1),
        packs: (unit.value, "m3", "unit"),
        before: String::new(),
        sources: vec![unit.told],
    }
    .line(stock)
}

/// Compacted volume x (1 + surcharge) is loose volume; x loose density is what the bags weigh.
fn surfacing(mm3: i128, rates: &Rates, stock: &mut Stock) -> MaterialLine {
    let surcharge = rates.share("surcharge.surfacing");
    let density = rates.size("density.surfacing_loose");
    let bag = rates.size("pack.surfacing.mass");
    let loose = round::with(mm3, surcharge.percent());
    let before = format!(
        "{:.4} m3 compacted x (1 + {} % surcharge) = {:.4} m3 loose x {} kg/m3; ",
        mm3 as f64 / MM3_PER_M3,
        surcharge.value,
        loose as f64 / MM3_PER_M3,
        density.value,
    );
    Packed {
        material: "surfacing",
        name: "Cold-lay surfacing",
        parts: loose * density.whole(1.0),
        parts_per_unit: MICROGRAMS_PER_T,
        unit: "t",
        waste: rates.share("waste.surfacing"),
        parts_per_pack: bag.whole(MICROGRAMS_PER_KG).max(1),
        packs: (bag.value, "kg", "bag"),
        before,
        sources: vec![surcharge.told, density.told, bag.told],
    }
    .line(stock)
}

fn sealant(mm2: i128, rates: &Rates, stock: &mut Stock) -> MaterialLine {
    let coverage = rates.size("coverage.sealant");
    let tin = rates.size("pack.sealant.volume");
    let area = mm2 as f64 / MM2_PER_M2;
    Packed {
        material: "edge_sealant",
        name: "Edge sealant",
        parts: (mm2 as f64 / coverage.value).round() as i128,
        parts_per_unit: MICROLITRES_PER_L,
        unit: "l",
        waste: rates.share("waste.sealant"),
        parts_per_pack: tin.whole(MICROLITRES_PER_L).max(1),
        packs: (tin.value, "l", "tin"),
        before: format!("{area:.4} m² of edges / {} m²/l; ", coverage.value),
        sources: vec![coverage.told, tin.told],
    }
    .line(stock)
}

/// Bought by weight and rounded up to what a supplier sells by; it comes in loads up to the payload.
fn bulk(material: &str, name: &str, mm3: i128, rates: &Rates, stock: &mut Stock) -> MaterialLine {
    let density = rates.size(&format!("density.{material}"));
    let waste = rates.share(&format!("waste.{material}"));
    let step = rates.share(&format!("order.step.{material}"));
    let line = weighed(material, name, mm3, (&density, &waste), rates);
    let by = step.whole(MICROGRAMS_PER_T);
    if by == 0 || mm3 == 0 {
        return line;
    }
    let per_t = MICROGRAMS_PER_T * round::WHOLE as f64;
    let needed = mm3 * density.whole(1.0) * (round::WHOLE + waste.percent());
    let drawn = stock.draw(material, needed, by * round::WHOLE);
    let ordered = drawn.packs * by;
    let brought_forward = drawn.used as f64 / per_t;
    let from_stock = if drawn.used > 0 {
        format!(" less {brought_forward:.4} t left over before,")
    } else {
        String::new()
    };
    let ordered_t = in_tonnes(ordered);
    MaterialLine {
        ordered: ordered_t,
        packs: Some(loads(ordered, &rates.size("load.payload"))),
        rounding_added: drawn.added as f64 / per_t,
        brought_forward,
        left_over: drawn.left as f64 / per_t,
        why: format!(
            "{}{from_stock} rounded up to {} t = {ordered_t:.4} t. From {}.",
            line.why.trim_end_matches('.').to_owned() + ";",
            step.value,
            step.told
        ),
        ..line
    }
}

/// A bound layer that somebody states, hot and by weight.
fn mixture_line(mixture: &str, mm3: i128, rates: &Rates) -> MaterialLine {
    let figures = (
        &rates.size("density.bituminous"),
        &rates.share("waste.surfacing"),
    );
    let material = format!("surfacing.{mixture}");
    weighed(
        &material,
        &format!("Surfacing, {mixture}"),
        mm3,
        figures,
        rates,
    )
}

fn weighed(
    material: &str,
    name: &str,
    mm3: i128,
    (density, waste): (&Rate, &Rate),
    rates: &Rates,
) -> MaterialLine {
    let measured = mm3 * density.whole(1.0);
    let ordered = round::with(measured, waste.percent());
    let (tonnes, needed) = (in_tonnes(measured), in_tonnes(ordered));
    let payload = rates.size("load.payload");
    let loads = loads(ordered, &payload);
    let why = format!(
        "{:.4} m3 x {} kg/m3 = {tonnes:.4} t; x (1 + {} % waste) = {needed:.4} t, in loads of up to {} t: {}. \
         From {}; {}; {}.",
        mm3 as f64 / MM3_PER_M3,
        density.value,
        waste.value,
        payload.value,
        loads.count,
        density.told,
        waste.told,
        payload.told,
    );
    line(material, name, "t", (tonnes, needed), Some(loads), why)
}

/// Ground by its bank density; the walls of replaced chambers, lifted out, by that of concrete.
fn spoil(micrograms: i128, rates: &Rates) -> MaterialLine {
    let bank = rates.size("density.bank_soil");
    let walls = rates.size("density.concrete");
    let sources = format!(
        "{}; for walls of replaced chambers {}",
        bank.told, walls.told
    );
    away("spoil", "Spoil, away", micrograms, &sources, rates)
}

fn bituminous(micrograms: i128, rates: &Rates) -> MaterialLine {
    let sources = rates.size("density.bituminous").told;
    away(
        "bituminous",
        "Bituminous arisings, away, kept apart",
        micrograms,
        &sources,
        rates,
    )
}

fn away(
    material: &str,
    name: &str,
    micrograms: i128,
    sources: &str,
    rates: &Rates,
) -> MaterialLine {
    let payload = rates.size("load.payload");
    let loads = loads(micrograms, &payload);
    let tonnes = in_tonnes(micrograms);
    let why = format!(
        "net volume x density in place = {tonnes:.4} t, never bulked, in loads of up to {} t: {}. \
         From {sources}; {}.",
        payload.value, loads.count, payload.told,
    );
    line(material, name, "t", (tonnes, tonnes), Some(loads), why)
}

fn number(material: &str, name: &str, count: i128, why: &str) -> MaterialLine {
    let count = count as f64;
    line(
        material,
        name,
        "no.",
        (count, count),
        None,
        format!("{count}: {why}."),
    )
}

pub(super) fn line(
    material: &str,
    name: &str,
    unit: &str,
    (measured, ordered): (f64, f64),
    packs: Option<Packs>,
    why: String,
) -> MaterialLine {
    MaterialLine {
        material: material.to_owned(),
        name: name.to_owned(),
        measured,
        ordered,
        unit: unit.to_owned(),
        packs,
        rounding_added: 0.0,
        brought_forward: 0.0,
        left_over: 0.0,
        supply: None,
        why,
    }
}

fn loads(micrograms: i128, payload: &Rate) -> Packs {
    let count = round::packs(micrograms, 0, payload.whole(MICROGRAMS_PER_T));
    Packs {
        count: counted(count),
        size: payload.value,
        unit: "t".to_owned(),
        name: "load".to_owned(),
    }
}

pub(super) fn in_tonnes(micrograms: i128) -> f64 {
    micrograms as f64 / MICROGRAMS_PER_T
}

fn counted(count: i128) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}
