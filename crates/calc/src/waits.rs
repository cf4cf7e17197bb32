//! What is waited for at one temperature.

use gangday_model::{CubicMillimetres, Finding, ParameterTable, Seconds, TakeOff};

use crate::cure::equivalent_age_factor;
use crate::figures::Figures;
use crate::minutes::whole;

/// Hotter than any working day, common sense.
const HOTTEST_C: f64 = 50.0;

/// Waits at one temperature.
pub(crate) struct Waits {
    pub(crate) base: Seconds,
    pub(crate) mortar: Seconds,
    pub(crate) surround: Seconds,
    pub(crate) hold: Seconds,
}

impl Waits {
    pub(crate) fn read(
        materials: &ParameterTable,
        take_off: &TakeOff,
        temperature_c: f64,
    ) -> Result<Self, Vec<Finding>> {
        let mut read = Figures::materials(materials);
        let reference = read.signed("wait.reference_temperature");
        let e_over_r = read.rate("wait.activation_e_over_r");
        let least = read.signed("wait.min_temperature");
        let factor = equivalent_age_factor(temperature_c, reference, e_over_r);
        let mut at_temperature = |key| whole(read.number(key) / factor);
        let waits = Self {
            base: at_temperature("wait.base_cure"),
            mortar: at_temperature("wait.mortar_set"),
            surround: at_temperature("wait.initial_set"),
            hold: whole(read.number("wait.hold")),
        };
        let mut faults = read.into_faults();
        faults.extend(unfit_temperature(take_off, temperature_c, least));
        if faults.is_empty() {
            Ok(waits)
        } else {
            Err(faults)
        }
    }
}

fn unfit_temperature(take_off: &TakeOff, celsius: f64, least: f64) -> Option<Finding> {
    let volumes = &take_off.volumes;
    let placed = volumes.base_concrete + volumes.surround_concrete + volumes.mortar;
    let fault = if !(-HOTTEST_C..=HOTTEST_C).contains(&celsius) {
        Finding::fault(
            "C-TEMPERATURE",
            format!("{celsius} C is no temperature to work in"),
            "State the expected temperature in degrees Celsius.",
        )
    } else if celsius < least && placed > CubicMillimetres::ZERO {
        Finding::fault(
            "C-TOO-COLD",
            format!(
                "{celsius} C is below the {least} C at which concrete and mortar may be placed"
            ),
            "Wait for a warmer day, or set wait.min_temperature to the product's own.",
        )
    } else {
        return None;
    };
    Some(
        fault
            .in_file("week.json")
            .at(take_off.job.as_str())
            .of("temperature_c"),
    )
}
