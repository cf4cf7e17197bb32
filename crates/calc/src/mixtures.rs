//! Bituminous mixtures and how thick a lift of each may be.

use std::collections::BTreeMap;

use gangday_model::{Finding, Millimetres, ParameterTable};

/// How thick one compacted lift of a mixture may be.
///
/// # Units
/// Millimetres.
///
/// # Source
/// SROH 4th edition, Table A2.5, as rows `mixture.*` of the method table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LiftLimits {
    /// At any point at the least.
    pub least: Millimetres,
    /// Nominal thickness, from.
    pub nominal_from: Millimetres,
    /// Nominal thickness, to.
    pub nominal_to: Millimetres,
    /// At any point at the most.
    pub most: Millimetres,
}

const PREFIX: &str = "mixture.";
const PARTS: [&str; 4] = ["least", "nominal_from", "nominal_to", "most"];

impl LiftLimits {
    /// The limits of this mixture, where the table has them all.
    ///
    /// ```
    /// use gangday_calc::{LiftLimits, shipped_method};
    /// let limits = LiftLimits::of("ac20_dense_bin", &shipped_method()).unwrap();
    /// assert_eq!((limits.least.mm(), limits.most.mm()), (40, 110));
    /// ```
    #[must_use]
    pub fn of(mixture: &str, method: &ParameterTable) -> Option<Self> {
        let [least, nominal_from, nominal_to, most] = PARTS.map(|part| {
            let value = method.value(&format!("{PREFIX}{mixture}.{part}"))?;
            (1.0..=1e4)
                .contains(&value)
                .then_some(Millimetres::from_mm(value as i64))
        });
        Some(Self {
            least: least?,
            nominal_from: nominal_from?,
            nominal_to: nominal_to?,
            most: most?,
        })
    }

    /// In how many equal lifts this thickness is laid: as few as the limits allow, near nominal.
    #[must_use]
    pub fn lifts(&self, thickness: Millimetres) -> Option<u32> {
        let fits = |lifts: i64, from: Millimetres, to: Millimetres| {
            thickness >= from * lifts && thickness <= to * lifts
        };
        let upmost = thickness.mm() / self.least.mm().max(1);
        let within = |from, to| (1..=upmost).find(|lifts| fits(*lifts, from, to));
        within(self.nominal_from, self.nominal_to)
            .or_else(|| within(self.least, self.most))
            .and_then(|lifts| u32::try_from(lifts).ok())
    }
}

/// The user's layers by the stack that they belong to, and the limits of every known mixture.
#[derive(Clone, Debug, Default)]
pub(crate) struct Layering {
    limits: BTreeMap<String, LiftLimits>,
    stacks: BTreeMap<String, Vec<(String, Millimetres)>>,
}

impl Layering {
    pub(crate) fn read(method: &ParameterTable) -> Result<Self, Vec<Finding>> {
        let suffix = ".least";
        let known = method.under(PREFIX).filter_map(|row| {
            let mixture = row.key.strip_prefix(PREFIX)?.strip_suffix(suffix)?;
            Some((mixture.to_owned(), LiftLimits::of(mixture, method)?))
        });
        let mut layering = Self {
            limits: known.collect(),
            stacks: BTreeMap::new(),
        };
        let mut faults = Vec::new();
        let mut rows: Vec<_> = method.under("layers.").collect();
        rows.sort_by_key(|row| order_of(&row.key));
        for row in rows {
            match layer_of(&row.key, row.value) {
                Some((stack, layer)) => layering.stacks.entry(stack).or_default().push(layer),
                None => faults.push(unreadable(&row.key, row.value)),
            }
        }
        if faults.is_empty() {
            Ok(layering)
        } else {
            Err(faults)
        }
    }

    /// The layers of this stack, from the surface down.
    pub(crate) fn stack(&self, name: &str) -> Option<&Vec<(String, Millimetres)>> {
        self.stacks.get(name)
    }

    /// In how many lifts a layer is laid; one, where nobody has published limits for the mixture.
    pub(crate) fn lifts(&self, mixture: &str, thickness: Millimetres) -> Result<u32, Box<Finding>> {
        let Some(limits) = self.limits.get(mixture) else {
            return Ok(1);
        };
        limits.lifts(thickness).ok_or_else(|| {
            let (thickness, least, most) = (thickness.mm(), limits.least.mm(), limits.most.mm());
            let text = format!(
                "{thickness} mm of {mixture} can't be laid in lifts of {least} to {most} mm \
                     (SROH 4th edition, Table A2.5)"
            );
            let remedy = "Change the layer's thickness or its mixture.";
            Box::new(Finding::fault("C-LAYER-LIFT", text, remedy))
        })
    }
}

/// `layers.carriageway.1.ac10_close_surf`: the number that orders the rows of one stack.
fn order_of(key: &str) -> u32 {
    let number = key.split('.').nth(2).and_then(|n| n.parse().ok());
    number.unwrap_or(u32::MAX)
}

fn layer_of(key: &str, value: f64) -> Option<(String, (String, Millimetres))> {
    let mut parts = key.splitn(4, '.').skip(1);
    let stack = parts.next()?;
    parts.next()?.parse::<u32>().ok()?;
    let mixture = parts.next().filter(|name| !name.is_empty())?;
    let whole = value.fract() == 0.0 && (1.0..=5e3).contains(&value);
    whole.then(|| {
        let layer = (mixture.to_owned(), Millimetres::from_mm(value as i64));
        (stack.to_owned(), layer)
    })
}

fn unreadable(key: &str, value: f64) -> Finding {
    Finding::fault(
        "C-LAYERS",
        format!("{key} = {value} is no layer"),
        "Name it layers.POSITION.N.MIXTURE, N from 1 at the surface, in whole mm above nothing.",
    )
    .in_file("method.json")
    .at(key)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::defaults::shipped_method;

    /// SROH 4th edition (May 2020), Table A2.5, HAUC(UK) web text: least, nominal, most.
    #[test]
    fn the_published_lift_table() {
        let table = [
            ("ac6_dense_surf", [15, 20, 30, 40]),
            ("ac10_close_surf", [25, 30, 40, 50]),
            ("hra_15_10", [25, 30, 30, 50]),
            ("hra_30_10", [30, 35, 35, 45]),
            ("hra_30_14", [35, 40, 40, 50]),
            ("hra_35_14", [40, 45, 50, 60]),
            ("hra_55_14", [40, 45, 45, 55]),
            ("hra_55_10", [35, 40, 40, 50]),
            ("pa_10", [25, 30, 35, 40]),
            ("pa_20", [40, 45, 60, 65]),
            ("sma_6", [15, 20, 40, 45]),
            ("sma_10", [20, 25, 50, 55]),
            ("sma_14", [30, 35, 50, 55]),
            ("hra_50_14_bin", [30, 35, 65, 85]),
            ("hra_50_20_bin", [40, 45, 80, 100]),
            ("hra_60_20_bin", [40, 45, 80, 100]),
            ("sma_14_bin", [25, 30, 60, 65]),
            ("sma_20_bin", [40, 50, 100, 110]),
            ("dbc_14", [35, 40, 70, 80]),
            ("ac20_dense_bin", [40, 50, 100, 110]),
        ];
        let method = shipped_method();
        assert_eq!(
            method.under(PREFIX).count(),
            table.len() * PARTS.len(),
            "no mixture beyond the table"
        );
        for (mixture, published) in table {
            let limits = LiftLimits::of(mixture, &method).unwrap();
            let parts = [
                limits.least,
                limits.nominal_from,
                limits.nominal_to,
                limits.most,
            ];
            assert_eq!(parts.map(Millimetres::mm), published, "{mixture}");
        }
    }

    /// By hand from the same table, for AC20 dense binder, 40 / 50 to 100 / 110 mm.
    #[test]
    fn thick_layers_are_split_near_nominal() {
        let limits = LiftLimits::of("ac20_dense_bin", &shipped_method()).unwrap();
        let lifts = |mm| limits.lifts(Millimetres::from_mm(mm));
        assert_eq!(
            [39, 40, 60, 110, 111, 200, 250].map(lifts),
            [None, Some(1), Some(1), Some(2), Some(2), Some(2), Some(3)]
        );
    }
}
