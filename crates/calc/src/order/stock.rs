//! What one order leaves over for the next.

use std::collections::BTreeMap;

use super::rates::Rates;

/// Left over by material, in parts times a hundred per cent, so that nothing is lost to rounding.
#[derive(Default)]
pub(crate) struct Stock {
    left: BTreeMap<String, i128>,
}

/// What an order takes from stock and from the supplier.
pub(crate) struct Drawn {
    /// From stock.
    pub(crate) used: i128,
    /// Whole packs from the supplier.
    pub(crate) packs: i128,
    /// What rounding up to packs added to the order.
    pub(crate) added: i128,
    /// What is in stock now.
    pub(crate) left: i128,
}

impl Stock {
    /// Takes what is needed, from what is left over first.
    pub(crate) fn draw(&mut self, material: &str, needed: i128, pack: i128) -> Drawn {
        let had = self.left.get(material).copied().unwrap_or_default();
        let used = had.min(needed);
        let packs = round_up(needed - used, pack.max(1));
        let added = packs * pack.max(1) - (needed - used);
        let left = had - used + added;
        if left != had {
            self.left.insert(material.to_owned(), left);
        }
        Drawn {
            used,
            packs,
            added,
            left,
        }
    }

    /// Throws away what does not keep to another day.
    pub(crate) fn overnight(&mut self, rates: &Rates) {
        self.left.retain(|material, _| rates.keeps(material));
    }
}

fn round_up(needed: i128, pack: i128) -> i128 {
    needed.div_euclid(pack) + i128::from(needed.rem_euclid(pack) != 0)
}
