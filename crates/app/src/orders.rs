//! Orders as they are shown: rounded as a foreman would write them, the exact value on demand.

use gangday_model::{MaterialLine, Order, Packs};

use crate::view::{MaterialView, OrderView};
use crate::words;

/// An order as it is shown.
#[must_use]
pub fn in_words(order: &Order) -> OrderView {
    OrderView {
        key: order.key.clone(),
        materials: order.materials.iter().map(line).collect(),
    }
}

fn line(line: &MaterialLine) -> MaterialView {
    let unit = words::unit(&line.unit);
    let rounding = words::rounded(line.rounding_added, &line.unit);
    MaterialView {
        material: line.material.clone(),
        name: line.name.clone(),
        measured: words::rounded(line.measured, &line.unit),
        ordered: words::rounded(line.ordered, &line.unit),
        packs: line.packs.as_ref().map(packs).unwrap_or_default(),
        rounding: if line.rounding_added > 0.0 {
            format!("{rounding} {unit}")
        } else {
            String::new()
        },
        why: line.why.clone(),
        exact: format!(
            "measured {} {unit}, ordered {} {unit}",
            line.measured, line.ordered
        ),
        unit,
    }
}

/// `14 bags of 25 kg`.
fn packs(packs: &Packs) -> String {
    let many = if packs.count == 1 {
        packs.name.clone()
    } else {
        format!("{}s", packs.name)
    };
    let count = words::thousands(u64::from(packs.count));
    format!(
        "{count} {many} of {} {}",
        packs.size,
        words::unit(&packs.unit)
    )
}
