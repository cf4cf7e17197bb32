//! Every quantity of a job as formula, numbers and parameters with their sources.

mod along;
mod amounts;
mod bought;
mod opened;
mod times;
mod traced;
mod volumes;

use gangday_model::{Finding, Job, Nation, ParameterTable, TakeOff};
use schemars::JsonSchema;
use serde::Serialize;

use crate::stages::StageRules;
use crate::waits::Conditions;

pub use along::wait_as_planned;
pub use bought::Buying;
use traced::Tables;

/// One figure that a quantity rests on.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Traced {
    /// The row's key, or the property that the job states instead.
    pub key: String,
    /// The figure.
    pub value: f64,
    /// Its unit.
    pub unit: String,
    /// The document it comes from, "common practice, no source", "from memory", or the job.
    pub source: String,
    /// When the source was read or the figure was set.
    pub date: String,
}

/// One quantity, followed back.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Explained {
    /// What it is.
    pub quantity: String,
    /// How much.
    pub value: f64,
    /// Its unit.
    pub unit: String,
    /// The formula in words and symbols.
    pub formula: String,
    /// The formula with its numbers, which come to the value.
    pub numbers: String,
    /// The figures it rests on.
    pub parameters: Vec<Traced>,
    /// What it is a part of.
    pub part: Part,
}

/// What a quantity is a part of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Sizes and volumes of the dig and what fills it.
    #[default]
    Volumes,
    /// What is brought and what is taken away.
    Amounts,
    /// Pours, batches and lifts.
    Concrete,
    /// Stages and waits.
    Times,
    /// What tools do to whoever holds them.
    Health,
}

/// These quantities as parts of one thing.
fn of_part(part: Part, quantities: Vec<Explained>) -> impl Iterator<Item = Explained> {
    quantities
        .into_iter()
        .map(move |one| Explained { part, ..one })
}

/// Every quantity of a job, followed back to where its figures come from.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Explanation {
    /// The job.
    pub job: String,
    /// Every quantity, in the order of the work.
    pub quantities: Vec<Explained>,
    /// What somebody should look at: pours, sides, lifting and vibration.
    pub findings: Vec<Finding>,
}

/// What explanations are made from: the tables and what is read from them once.
#[derive(Clone, Copy, Debug)]
pub struct Explaining<'a> {
    /// The method table, laid over the shipped one.
    pub method: &'a ParameterTable,
    /// The materials table, laid over the shipped one.
    pub materials: &'a ParameterTable,
    /// What is read from both.
    pub rules: &'a StageRules,
    /// The day's weather and gang.
    pub conditions: Conditions,
    /// The road type of the job's street, 0 to 4, where it is known.
    pub road_type: Option<u8>,
    /// Whose code applies.
    pub nation: Nation,
    /// When its materials are needed, and what carries them.
    pub buying: Buying<'a>,
}

impl Explaining<'_> {
    /// Follows every quantity of this job back.
    ///
    /// `numbers` is arithmetic: `x` multiplies, `up` rounds up to the next whole number, `sqrt` and
    /// `exp` are what they are elsewhere.
    ///
    /// # Errors
    /// What keeps its stages from being worked out.
    ///
    /// ```
    /// use gangday_calc::{Buying, Conditions, Explaining, StageRules, shipped_materials, shipped_method, take_off};
    /// use gangday_model::{Job, LonLat, Nation, Position, Work};
    /// let (method, materials) = (shipped_method(), shipped_materials());
    /// let rules = StageRules::read(&method, &materials).unwrap();
    /// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Footway);
    /// let taken = take_off(&job, &method, &materials).unwrap();
    /// let conditions = Conditions::at(10.0);
    /// let explaining = Explaining { method: &method, materials: &materials, rules: &rules, conditions, road_type: None,
    ///     nation: Nation::England, buying: Buying::default() };
    /// let told = explaining.explain(&job, &taken).unwrap();
    /// let depth = &told.quantities[0];
    /// assert_eq!((depth.quantity.as_str(), depth.value), ("depth of the dig", 1150.0));
    /// assert_eq!(depth.numbers, "200 - 50 + 6 x 150 + 0 + 100");
    /// assert_eq!(depth.parameters[0].key, "chamber.base");
    /// ```
    pub fn explain(&self, job: &Job, take_off: &TakeOff) -> Result<Explanation, Vec<Finding>> {
        let tables = Tables {
            job,
            method: self.method,
            materials: self.materials,
        };
        let mut quantities = volumes::volumes(take_off, &tables);
        quantities.extend(opened::opened(self.road_type, take_off, &tables));
        quantities.extend(of_part(Part::Amounts, amounts::amounts(take_off, &tables)));
        let bought = bought::bought(&self.buying, take_off, &tables);
        quantities.extend(of_part(Part::Amounts, bought));
        quantities.extend(of_part(
            Part::Concrete,
            times::concrete(self, take_off, &tables)?,
        ));
        quantities.extend(of_part(
            Part::Times,
            times::stages(self, job, take_off, &tables)?,
        ));
        let vibration = times::vibration(self, job, take_off)?;
        let day = vibration.finding.clone();
        let exposure = times::exposure(&vibration, &tables);
        quantities.extend(of_part(Part::Health, vec![exposure]));
        Ok(Explanation {
            job: job.id.to_string(),
            quantities,
            findings: self.findings(take_off, day)?,
        })
    }

    fn findings(
        &self,
        take_off: &TakeOff,
        day: Option<Finding>,
    ) -> Result<Vec<Finding>, Vec<Finding>> {
        let mut found = self.rules.large_pours(take_off, self.conditions.people)?;
        found.extend(crate::opening::sides(take_off));
        found.extend(crate::handling(take_off, self.method));
        found.extend(day);
        found.extend(crate::finish(self.nation, take_off, self.method));
        let at = |finding: Finding| finding.at(take_off.job.as_str());
        Ok(found.into_iter().map(at).collect())
    }
}
