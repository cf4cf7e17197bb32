//! What has to be applied for or given notice of, by when, and what it makes the earliest start.

use chrono::{NaiveDate, NaiveDateTime};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{JobId, Nation};

/// The category of works that the law sorts them into.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum WorksCategory {
    /// Emergency or urgent.
    Immediate,
    /// Short.
    Minor,
    /// Neither.
    Standard,
    /// Long, or the road is closed by order.
    Major,
}

/// One thing to apply for or to give notice of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct NoticeStep {
    /// Stable name: `application`.
    pub step: String,
    /// What to do: `Apply for the permit`.
    pub what: String,
    /// The last moment that still counts, local time.
    pub by: NaiveDateTime,
    /// The rule: `10 working days before the start`.
    pub rule: String,
    /// Act, regulation, edition and clause, or "from memory".
    pub source: String,
    /// Whether that moment is before the programme's day.
    pub missed: bool,
}

/// What one job's works have to be told of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Notice {
    /// The job.
    pub job: JobId,
    /// Whose law.
    pub nation: Nation,
    /// Which edition of it.
    pub edition: String,
    /// The category.
    pub category: WorksCategory,
    /// The rule that led to the category.
    pub because: String,
    /// Where that rule comes from.
    pub source: String,
    /// The planned days, working days counted from first to last.
    pub working_days: u32,
    /// What to do and by when, the first first.
    pub steps: Vec<NoticeStep>,
    /// The first day on which works may start where notice is given on the programme's day; none
    /// where the programme states no day.
    pub earliest: Option<NaiveDate>,
    /// The longest that a closure of this kind may stand, in words, where one is needed.
    pub longest: Option<String>,
}
