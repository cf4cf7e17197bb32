//! Exact sums over take-offs.

use std::collections::BTreeMap;

use gangday_model::{TakeOff, Work};

use super::rates::Rates;
use super::round;

/// The mixture that comes in bags.
const COLD_LAY: &str = "cold_lay";

/// Sums in whole mm3, mm2, micrograms and numbers: the same in any order and any grouping.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Sums {
    pub(crate) base_concrete: i128,
    pub(crate) type1: i128,
    pub(crate) surround_concrete: i128,
    pub(crate) surfacing: i128,
    pub(crate) mortar: i128,
    pub(crate) topsoil: i128,
    pub(crate) sealed_edges: i128,
    pub(crate) spoil: i128,
    /// Of the spoil, walls of chambers that are replaced.
    pub(crate) old_walls: i128,
    pub(crate) bituminous: i128,
    pub(crate) sections: i128,
    pub(crate) ironwork: i128,
    pub(crate) old_ironwork: i128,
    /// Of all sections stacked.
    pub(crate) section_mass: i128,
    /// What ready-mixed concrete could take the place of: pours large enough for it, mm3 net and as
    /// it would be ordered.
    pub(crate) ready_mixed: [i128; 2],
    pub(crate) ready_pours: i128,
    /// Bound layers that somebody states, by mixture.
    pub(crate) mixtures: BTreeMap<String, i128>,
}

/// From what pour on ready-mixed concrete is worth asking for, and by what it is delivered, mm3.
struct Ready {
    from: i128,
    step: i128,
    /// Of base and surround, in millionths of a per cent.
    waste: [i128; 2],
}

impl Ready {
    fn of(rates: &Rates<'_>) -> Self {
        Self {
            from: rates.share("ready_mixed.from").whole(1e9),
            step: rates.size("ready_mixed.step").whole(1e9).max(1),
            waste: ["waste.base_concrete", "waste.surround_concrete"]
                .map(|key| rates.share(key).percent()),
        }
    }
}

impl Sums {
    pub(crate) fn of<'a>(
        take_offs: impl IntoIterator<Item = &'a TakeOff>,
        rates: &Rates<'_>,
    ) -> Self {
        let ready = Ready::of(rates);
        let mut sums = Self::default();
        for take_off in take_offs {
            sums.add(take_off);
            sums.add_ready(take_off, &ready);
        }
        sums
    }

    /// Pours that are large enough, each with its waste rounded up to what a plant delivers by.
    fn add_ready(&mut self, take_off: &TakeOff, ready: &Ready) {
        let volumes = &take_off.volumes;
        let pours = [volumes.base_concrete, volumes.surround_concrete];
        for (pour, waste) in pours.into_iter().zip(ready.waste) {
            let net = i128::from(pour.mm3());
            if ready.from > 0 && net >= ready.from {
                self.ready_pours += 1;
                self.ready_mixed[0] += net;
                self.ready_mixed[1] += round::packs(net, waste, ready.step) * ready.step;
            }
        }
    }

    fn add(&mut self, take_off: &TakeOff) {
        let volumes = &take_off.volumes;
        self.base_concrete += i128::from(volumes.base_concrete.mm3());
        self.type1 += i128::from(volumes.type1.mm3());
        self.surround_concrete += i128::from(volumes.surround_concrete.mm3());
        self.add_surfacing(take_off);
        self.mortar += i128::from(volumes.mortar.mm3());
        self.topsoil += i128::from(volumes.topsoil.mm3());
        self.sealed_edges += i128::from(take_off.sealed_edges.mm2());
        self.spoil += take_off.spoil.micrograms();
        self.old_walls += take_off.old_walls.micrograms();
        self.bituminous += take_off.bituminous.micrograms();
        self.sections += i128::from(take_off.sections);
        self.ironwork += i128::from(take_off.work != Work::Adjust);
        self.old_ironwork += i128::from(take_off.work == Work::Replace);
        self.section_mass += take_off.section_mass.micrograms() * i128::from(take_off.sections);
    }

    /// Stated layers by their mixture; what nobody states is cold-lay.
    fn add_surfacing(&mut self, take_off: &TakeOff) {
        if take_off.layers.is_empty() {
            self.surfacing += i128::from(take_off.volumes.surfacing.mm3());
        }
        for layer in &take_off.layers {
            let volume = i128::from(layer.volume.mm3());
            if layer.mixture == COLD_LAY {
                self.surfacing += volume;
            } else if let Some(sum) = self.mixtures.get_mut(&layer.mixture) {
                *sum += volume;
            } else {
                self.mixtures.insert(layer.mixture.clone(), volume);
            }
        }
    }
}
