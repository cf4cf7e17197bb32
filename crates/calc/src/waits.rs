//! What is waited for at one temperature, or along a day's.

use chrono::NaiveDate;
use gangday_model::{CubicMillimetres, Finding, ParameterTable, Seconds, TakeOff};

use crate::cure::Maturity;
use crate::figures::Figures;
use crate::minutes::whole;

/// Hotter than any working day, common sense.
pub(crate) const HOTTEST_C: f64 = 50.0;

/// What a job meets on the day: the weather and the gang.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Expected temperature, degrees Celsius.
    pub celsius: f64,
    /// The day that it is expected on, to be named where it is too cold.
    pub day: Option<NaiveDate>,
    /// People in the gang; none for the gang that the outputs stand for.
    pub people: Option<u32>,
}

impl Conditions {
    /// The usual gang at this temperature.
    #[must_use]
    pub const fn at(celsius: f64) -> Self {
        Self {
            celsius,
            day: None,
            people: None,
        }
    }

    /// The same on this day.
    #[must_use]
    pub const fn on(mut self, day: NaiveDate) -> Self {
        self.day = Some(day);
        self
    }
}

/// Waits at one temperature.
pub(crate) struct Waits {
    pub(crate) base: Seconds,
    pub(crate) mortar: Seconds,
    pub(crate) surround: Seconds,
    pub(crate) hold: Seconds,
}

/// How long each material takes at its reference temperature, and how that is carried to another.
#[derive(Clone, Debug)]
pub(crate) struct WaitRules {
    base: f64,
    mortar: f64,
    surround: f64,
    hold: f64,
    reference: f64,
    least: f64,
    maturity: Maturity,
}

impl WaitRules {
    pub(crate) fn read(materials: &ParameterTable) -> Result<Self, Vec<Finding>> {
        let mut read = Figures::materials(materials);
        let e_over_r = read.rate("wait.activation_e_over_r");
        let datum_c = read.signed("wait.datum_temperature");
        let maturity = match read.choice("wait.maturity", 1) {
            0 => Maturity::EquivalentAge { e_over_r },
            _ => Maturity::NurseSaul { datum_c },
        };
        let rules = Self {
            base: read.number("wait.base_cure"),
            mortar: read.number("wait.mortar_set"),
            surround: read.number("wait.initial_set"),
            hold: read.number("wait.hold"),
            reference: read.signed("wait.reference_temperature"),
            least: read.signed("wait.min_temperature"),
            maturity,
        };
        let faults = read.into_faults();
        if faults.is_empty() {
            Ok(rules)
        } else {
            Err(faults)
        }
    }

    /// Every wait of this chamber; the hold before traffic is the same at any temperature.
    pub(crate) fn waits(
        &self,
        take_off: &TakeOff,
        conditions: Conditions,
    ) -> Result<Waits, Vec<Finding>> {
        if let Some(fault) = self.unfit_temperature(take_off, conditions) {
            return Err(vec![fault]);
        }
        let factor = self.maturity.factor(conditions.celsius, self.reference);
        let at_temperature = |minutes: f64| whole(minutes / factor);
        Ok(Waits {
            base: at_temperature(self.base),
            mortar: at_temperature(self.mortar),
            surround: at_temperature(self.surround),
            hold: whole(self.hold),
        })
    }

    fn unfit_temperature(&self, take_off: &TakeOff, conditions: Conditions) -> Option<Finding> {
        let Conditions { celsius, day, .. } = conditions;
        let volumes = &take_off.volumes;
        let placed = volumes.base_concrete + volumes.surround_concrete + volumes.mortar;
        let on = day.map_or_else(String::new, |day| format!(" on {day}"));
        let fault = if !(-HOTTEST_C..=HOTTEST_C).contains(&celsius) {
            Finding::fault(
                "C-TEMPERATURE",
                format!("{celsius} C{on} is no temperature to work in"),
                "State the expected temperature in degrees Celsius.",
            )
        } else if placed > CubicMillimetres::ZERO
            && (celsius < self.least || self.maturity.factor(celsius, self.reference) <= 0.0)
        {
            let least = self.least;
            Finding::fault(
                "C-TOO-COLD",
                format!(
                    "{celsius} C{on} is below the {least} C at which concrete and mortar may be placed"
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
}
