//! Which plant compacts what: lift by lift, pass by pass, minute by minute.

use std::collections::BTreeMap;

use gangday_model::{
    CubicMillimetres, Finding, Layer, Millimetres, ParameterTable, SquareMillimetres, TakeOff,
};
use schemars::JsonSchema;
use serde::Serialize;

use crate::figures::Figures;
use crate::frustum::Frustum;
use crate::lifts::{Fill, LiftPlan, lift_plan};

/// Where the passes on bituminous lifts stand.
const BITUMINOUS: &str = "lift.bituminous.";

/// Passes on surfacing that is no bituminous layer of the user's.
const SURFACING_PASSES: &str = "lift.surfacing_passes";

/// Passes, and the row that states them.
type Passes<T> = (u32, T);

/// One lift, compacted.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CompactedLift<'a> {
    /// What is compacted: `type1`, `surfacing` or a layer's mixture.
    pub material: &'a str,
    /// The plant, as `lift.use.*` names it.
    pub plant: &'a str,
    /// Top of the lift below the surface, mm.
    pub top_mm: i64,
    /// Compacted thickness, mm.
    pub thickness_mm: i64,
    /// Passes over it.
    pub passes: u32,
    /// The row of the method table that states them.
    pub row: &'a str,
    /// Area at its middle, m2.
    pub area_m2: f64,
    /// Machine time: passes x area / (plate width x walking speed).
    pub minutes: f64,
}

/// The lifts that Table A8.1 has columns for, mm.
const COLUMNS: [i64; 3] = [100, 150, 200];

/// How fill and surfacing are compacted by the plant on the gang, read once.
#[derive(Clone, Debug)]
pub struct CompactionRules {
    thickness: Millimetres,
    type1: Result<LiftPlan, Vec<Finding>>,
    /// The same for what is lower than one lift, by the columns of the published table.
    type1_low: Vec<(Millimetres, Result<LiftPlan, Vec<Finding>>)>,
    surfacing_lift: Millimetres,
    surfacing_passes: u32,
    /// Passes by plant and thickness, for the plant on the gang.
    bituminous: BTreeMap<String, BTreeMap<i64, Passes<String>>>,
    m2_per_min: f64,
}

impl CompactionRules {
    /// Reads the figures that compaction needs.
    ///
    /// # Errors
    /// Every figure that is missing or can't be used.
    pub fn read(method: &ParameterTable) -> Result<Self, Vec<Finding>> {
        let mut read = Figures::method(method);
        let on_gang = |plant: &str| method.value(&format!("lift.use.{plant}")) > Some(0.0);
        let mut bituminous: BTreeMap<String, BTreeMap<i64, Passes<String>>> = BTreeMap::new();
        for row in method.under(BITUMINOUS) {
            let Some((plant, column)) = row.key[BITUMINOUS.len()..].split_once('.') else {
                continue;
            };
            if let (true, Ok(column)) = (on_gang(plant), column.parse()) {
                let passes = read.whole(&row.key) as u32;
                bituminous
                    .entry(plant.to_owned())
                    .or_default()
                    .insert(column, (passes, row.key.clone()));
            }
        }
        let width_m = read.rate("chamber.plate") / 1e3;
        let type1 = |mm| lift_plan(Millimetres::from_mm(mm), Fill::Granular, method);
        let rules = Self {
            thickness: read.mm("lift.thickness"),
            type1: type1(method.value("lift.thickness").unwrap_or(0.0) as i64),
            type1_low: COLUMNS
                .map(|mm| (Millimetres::from_mm(mm), type1(mm)))
                .to_vec(),
            surfacing_lift: Millimetres::from_mm(read.rate("chamber.surfacing_lift") as i64),
            surfacing_passes: read.whole(SURFACING_PASSES) as u32,
            bituminous,
            m2_per_min: width_m * read.rate("lift.walking_speed"),
        };
        let faults = read.into_faults();
        if faults.is_empty() {
            Ok(rules)
        } else {
            Err(faults)
        }
    }

    /// Every lift of a chamber's fill and surfacing, from the bottom up.
    ///
    /// # Errors
    /// A lift that the published tables do not let the gang's plant compact, named.
    ///
    /// # Source
    /// SROR 3rd edition (Scotland), Table A8.1, and for bituminous layers SROH 4th edition, Table
    /// NGA8.1, as rows of the method table; in-situ air voids govern, not passes.
    ///
    /// ```
    /// use gangday_calc::{CompactionRules, shipped_materials, shipped_method, take_off};
    /// use gangday_model::{Job, LonLat, Position, Work};
    /// let (method, materials) = (shipped_method(), shipped_materials());
    /// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Footway);
    /// let taken = take_off(&job, &method, &materials).unwrap();
    /// let plan = CompactionRules::read(&method).unwrap();
    /// let lifts = plan.plan(&taken).unwrap();
    /// // 625 mm of type 1 in five lifts, 60 mm of surfacing in two.
    /// assert_eq!(lifts.len(), 7);
    /// assert_eq!((lifts[0].thickness_mm, lifts[0].passes), (150, 8));
    /// ```
    pub fn plan<'a>(
        &'a self,
        take_off: &'a TakeOff,
    ) -> Result<Vec<CompactedLift<'a>>, Vec<Finding>> {
        let mut lifts = self.type1(take_off)?;
        lifts.extend(self.surfacing(take_off)?);
        Ok(lifts)
    }

    /// The lifts of type 1, from the bottom up; the topmost is the thinner one.
    pub(crate) fn type1<'a>(
        &'a self,
        take_off: &TakeOff,
    ) -> Result<Vec<CompactedLift<'a>>, Vec<Finding>> {
        let (mut bottom, top) = (take_off.levels.base_top, take_off.levels.type1_top);
        if bottom == top {
            return Ok(Vec::new());
        }
        let plan = self.type1_plan(bottom - top).map_err(Clone::clone)?;
        let standing = take_off.outside_length * take_off.outside_width;
        let mut lifts = Vec::new();
        while bottom > top {
            let from = (bottom - self.thickness).max(top);
            let volume = hole(take_off).between(from, bottom) - standing * (bottom - from);
            lifts.push(self.lift(
                "type1",
                &plan.plant,
                (from, bottom),
                (plan.passes_per_lift, plan.row.as_str()),
                volume,
            ));
            bottom = from;
        }
        Ok(lifts)
    }

    /// How a height of type 1 is compacted: by its own thickness where it is lower than one lift.
    fn type1_plan(&self, height: Millimetres) -> Result<&LiftPlan, &Vec<Finding>> {
        let low = self.type1_low.iter().filter(|_| height < self.thickness);
        let own = low
            .map(|(column, plan)| (column, plan))
            .find(|(column, _)| height <= **column);
        own.map_or(&self.type1, |(_, plan)| plan).as_ref()
    }

    /// The lifts of the surfacing, from the bottom up.
    pub(crate) fn surfacing<'a>(
        &'a self,
        take_off: &'a TakeOff,
    ) -> Result<Vec<CompactedLift<'a>>, Vec<Finding>> {
        let bottom = take_off.levels.surfacing_bottom;
        if take_off.volumes.surfacing == CubicMillimetres::ZERO {
            return Ok(Vec::new());
        }
        if take_off.layers.is_empty() {
            let up = |mm: i64, by: i64| (mm + by - 1).div_euclid(by);
            let many = up(bottom.mm(), self.surfacing_lift.mm().max(1)).max(1);
            let (plant, _) = self.on_lift(up(bottom.mm(), many), "surfacing")?;
            let by = (plant, (self.surfacing_passes, SURFACING_PASSES));
            return Ok(self.equal_lifts(
                take_off,
                "surfacing",
                by,
                (Millimetres::ZERO, bottom),
                many,
            ));
        }
        let mut lifts = Vec::new();
        let mut below = bottom;
        for layer in take_off.layers.iter().rev() {
            let above = below - layer.thickness;
            let by = self.bituminous(layer)?;
            let many = i64::from(layer.lifts);
            lifts.extend(self.equal_lifts(take_off, &layer.mixture, by, (above, below), many));
            below = above;
        }
        Ok(lifts)
    }

    fn equal_lifts<'a>(
        &'a self,
        take_off: &TakeOff,
        material: &'a str,
        (plant, passes): (&'a str, Passes<&'a str>),
        (top, bottom): (Millimetres, Millimetres),
        many: i64,
    ) -> Vec<CompactedLift<'a>> {
        let thickness = (bottom - top).mm();
        let level = |n: i64| bottom - Millimetres::from_mm(thickness * n / many.max(1));
        let ironwork = take_off.ironwork_length * take_off.ironwork_width;
        let lift = |n: i64| {
            let (from, to) = (level(n + 1), level(n));
            let volume = hole(take_off).between(from, to) - ironwork * (to - from);
            self.lift(material, plant, (from, to), passes, volume)
        };
        (0..many.max(1)).map(lift).collect()
    }

    fn lift<'a>(
        &self,
        material: &'a str,
        plant: &'a str,
        (top, bottom): (Millimetres, Millimetres),
        (passes, row): Passes<&'a str>,
        volume: CubicMillimetres,
    ) -> CompactedLift<'a> {
        let thickness = bottom - top;
        let area = SquareMillimetres::from_mm2(volume.mm3() / thickness.mm().max(1)).m2();
        CompactedLift {
            material,
            plant,
            top_mm: top.mm(),
            thickness_mm: thickness.mm(),
            passes,
            row,
            area_m2: area,
            minutes: f64::from(passes) * area / self.m2_per_min,
        }
    }

    /// The plant on the gang with fewest passes on a lift of this layer.
    fn bituminous(&self, layer: &Layer) -> Result<(&str, Passes<&str>), Vec<Finding>> {
        let thickness = layer
            .thickness
            .mm()
            .div_euclid(i64::from(layer.lifts.max(1)));
        self.on_lift(thickness, &layer.mixture)
    }

    /// The plant on the gang with fewest passes on a bituminous lift of so many millimetres.
    fn on_lift(&self, thickness: i64, mixture: &str) -> Result<(&str, Passes<&str>), Vec<Finding>> {
        let permitted = self.bituminous.iter().filter_map(|(plant, columns)| {
            let (_, (passes, row)) = columns.range(thickness..).next()?;
            (*passes > 0).then_some((*passes, plant.as_str(), row.as_str()))
        });
        permitted
            .min()
            .map(|(passes, plant, row)| (plant, (passes, row)))
            .ok_or_else(|| {
                let plant: Vec<_> = self.bituminous.keys().map(String::as_str).collect();
                let plant = plant.join(", ");
                let text = format!(
                    "a lift of {thickness} mm of {mixture} is not recommended with {}",
                    if plant.is_empty() { "no plant" } else { &plant }
                );
                let remedy = "Split the layer or lessen chamber.surfacing_lift, or set lift.use of \
                              the plant that the gang has to 1.";
                vec![Finding::fault("C-LIFT", text, remedy)]
            })
    }
}

fn hole(take_off: &TakeOff) -> Frustum {
    Frustum {
        foot: (take_off.foot_length, take_off.foot_width),
        top: (take_off.dig_length, take_off.dig_width),
        depth: take_off.depth,
    }
}
