//! A wait along a day's temperatures, followed back quarter-hour by quarter-hour.

use gangday_model::{DayTemperature, WaitKind};

use super::traced::{Tables, plain};
use super::{Explained, Explaining, Part};

impl Explaining<'_> {
    /// What has aged, at the reference temperature, from the minute at which it had been placed to the
    /// minute at which it was ready; none for the hold, which is the same at any temperature.
    #[must_use]
    pub fn aged_along(
        &self,
        job: &gangday_model::Job,
        kind: WaitKind,
        day: &DayTemperature,
        (placed, ready): (u32, u32),
    ) -> Option<Explained> {
        let (key, name) = match kind {
            WaitKind::BaseCure => ("wait.base_cure", "base"),
            WaitKind::MortarSet => ("wait.mortar_set", "mortar"),
            WaitKind::InitialSet => ("wait.initial_set", "surround"),
            WaitKind::Hold => return None,
        };
        let tables = Tables {
            job,
            method: self.method,
            materials: self.materials,
        };
        let law = Law::of(&tables);
        let (mut parts, mut aged, mut now) = (Vec::new(), 0.0, placed);
        while now < ready {
            let quarter = (now / 15).min(95);
            let until = ready.min((now / 15 + 1) * 15);
            let (minutes, celsius) = (until - now, day.in_quarter(quarter));
            aged += f64::from(minutes) * law.worth(celsius);
            parts.push(format!("{minutes} x {}", law.numbers(celsius)));
            now = until;
        }
        let quantity = format!("{name} ages from {} to {}", clock(placed), clock(ready));
        let formula = format!(
            "minutes of each quarter-hour x {}, to at least {key}",
            law.formula()
        );
        let mut keys = vec![
            key,
            "wait.maturity",
            "wait.reference_temperature",
            law.key(),
        ];
        keys.dedup();
        let value = (aged, "min at the reference temperature");
        let told = tables.tell(&quantity, value, &formula, parts.join(" + "), &keys);
        let part = Part::Times;
        Some(Explained { part, ..told })
    }
}

/// Tells a wait as it is planned along a day's temperatures, in minutes of the day, in place of the one
/// reckoned at a single temperature; what the hold lasts is the same at any.
pub fn wait_as_planned(told: &mut [Explained], kind: WaitKind, (placed, ready): (u32, u32)) {
    if kind == WaitKind::Hold {
        return;
    }
    let (_, name) = super::times::waited_as(kind);
    for own in told.iter_mut().filter(|own| own.quantity == name) {
        own.value = f64::from(ready.saturating_sub(placed));
        own.formula = format!(
            "ready at {} less placed at {}, minutes of the day, along its temperatures",
            clock(ready),
            clock(placed)
        );
        own.numbers = format!("{ready} - {placed}");
    }
}

fn clock(minute: u32) -> String {
    format!("{:02}:{:02}", minute / 60 % 24, minute % 60)
}

/// The maturity that the tables choose.
struct Law {
    reference: f64,
    e_over_r: f64,
    datum: Option<f64>,
}

impl Law {
    fn of(tables: &Tables<'_>) -> Self {
        let saul = tables.value("wait.maturity") > 0.0;
        Self {
            reference: tables.value("wait.reference_temperature"),
            e_over_r: tables.value("wait.activation_e_over_r"),
            datum: saul.then(|| tables.value("wait.datum_temperature")),
        }
    }

    const fn key(&self) -> &'static str {
        match self.datum {
            Some(_) => "wait.datum_temperature",
            None => "wait.activation_e_over_r",
        }
    }

    const fn formula(&self) -> &'static str {
        match self.datum {
            Some(_) => "(T - T0) / (Tr - T0)",
            None => "exp(-(E/R)(1/T - 1/Tr))",
        }
    }

    fn worth(&self, celsius: f64) -> f64 {
        let maturity = match self.datum {
            Some(datum_c) => crate::Maturity::NurseSaul { datum_c },
            None => crate::Maturity::EquivalentAge {
                e_over_r: self.e_over_r,
            },
        };
        maturity.factor(celsius, self.reference)
    }

    fn numbers(&self, celsius: f64) -> String {
        let (reference, celsius) = (self.reference, plain(celsius));
        match self.datum {
            Some(datum) => format!("({celsius} - ({datum})) / ({reference} - ({datum}))"),
            None => format!(
                "exp(0 - {} x (1 / ({celsius} + 273.15) - 1 / ({reference} + 273.15)))",
                self.e_over_r
            ),
        }
    }
}
