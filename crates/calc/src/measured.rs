//! The measured ledger of one job in the units it is billed in.

use gangday_model::TakeOff;
use schemars::JsonSchema;
use serde::Serialize;

/// Net in place: what is billed, never what is ordered.
///
/// # Units
/// Cubic metres and tonnes, as the names say.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[allow(missing_docs, reason = "the names say what and in which unit")]
pub struct Measured {
    pub excavation_m3: f64,
    pub base_concrete_m3: f64,
    pub type1_m3: f64,
    pub surround_concrete_m3: f64,
    pub surfacing_m3: f64,
    pub topsoil_m3: f64,
    pub mortar_m3: f64,
    pub inside_m3: f64,
    pub spoil_t: f64,
    pub bituminous_t: f64,
}

impl From<&TakeOff> for Measured {
    fn from(take_off: &TakeOff) -> Self {
        let volumes = &take_off.volumes;
        Self {
            excavation_m3: volumes.excavation.m3(),
            base_concrete_m3: volumes.base_concrete.m3(),
            type1_m3: volumes.type1.m3(),
            surround_concrete_m3: volumes.surround_concrete.m3(),
            surfacing_m3: volumes.surfacing.m3(),
            topsoil_m3: volumes.topsoil.m3(),
            mortar_m3: volumes.mortar.m3(),
            inside_m3: volumes.inside.m3(),
            spoil_t: take_off.spoil.tonnes(),
            bituminous_t: take_off.bituminous.tonnes(),
        }
    }
}
