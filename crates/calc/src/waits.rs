//! What is waited for at one temperature, or along a day's.

use chrono::NaiveDate;
use gangday_model::{
    CubicMillimetres, Finding, ParameterTable, Position, Seconds, TakeOff, WaitKind, day_in_words,
};

use crate::cold::{Least, PLACED, too_cold};
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
    pub(crate) reference: f64,
    least: Least,
    pub(crate) maturity: Maturity,
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
            least: Least::read(materials, &mut read),
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

    /// The time at the reference temperature, minutes; of the hold, at any.
    pub(crate) const fn needed(&self, kind: WaitKind) -> f64 {
        match kind {
            WaitKind::BaseCure => self.base,
            WaitKind::MortarSet => self.mortar,
            WaitKind::InitialSet => self.surround,
            WaitKind::Hold => self.hold,
        }
    }

    /// Whether a material is neither placed nor left to cure at this temperature.
    pub(crate) fn is_too_cold(&self, kind: WaitKind, celsius: f64) -> bool {
        let ages = kind == WaitKind::Hold || self.maturity.factor(celsius, self.reference) > 0.0;
        celsius < self.least.of(kind) || !ages
    }

    fn unfit_temperature(&self, take_off: &TakeOff, conditions: Conditions) -> Option<Finding> {
        let Conditions { celsius, day, .. } = conditions;
        let on = day.map_or_else(String::new, |day| format!(" on {}", day_in_words(day)));
        let fault = if (-HOTTEST_C..=HOTTEST_C).contains(&celsius) {
            let placed = PLACED.into_iter().map(|(kind, _)| kind);
            let cold = placed.filter(|kind| is_placed(take_off, *kind));
            let cold = cold.filter(|kind| self.is_too_cold(*kind, celsius));
            let cold: Vec<_> = cold.map(|kind| (kind, self.least.of(kind))).collect();
            if cold.is_empty() {
                return None;
            }
            too_cold(celsius, &on, &cold)
        } else {
            Finding::fault(
                "C-TEMPERATURE",
                format!("{celsius} °C{on} is no temperature to work in"),
                "State the expected temperature in degrees Celsius.",
            )
        };
        Some(
            fault
                .in_file("week.json")
                .at(take_off.job.as_str())
                .of("temperature_c"),
        )
    }
}

/// Whether a job places what is waited for.
fn is_placed(take_off: &TakeOff, kind: WaitKind) -> bool {
    let volumes = &take_off.volumes;
    let volume = match kind {
        WaitKind::BaseCure => volumes.base_concrete,
        WaitKind::MortarSet => volumes.mortar,
        WaitKind::InitialSet => volumes.surround_concrete,
        WaitKind::Hold if take_off.position == Position::Verge => CubicMillimetres::ZERO,
        WaitKind::Hold => volumes.surfacing,
    };
    volume > CubicMillimetres::ZERO
}
