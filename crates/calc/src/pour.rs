//! Concrete mixed on site, batch by batch, each within its open time.

use gangday_model::{CubicMillimetres, Finding, ParameterTable, Stage, TakeOff};
use schemars::JsonSchema;
use serde::Serialize;

use crate::figures::Figures;

/// What concrete is mixed by: pack, water, mixers and open time.
#[derive(Clone, Debug)]
pub struct PourRules {
    yield_m3: f64,
    water: f64,
    water_extra: f64,
    pub(crate) mixers: f64,
    output: f64,
    open_time: f64,
    batches_most: f64,
    ready_from: f64,
    ready_step: f64,
    /// Of base and surround, per cent.
    waste: [f64; 2],
}

/// One pour, as it is mixed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Pour {
    /// The stage that it belongs to.
    pub stage: Stage,
    /// Net in place, m3.
    pub volume_m3: f64,
    /// Bags to fill it, without waste.
    pub bags: u32,
    /// Bags in a full batch.
    pub bags_per_batch: u32,
    /// Batches, each mixed and placed within the open time.
    pub batches: u32,
    /// Water for a full batch, litres.
    pub water_per_batch_l: f64,
    /// Water that may be added to a full batch besides, litres.
    pub water_extra_per_batch_l: f64,
    /// Ready-mixed concrete to order instead with its waste, m3, where the pour is large enough for it.
    pub ready_mixed_m3: Option<f64>,
}

impl PourRules {
    /// Reads the figures that mixing needs.
    ///
    /// # Errors
    /// Every figure that is missing or can't be used.
    pub fn read(method: &ParameterTable, materials: &ParameterTable) -> Result<Self, Vec<Finding>> {
        let mut read = Figures::materials(materials);
        let mut own = Figures::method(method);
        let rules = Self {
            yield_m3: read.rate("pack.concrete.yield"),
            water: read.number("pack.concrete.water"),
            water_extra: read.number("pack.concrete.water_extra"),
            open_time: read.rate("open_time.concrete"),
            ready_from: read.number("ready_mixed.from"),
            ready_step: read.rate("ready_mixed.step"),
            waste: ["waste.base_concrete", "waste.surround_concrete"].map(|key| read.number(key)),
            mixers: own.rate("mixer.count"),
            output: own.rate("output.concrete"),
            batches_most: own.rate("mixer.batches_most"),
        };
        let mut faults = read.into_faults();
        faults.extend(own.into_faults());
        if faults.is_empty() {
            Ok(rules)
        } else {
            Err(faults)
        }
    }

    /// How this volume is mixed by a gang that takes `slower` times as long as the usual one.
    ///
    /// A batch is as many whole bags as the mixers make and the gang places within the open time,
    /// but one bag at the least.
    ///
    /// ```
    /// use gangday_calc::{PourRules, shipped_materials, shipped_method};
    /// use gangday_model::{CubicMillimetres, Stage};
    /// let rules = PourRules::read(&shipped_method(), &shipped_materials()).unwrap();
    /// // 1.2 m3/h for 10 min is 0.2 m3: 17 bags of 0.0115 m3. 0.3695 m3 are 33 bags.
    /// let pour = rules.pour(Stage::Base, CubicMillimetres::from_mm3(369_500_000), 1.0);
    /// assert_eq!((pour.bags, pour.bags_per_batch, pour.batches), (33, 17, 2));
    /// ```
    #[must_use]
    pub fn pour(&self, stage: Stage, volume: CubicMillimetres, slower: f64) -> Pour {
        let bags = up(volume.m3() / self.yield_m3);
        let full = self.bags_per_batch(slower);
        let ready = self.ready_from > 0.0 && volume.m3() >= self.ready_from;
        let waste = self.waste[usize::from(stage != Stage::Base)];
        let with_waste = volume.m3() * (1.0 + waste / 100.0);
        Pour {
            stage,
            volume_m3: volume.m3(),
            bags,
            bags_per_batch: full,
            batches: bags.div_ceil(full),
            water_per_batch_l: self.water * f64::from(full.min(bags)),
            water_extra_per_batch_l: self.water_extra * f64::from(full.min(bags)),
            ready_mixed_m3: ready
                .then(|| f64::from(up(with_waste / self.ready_step)) * self.ready_step),
        }
    }

    /// Batches alone.
    pub(crate) fn batches(&self, volume: CubicMillimetres, slower: f64) -> u32 {
        up(volume.m3() / self.yield_m3).div_ceil(self.bags_per_batch(slower))
    }

    fn bags_per_batch(&self, slower: f64) -> u32 {
        let in_open_time = self.output * self.mixers / slower * self.open_time / 60.0;
        ((in_open_time / self.yield_m3 + HAIR) as u32).max(1)
    }

    /// The pours of a chamber.
    #[must_use]
    pub fn pours(&self, take_off: &TakeOff, slower: f64) -> Vec<Pour> {
        let volumes = &take_off.volumes;
        let pours = [
            (Stage::Base, volumes.base_concrete),
            (Stage::Surround, volumes.surround_concrete),
        ];
        let poured = pours
            .into_iter()
            .filter(|(_, volume)| *volume > CubicMillimetres::ZERO);
        poured
            .map(|(stage, volume)| self.pour(stage, volume, slower))
            .collect()
    }

    /// A pour of more batches than can be worked into one another, with what can be done about it.
    pub(crate) fn too_large(&self, pour: &Pour) -> Option<Finding> {
        let batches = f64::from(pour.batches);
        (batches > self.batches_most).then(|| {
            let mixers = self.mixers * (batches / self.batches_most).ceil();
            let what = match pour.stage {
                Stage::Base => "base",
                _ => "surround",
            };
            let ready = match pour.ready_mixed_m3 {
                Some(ready) => format!("or order {ready:.2} m3 of ready-mixed concrete"),
                None => "or order ready-mixed concrete".to_owned(),
            };
            Finding::warning(
                "C-POUR",
                format!(
                    "the {what}'s {:.3} m3 take {batches} batches of {} bags; {} fit one pour within \
                     the open time of {} min",
                    pour.volume_m3, pour.bags_per_batch, self.batches_most, self.open_time
                ),
                format!("Bring {mixers} mixers, split the pour at a joint, {ready}."),
            )
        })
    }
}

/// Below what a scale shows: keeps a sum that should be whole from counting one more.
const HAIR: f64 = 1e-9;

fn up(count: f64) -> u32 {
    (count - HAIR).ceil().clamp(0.0, 1e9) as u32
}

/// A standardised prescribed mix, dry, for one cubic metre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrescribedMix {
    /// Cement of class 32.5, kg.
    pub cement_kg: f64,
    /// Fine aggregate, kg.
    pub fine_kg: f64,
    /// Coarse aggregate up to 20 mm, kg.
    pub coarse_kg: f64,
}

impl PrescribedMix {
    /// The mix of this name, such as `st2_s2`.
    ///
    /// # Source
    /// NHBC Standards 3.1.4 (2 January 2025), Table 2, as rows `mix.*` of the materials table.
    ///
    /// ```
    /// use gangday_calc::{PrescribedMix, shipped_materials};
    /// let st2 = PrescribedMix::of("st2_s2", &shipped_materials()).unwrap();
    /// assert_eq!(st2.dry_kg(), 2160.0);
    /// ```
    #[must_use]
    pub fn of(name: &str, materials: &ParameterTable) -> Option<Self> {
        let part = |part: &str| materials.value(&format!("mix.{name}.{part}"));
        Some(Self {
            cement_kg: part("cement")?,
            fine_kg: part("fine")?,
            coarse_kg: part("coarse")?,
        })
    }

    /// All that is dry.
    #[must_use]
    pub fn dry_kg(&self) -> f64 {
        self.cement_kg + self.fine_kg + self.coarse_kg
    }

    /// What a bag of this mass, all of it dry mix, fills, in m3.
    #[must_use]
    pub fn yield_m3(&self, bag_kg: f64) -> f64 {
        bag_kg / self.dry_kg()
    }

    /// With cement of class 42.5, or mixed by hand, or both.
    #[must_use]
    pub fn adjusted(
        mut self,
        stronger_cement: bool,
        by_hand: bool,
        materials: &ParameterTable,
    ) -> Self {
        let share = |key| materials.value(key).unwrap_or(0.0) / 100.0;
        if stronger_cement {
            self.cement_kg *= 1.0 - share("mix.less_cement.class_42_5");
        }
        if by_hand {
            self.cement_kg *= 1.0 + share("mix.more_cement.by_hand");
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::defaults::{shipped_materials, shipped_method};

    /// NHBC Standards 3.1.4 (2 January 2025), Table 2; the dry total, the yield of 25 kg and the
    /// bags per m3 are own arithmetic from it.
    #[test]
    fn the_published_mixes() {
        let table = [
            ("st1_s1", [230.0, 770.0, 1155.0], 2155.0, 0.01160, 86.2),
            ("st2_s2", [265.0, 760.0, 1135.0], 2160.0, 0.01157, 86.4),
            ("st2_s3", [285.0, 735.0, 1105.0], 2125.0, 0.01176, 85.0),
            ("st2_s4", [300.0, 815.0, 990.0], 2105.0, 0.01188, 84.2),
            ("st3_s2", [295.0, 745.0, 1120.0], 2160.0, 0.01157, 86.4),
            ("st4_s2", [330.0, 735.0, 1100.0], 2165.0, 0.01155, 86.6),
            ("st5_s2", [375.0, 720.0, 1080.0], 2175.0, 0.01149, 87.0),
        ];
        let materials = shipped_materials();
        for (name, [cement, fine, coarse], dry, bag, bags) in table {
            let mix = PrescribedMix::of(name, &materials).unwrap();
            let expected = PrescribedMix {
                cement_kg: cement,
                fine_kg: fine,
                coarse_kg: coarse,
            };
            assert_eq!(mix, expected, "{name}");
            assert!((mix.dry_kg() - dry).abs() < 1e-9, "{name}");
            assert!((mix.yield_m3(25.0) - bag).abs() < 5.1e-6, "{name}");
            assert!((1.0 / mix.yield_m3(25.0) - bags).abs() < 0.051, "{name}");
        }
    }

    /// NHBC Standards 3.1.4: cement 10 % less for class 42.5, 10 % more mixed by hand.
    #[test]
    fn cement_is_adjusted_for_its_class_and_for_hand_mixing() {
        let materials = shipped_materials();
        let mix = PrescribedMix::of("st4_s2", &materials).unwrap();
        let cement = |stronger, by_hand| mix.adjusted(stronger, by_hand, &materials).cement_kg;
        assert!((cement(true, false) - 297.0).abs() < 1e-9);
        assert!((cement(false, true) - 363.0).abs() < 1e-9);
        assert!((cement(true, true) - 326.7).abs() < 1e-9);
    }

    /// The shipped pack yield is the least of the published mixes', to four places.
    #[test]
    fn the_shipped_yield_is_the_published_mixes_least() {
        let materials = shipped_materials();
        let least = PrescribedMix::of("st5_s2", &materials).unwrap();
        let shipped = materials.value("pack.concrete.yield").unwrap();
        assert!((least.yield_m3(25.0) - shipped).abs() < 5e-5);
    }

    /// By hand: 1.6 m3 at 0.0115 m3 a bag are 140 bags, nine batches of 17.
    #[test]
    fn a_pour_past_its_open_time_names_what_can_be_done() {
        let rules = PourRules::read(&shipped_method(), &shipped_materials()).unwrap();
        let volume = CubicMillimetres::from_mm3(1_600_000_000);
        let pour = rules.pour(Stage::Base, volume, 1.0);
        assert_eq!((pour.bags, pour.batches), (140, 9));
        assert_eq!(pour.ready_mixed_m3, Some(1.75));
        let told = rules.too_large(&pour).unwrap();
        assert!(told.code == "C-POUR" && told.remedy.starts_with("Bring 3 mixers"));
        assert!(told.remedy.contains("ready-mixed") && told.remedy.contains("split"));
        // 1.7 m3 fit 1.75 m3, but with 5 % of waste they are 1.785 m3.
        let wasted = rules.pour(
            Stage::Surround,
            CubicMillimetres::from_mm3(1_700_000_000),
            1.0,
        );
        assert_eq!(wasted.ready_mixed_m3, Some(2.0));
        let small = rules.pour(Stage::Base, CubicMillimetres::from_mm3(369_500_000), 1.0);
        assert_eq!(rules.too_large(&small), None);
        assert_eq!(small.ready_mixed_m3, None);
    }
}
