//! What a gang-day carries out and brings back, and in how many loads.

use gangday_model::{MaterialLine, ParameterTable, TakeOff};
use schemars::JsonSchema;
use serde::Serialize;

use super::loose::Loose;
use super::rates::Rates;
use super::stock::Stock;
use super::sums::Sums;

/// What a vehicle may carry.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vehicle {
    /// By mass, t; none for `load.payload`.
    pub payload_t: Option<f64>,
    /// By volume of the body, m3; none where only mass counts.
    pub volume_m3: Option<f64>,
}

/// One stream of a gang-day's haulage.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Carried {
    /// Mass, t.
    pub mass_t: f64,
    /// Loose volume, m3.
    pub loose_m3: f64,
    /// Loads: as many as mass or volume ask for, whichever is more.
    pub loads: u32,
    /// The formula with its numbers.
    pub why: String,
}

/// What a gang-day carries.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Haulage {
    /// Stone, concrete, surfacing, sections and frames, out.
    pub out: Carried,
    /// Clean spoil, old walls and frames, to the tip.
    pub spoil: Carried,
    /// Bituminous arisings, to the tip in loads of their own.
    pub bituminous: Carried,
}

/// What these take-offs together have to be carried for, in loads of this vehicle.
///
/// Spoil is weighed by its bank density and takes up its bulked volume; bituminous arisings never
/// share a load with it.
///
/// # Source
/// Densities, bulking and masses as rows of the materials table.
///
/// ```
/// use gangday_calc::{Vehicle, haulage, shipped_materials, shipped_method, take_off};
/// use gangday_model::{Job, LonLat, Position, Work};
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Verge);
/// let taken = take_off(&job, &method, &materials).unwrap();
/// let small = Vehicle { payload_t: Some(1.5), volume_m3: Some(1.0) };
/// let carried = haulage([&taken], &small, &materials);
/// // 1.96 m2 x 1.15 m x 1.9 t/m3 = 4.28 t in 3 loads; x 1.35 = 3.04 m3 loose in 4.
/// assert_eq!(carried.spoil.loads, 4);
/// ```
#[must_use]
pub fn haulage<'a>(
    take_offs: impl IntoIterator<Item = &'a TakeOff>,
    vehicle: &Vehicle,
    materials: &ParameterTable,
) -> Haulage {
    let rates = Rates::new(materials);
    let sums = Sums::of(take_offs, &rates);
    let out = parts_out(&sums, &rates).into_iter();
    let out = out.fold((0.0, 0.0), |sum, part| {
        (sum.0 + part.mass_t, sum.1 + part.loose_m3)
    });
    let tonnes = |micrograms: i128| micrograms as f64 / 1e12;
    let loose =
        |micrograms, density, bulking| Loose::of(micrograms, density, bulking, &rates).loose;
    let spoil = tonnes(sums.spoil);
    let frames = sums.old_ironwork as f64 * rates.size("ironwork.mass").value / 1e3;
    let bound = tonnes(sums.bituminous);
    let spoil_m3 = loose(sums.spoil - sums.old_walls, "bank_soil", "bank_soil")
        + loose(sums.old_walls, "concrete", "concrete");
    let bound_m3 = loose(sums.bituminous, "bituminous", "bituminous");
    Haulage {
        out: carried(out.0, out.1, vehicle, &rates),
        spoil: carried(spoil + frames, spoil_m3, vehicle, &rates),
        bituminous: carried(bound, bound_m3, vehicle, &rates),
    }
}

/// What is carried out of one material.
pub(crate) struct Out {
    pub(crate) mass_t: f64,
    pub(crate) loose_m3: f64,
}

/// What is carried out, material by material.
pub(crate) fn parts_out(sums: &Sums, rates: &Rates) -> Vec<Out> {
    let lines = super::lines::lines(sums, rates, &mut Stock::default());
    let parts = lines.iter().map(|line| outward(line, sums, rates));
    let parts = parts.filter(|(mass_t, _)| *mass_t > 0.0);
    parts
        .map(|(mass_t, loose_m3)| Out { mass_t, loose_m3 })
        .collect()
}

/// Mass in tonnes and loose volume in m3 of what one line brings to the site.
fn outward(line: &MaterialLine, sums: &Sums, rates: &Rates) -> (f64, f64) {
    let by_density = |mass: f64, density: &str| (mass, mass * 1e3 / rates.size(density).value);
    let bagged = line.packs.as_ref().filter(|packs| packs.unit == "kg");
    if let Some(bags) = bagged {
        let mass = f64::from(bags.count) * bags.size / 1e3;
        return by_density(mass, "density.bagged");
    }
    match line.material.as_str() {
        // What an order is rounded up by stays at the depot.
        "type1" => by_density(line.ordered - line.rounding_added, "density.type1_loose"),
        "topsoil" => by_density(line.ordered - line.rounding_added, "density.topsoil"),
        "mortar" => (
            line.ordered * rates.size("density.mortar").value / 1e3,
            line.ordered,
        ),
        "sections" => by_density(sums.section_mass as f64 / 1e12, "density.section"),
        "ironwork" => (line.ordered * rates.size("ironwork.mass").value / 1e3, 0.0),
        mixture if mixture.starts_with("surfacing.") => {
            by_density(line.ordered, "density.surfacing_loose")
        }
        _ => (0.0, 0.0),
    }
}

fn carried(mass_t: f64, loose_m3: f64, vehicle: &Vehicle, rates: &Rates) -> Carried {
    let payload = vehicle.payload_t.filter(|payload| *payload > 0.0);
    let payload = payload.unwrap_or_else(|| rates.size("load.payload").value);
    let by_mass = loads(mass_t, payload);
    let body = vehicle.volume_m3.filter(|volume| *volume > 0.0);
    let by_volume = body.map_or(0, |body| loads(loose_m3, body));
    let body = body.map_or_else(
        || "; volume of the body not stated".to_owned(),
        |body| format!("; {loose_m3:.3} m3 / {body} m3 = {by_volume} by volume"),
    );
    Carried {
        mass_t,
        loose_m3,
        loads: by_mass.max(by_volume),
        why: format!("{mass_t:.3} t / {payload} t = {by_mass} loads by mass{body}"),
    }
}

/// Below what a weighbridge shows.
const HAIR: f64 = 1e-9;

fn loads(amount: f64, most: f64) -> u32 {
    (amount / most - HAIR).ceil().clamp(0.0, 1e9) as u32
}
