//! Spoil as it lies on a wagon, looser than it lay in the ground.

use gangday_model::MaterialLine;

use super::lines::{MICROGRAMS_PER_KG, in_tonnes, line};
use super::rates::Rates;
use super::sums::Sums;

/// What a wagon must hold: volume in place x bulking, ground and old walls each by its own.
pub(super) fn loose_spoil(sums: &Sums, rates: &Rates) -> MaterialLine {
    let [ground, walls] = [
        (sums.spoil - sums.old_walls, "bank_soil", "bank_soil"),
        (sums.old_walls, "concrete", "concrete"),
    ]
    .map(|(micrograms, density, bulking)| Loose::of(micrograms, density, bulking, rates));
    let why = if sums.old_walls > 0 {
        format!("{}; old walls {}", ground.why, walls.why)
    } else {
        ground.why
    };
    line(
        "spoil_loose",
        "Spoil, loose on the wagon",
        "m3",
        (ground.in_place + walls.in_place, ground.loose + walls.loose),
        None,
        format!("{why}."),
    )
}

/// One kind of spoil: in the ground, and loose.
pub(super) struct Loose {
    in_place: f64,
    pub(super) loose: f64,
    why: String,
}

impl Loose {
    /// # Units
    /// Micrograms in; m3 out.
    pub(super) fn of(micrograms: i128, density: &str, bulking: &str, rates: &Rates) -> Self {
        let density = rates.size(&format!("density.{density}"));
        let bulking = rates.size(&format!("bulking.{bulking}"));
        let in_place = micrograms as f64 / MICROGRAMS_PER_KG / density.value;
        let loose = in_place * bulking.value;
        let why = format!(
            "{:.4} t / {} kg/m3 = {in_place:.4} m3 in place; x {} bulking = {loose:.4} m3 loose. \
             From {}; {}",
            in_tonnes(micrograms),
            density.value,
            bulking.value,
            density.told,
            bulking.told,
        );
        Self {
            in_place,
            loose,
            why,
        }
    }
}
