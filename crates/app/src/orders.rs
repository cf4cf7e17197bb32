//! Orders as they are shown: rounded as a foreman would write them, the exact value on demand.

use gangday_model::{MaterialLine, Order, Packs, Supply};

use crate::view::{MaterialView, OrderView};
use crate::words;

/// An order as it is shown.
#[must_use]
pub fn in_words(order: &Order) -> OrderView {
    OrderView {
        key: order.key.clone(),
        materials: order.materials.iter().map(line_in_words).collect(),
        alternatives: order.alternatives.iter().map(line_in_words).collect(),
    }
}

/// One line of it.
pub(crate) fn line_in_words(line: &MaterialLine) -> MaterialView {
    let unit = words::unit(&line.unit);
    let supply = line.supply.as_ref();
    MaterialView {
        material: line.material.clone(),
        name: line.name.clone(),
        measured: words::rounded(line.measured, &line.unit),
        ordered: words::rounded(line.ordered, &line.unit),
        packs: line.packs.as_ref().map(packs).unwrap_or_default(),
        rounding: amount(line.rounding_added, &line.unit),
        brought_forward: amount(line.brought_forward, &line.unit),
        left_over: amount(line.left_over, &line.unit),
        order_by: supply.map_or_else(String::new, |supply| words::day(supply.order_by)),
        supplier: supply.map_or_else(String::new, supplier),
        price: supply
            .and_then(|supply| supply.price_pence)
            .map_or_else(String::new, words::money),
        why: line.why.clone(),
        exact: format!(
            "measured {} {unit}, ordered {} {unit}",
            line.measured, line.ordered
        ),
        unit,
    }
}

/// `3.50 kg`, or nothing; less than a tonne is told in kilograms.
pub(crate) fn amount(amount: f64, unit: &str) -> String {
    let (amount, unit) = match unit {
        "t" if amount < 1.0 => (amount * 1e3, "kg"),
        _ => (amount, unit),
    };
    let told = words::rounded(amount, unit);
    if told.contains(|digit| matches!(digit, '1'..='9')) {
        format!("{told} {}", words::unit(unit))
    } else {
        String::new()
    }
}

/// `Quarry, 2 working days`.
fn supplier(supply: &Supply) -> String {
    let days = supply.lead_days as usize;
    let lead = match days {
        0 => "same day".to_owned(),
        _ => words::count(days, "working day", "working days"),
    };
    match &supply.supplier {
        Some(name) => format!("{name}, {lead}"),
        None => lead,
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
    // Loads of several gang-days are in vehicles of several sizes.
    if packs.name == "load" {
        return format!("{count} {many}");
    }
    format!(
        "{count} {many} of {} {}",
        packs.size,
        words::unit(&packs.unit)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bags_are_told_with_what_is_in_one_and_loads_without() {
        let told = |name: &str, count| {
            packs(&Packs {
                name: name.to_owned(),
                count,
                size: 25.0,
                unit: "kg".to_owned(),
            })
        };
        assert_eq!(told("bag", 1161), "1,161 bags of 25 kg");
        assert_eq!(told("bag", 1), "1 bag of 25 kg");
        assert_eq!(told("load", 21), "21 loads");
        assert_eq!(told("load", 1), "1 load");
    }

    #[test]
    fn what_rounding_adds_to_bags_is_told_in_kilograms() {
        let told = amount(0.0125, "t");
        assert!(told.starts_with("12") && told.ends_with(" kg"), "{told}");
        assert!(amount(1.25, "t").ends_with(" t"));
        assert_eq!(amount(0.0, "t"), "");
    }
}
