//! How long chemistry works at a temperature.

/// Zero degrees Celsius in kelvin.
const ZERO_C_IN_K: f64 = 273.15;

/// How fast a material ages at a constant temperature, against a reference temperature.
///
/// An estimate for scheduling, never a strength acceptance: the activation energy is the
/// material's own, and common choices move the factor at 5 C from 0.40 to 0.48.
///
/// # Units
/// Temperatures in degrees Celsius, `e_over_r` in kelvin.
///
/// # Source
/// Freiesleben Hansen and Pedersen, as in Carino, Cement, Concrete and Aggregates 6(2), 1984.
///
/// ```
/// let factor = gangday_calc::equivalent_age_factor(10.0, 20.0, 5_000.0);
/// assert!((factor - 0.5475).abs() < 5e-5);
/// ```
#[must_use]
pub fn equivalent_age_factor(temperature_c: f64, reference_c: f64, e_over_r: f64) -> f64 {
    let inverse = |celsius: f64| 1.0 / (celsius + ZERO_C_IN_K);
    (-e_over_r * (inverse(temperature_c) - inverse(reference_c))).exp()
}

/// Age at the reference temperature that a history of temperatures is worth.
///
/// # Units
/// Pairs of a time, in any unit, and the temperature during it, in degrees Celsius; the answer
/// is in that unit of time.
///
/// # Source
/// As for [`equivalent_age_factor`].
#[must_use]
pub fn equivalent_age(history: &[(f64, f64)], reference_c: f64, e_over_r: f64) -> f64 {
    let aged = |(time, celsius): &(f64, f64)| {
        time * equivalent_age_factor(*celsius, reference_c, e_over_r)
    };
    history.iter().map(aged).sum()
}

/// Maturity after a history of temperatures; below the datum a material does not age.
///
/// # Units
/// Pairs of a time, in any unit, and the temperature during it, in degrees Celsius; the answer
/// is in degrees times that unit.
///
/// # Source
/// Nurse and Saul, as in Carino, Cement, Concrete and Aggregates 6(2), 1984.
///
/// ```
/// // 28 days at 15 C over a datum of -11 C.
/// assert_eq!(gangday_calc::nurse_saul(&[(28.0, 15.0)], -11.0), 728.0);
/// ```
#[must_use]
pub fn nurse_saul(history: &[(f64, f64)], datum_c: f64) -> f64 {
    history
        .iter()
        .map(|(time, celsius)| time * (celsius - datum_c).max(0.0))
        .sum()
}

/// How temperature is brought into account.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Maturity {
    /// Freiesleben Hansen and Pedersen, see [`equivalent_age_factor`].
    EquivalentAge {
        /// Activation energy over gas constant, K.
        e_over_r: f64,
    },
    /// Nurse and Saul, see [`nurse_saul`].
    NurseSaul {
        /// Below this a material does not age, degrees Celsius.
        datum_c: f64,
    },
}

impl Maturity {
    /// What one minute at a temperature is worth at the reference temperature.
    ///
    /// ```
    /// use gangday_calc::Maturity;
    /// // Datum -10 C: an hour at 5 C is worth half an hour at 20 C.
    /// assert_eq!(Maturity::NurseSaul { datum_c: -10.0 }.factor(5.0, 20.0), 0.5);
    /// ```
    #[must_use]
    pub fn factor(self, celsius: f64, reference_c: f64) -> f64 {
        match self {
            Self::EquivalentAge { e_over_r } => {
                equivalent_age_factor(celsius, reference_c, e_over_r)
            }
            Self::NurseSaul { datum_c } => (celsius - datum_c).max(0.0) / (reference_c - datum_c),
        }
    }

    /// How long a material waits along a run of temperatures for what it needs at the reference.
    ///
    /// # Units
    /// `needed` and the times of `curve` in the same unit, temperatures in degrees Celsius; the
    /// last temperature goes on. None where the material never gets there.
    ///
    /// ```
    /// use gangday_calc::Maturity;
    /// let saul = Maturity::NurseSaul { datum_c: -10.0 };
    /// // 12 h at 20 C are worth 12, and at 10 C it takes 12 h for the other 8.
    /// assert_eq!(saul.wait(20.0, &[(12.0, 20.0), (1.0, 10.0)], 20.0), Some(24.0));
    /// ```
    #[must_use]
    pub fn wait(self, needed: f64, curve: &[(f64, f64)], reference_c: f64) -> Option<f64> {
        let ((_, last), before) = curve.split_last()?;
        let (mut left, mut waited) = (needed, 0.0);
        for (time, celsius) in before {
            let factor = self.factor(*celsius, reference_c);
            if left < time * factor {
                return Some(waited + left / factor);
            }
            left -= time * factor;
            waited += time;
        }
        let factor = self.factor(*last, reference_c);
        (factor > 0.0).then(|| waited + left / factor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(value: f64, expected: f64, within: f64) {
        assert!(
            (value - expected).abs() <= within,
            "{value} is not {expected}"
        );
    }

    /// civinnovate.com, worked example: 28 days at 15 C, datum -11 C, is 728 degree-days.
    #[test]
    fn the_published_maturity() {
        close(nurse_saul(&[(28.0, 15.0)], -11.0), 728.0, 1e-9);
    }

    /// Own arithmetic: half a day at 20 C and half at 10 C are worth 20 h at 20 C, datum -10 C.
    #[test]
    fn maturity_over_a_day() {
        let day = nurse_saul(&[(12.0, 20.0), (12.0, 10.0)], -10.0);
        close(day, 600.0, 1e-9);
        close(day, nurse_saul(&[(20.0, 20.0)], -10.0), 1e-9);
        close(nurse_saul(&[(5.0, -15.0)], -10.0), 0.0, 0.0);
    }

    /// Own arithmetic on the published formula, three activation energies, against 20 C.
    #[test]
    fn age_factors() {
        let rows = [
            (5_000.0, [0.2868, 0.3986, 0.5475, 0.7438, 1.7553]),
            (41_500.0 / 8.314, [0.2874, 0.3992, 0.5481, 0.7442, 1.7536]),
            (4_000.0, [0.3682, 0.4791, 0.6176, 0.7892, 1.5685]),
        ];
        for (e_over_r, factors) in rows {
            for (celsius, factor) in [0.0, 5.0, 10.0, 15.0, 30.0].into_iter().zip(factors) {
                close(
                    equivalent_age_factor(celsius, 20.0, e_over_r),
                    factor,
                    5.1e-5,
                );
            }
        }
    }

    /// EN 1992-1-1 Annex B (B.10), from memory: exp(13.65 - 4000/(273 + T)), whose printed
    /// constants are rounded, so that it is 0.9981 at 20 C and 0.6161 at 10 C.
    #[test]
    fn agrees_with_the_structural_code_up_to_its_rounding() {
        let code = |celsius: f64| (13.65 - 4_000.0 / (273.0 + celsius)).exp();
        close(code(20.0), 0.9981, 5e-5);
        for celsius in [0.0, 5.0, 10.0, 15.0, 30.0] {
            let ours = equivalent_age_factor(celsius, 20.0, 4_000.0);
            close(code(celsius) / code(20.0) / ours, 1.0, 2e-3);
        }
    }

    /// The `pyrealm` library, its own test of the Arrhenius factor: 40,000 J/mol at 26.85 C against
    /// 25 C is 1.10462263. Gas constant 8.3145 J/(mol K), as CODATA has it to five digits.
    #[test]
    fn the_arrhenius_factor_of_another_library() {
        let factor = equivalent_age_factor(26.85, 25.0, 40_000.0 / 8.3145);
        close(factor, 1.104_622_63, 5e-7);
    }

    /// fib Model Code 2010, (5.1-85), by the fib's own library `structuralcodes`: 7 d at 20 C and 7 d at
    /// 25 C are 15.7723 d, the worked value of its tests; a day each of six temperatures and one of five
    /// intervals by its function `t_T`, version 0.7.2. It counts from 273 K, and a day at 20 C is
    /// 0.998125 d by its rounded constants, so agreement is to one part in a thousand.
    #[test]
    fn the_worked_ages_of_the_model_code() {
        const AT_20: f64 = 0.998_124_6;
        let age = |history: &[(f64, f64)]| equivalent_age(history, 20.0, 4_000.0);
        let history = [
            (0.25, 5.0),
            (0.25, 8.0),
            (0.125, 12.0),
            (0.125, 15.0),
            (0.25, 9.0),
        ];
        close(
            age(&[(7.0, 20.0), (7.0, 25.0)]) * AT_20 / 15.7723,
            1.0,
            2e-4,
        );
        close(age(&history) * AT_20 / 0.588_744_9, 1.0, 1e-3);
        let days = [
            (5.0, 0.477_835_3),
            (10.0, 0.616_143_4),
            (15.0, 0.787_502_4),
            (20.0, AT_20),
            (30.0, 1.566_243_2),
            (40.0, 2.387_978_7),
        ];
        for (celsius, own) in days {
            close(age(&[(1.0, celsius)]) * AT_20 / own, 1.0, 1e-3);
        }
    }

    #[test]
    fn a_history_ages_as_its_parts_do() {
        let age = equivalent_age(&[(2.0, 10.0), (3.0, 20.0)], 20.0, 5_000.0);
        close(age, 2.0 * 0.5475 + 3.0, 1e-4);
    }

    /// Own arithmetic on Nurse and Saul: 600 degree-hours over -10 C are 20 h at 20 C, gone through
    /// in 24 h of half 20 C and half 10 C.
    #[test]
    fn a_wait_along_a_day_ends_when_the_age_is_reached() {
        let saul = Maturity::NurseSaul { datum_c: -10.0 };
        let day = [(12.0, 20.0), (12.0, 10.0)];
        let waits = |needed| saul.wait(needed, &day, 20.0).unwrap();
        close(waits(20.0), 24.0, 1e-9);
        close(waits(6.0), 6.0, 1e-9);
        close(waits(22.0), 27.0, 1e-9);
        assert_eq!(saul.wait(1.0, &[(5.0, -20.0)], 20.0), None);
        let age = Maturity::EquivalentAge { e_over_r: 5_000.0 };
        close(age.wait(0.5475, &[(9.0, 10.0)], 20.0).unwrap(), 1.0, 1e-4);
    }

    /// What a wait along a curve ages is what was needed, whatever the curve.
    #[test]
    fn a_wait_ages_exactly_what_was_needed() {
        let age = Maturity::EquivalentAge { e_over_r: 5_000.0 };
        let curve = [(2.0, 4.0), (3.0, 9.0), (4.0, 15.0), (2.0, 7.0)];
        for needed in [0.5, 1.0, 2.5, 5.0, 9.0] {
            let mut left = age.wait(needed, &curve, 20.0).unwrap();
            let mut gone = Vec::new();
            for (n, (time, celsius)) in curve.iter().enumerate() {
                let last = n + 1 == curve.len();
                let spent = if last { left } else { left.min(*time) };
                gone.push((spent, *celsius));
                left -= spent;
            }
            close(equivalent_age(&gone, 20.0, 5_000.0), needed, 1e-9);
        }
    }
}
