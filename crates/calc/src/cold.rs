//! Below what temperature each material is neither placed nor left to cure.

use gangday_model::{Finding, ParameterTable, WaitKind};

use crate::defaults::shipped_material;
use crate::figures::Figures;

/// What stands in for a material that no row names.
const GENERAL: &str = "wait.min_temperature";

/// What is waited for, in the order of the work, each with the material that it is placed in.
pub(crate) const PLACED: [(WaitKind, &str); 4] = [
    (WaitKind::BaseCure, "base_concrete"),
    (WaitKind::MortarSet, "mortar"),
    (WaitKind::InitialSet, "surround_concrete"),
    (WaitKind::Hold, "bituminous"),
];

/// The row that says how cold a material may be.
///
/// A programme that states `wait.min_temperature` alone means it for everything that hardens by its
/// own chemistry, as long as it states no other figure for one of them.
#[must_use]
pub fn least_celsius_key(materials: &ParameterTable, kind: WaitKind) -> String {
    let own = format!("{GENERAL}.{}", material_key(kind));
    let changed = |key: &str| materials.get(key) != shipped_material(key);
    let stated = materials.get(&own).is_some();
    let general = kind != WaitKind::Hold && changed(GENERAL) && !changed(&own);
    if (general || !stated) && materials.get(GENERAL).is_some() {
        GENERAL.to_owned()
    } else {
        own
    }
}

/// Below this the material before a wait is neither placed nor left to cure.
///
/// # Units
/// Degrees Celsius; none where no row says so.
///
/// ```
/// use gangday_calc::{least_celsius, shipped_materials};
/// use gangday_model::WaitKind;
/// assert_eq!(least_celsius(&shipped_materials(), WaitKind::BaseCure), Some(5.0));
/// ```
#[must_use]
pub fn least_celsius(materials: &ParameterTable, kind: WaitKind) -> Option<f64> {
    materials.value(&least_celsius_key(materials, kind))
}

const fn material_key(kind: WaitKind) -> &'static str {
    match kind {
        WaitKind::BaseCure => PLACED[0].1,
        WaitKind::MortarSet => PLACED[1].1,
        WaitKind::InitialSet => PLACED[2].1,
        WaitKind::Hold => PLACED[3].1,
    }
}

/// Stage and material before a wait, in words.
pub(crate) const fn placed(kind: WaitKind) -> (&'static str, &'static str) {
    match kind {
        WaitKind::BaseCure => ("Base", "base concrete"),
        WaitKind::MortarSet => ("Build", "bedding mortar"),
        WaitKind::InitialSet => ("Surround", "surround concrete"),
        WaitKind::Hold => ("Surface", "bituminous surfacing"),
    }
}

/// How cold each material may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Least([f64; 4]);

impl Least {
    pub(crate) fn read(materials: &ParameterTable, read: &mut Figures<'_>) -> Self {
        Self(PLACED.map(|(kind, _)| read.signed(&least_celsius_key(materials, kind))))
    }

    pub(crate) fn of(&self, kind: WaitKind) -> f64 {
        let at = PLACED.iter().position(|(own, _)| *own == kind);
        at.map_or(f64::MIN, |at| self.0[at])
    }
}

/// One finding for all that is too cold: where, how cold, and what each would need.
pub(crate) fn too_cold(celsius: f64, on: &str, kinds: &[(WaitKind, f64)]) -> Finding {
    let need = |(kind, least): &(WaitKind, f64)| {
        let (stage, material) = placed(*kind);
        format!("{stage} places {material}, which needs {least} °C")
    };
    let needs: Vec<String> = kinds.iter().map(need).collect();
    Finding::fault(
        "C-TOO-COLD",
        format!("{celsius} °C{on} is too cold: {}", needs.join("; ")),
        "Wait for a warmer day, or set wait.min_temperature.MATERIAL to the product's own.",
    )
}
