//! A programme: everything that a week is planned from.

use crate::{Gang, GangId, Job, JobId, ParameterTable, Street, StreetId, Tip, Week};

/// All that a programme folder states.
#[derive(Clone, Debug, PartialEq)]
pub struct Programme {
    /// What it is called; a folder's own name unless stated.
    pub name: String,
    /// The jobs that are sound.
    pub jobs: Vec<Job>,
    /// The streets.
    pub streets: Vec<Street>,
    /// The gangs.
    pub gangs: Vec<Gang>,
    /// The tips.
    pub tips: Vec<Tip>,
    /// The programme's own chamber construction and outputs, over the shipped ones.
    pub method: ParameterTable,
    /// The programme's own densities, packs, waits and prices, over the shipped ones.
    pub materials: ParameterTable,
    /// The week.
    pub week: Week,
}

impl Programme {
    /// The same with other jobs.
    #[must_use]
    pub fn with_jobs(&self, jobs: Vec<Job>) -> Self {
        Self {
            jobs,
            name: self.name.clone(),
            streets: self.streets.clone(),
            gangs: self.gangs.clone(),
            tips: self.tips.clone(),
            method: self.method.clone(),
            materials: self.materials.clone(),
            week: self.week.clone(),
        }
    }

    /// The job of this id.
    #[must_use]
    pub fn job(&self, id: &JobId) -> Option<&Job> {
        self.jobs.iter().find(|job| job.id == *id)
    }

    /// The gang of this id.
    #[must_use]
    pub fn gang(&self, id: &GangId) -> Option<&Gang> {
        self.gangs.iter().find(|gang| gang.id == *id)
    }

    /// A gang as people call it; one that is not there by its id.
    #[must_use]
    pub fn gang_name<'a>(&'a self, id: &'a GangId) -> &'a str {
        self.gang(id).map_or(id.as_str(), |gang| gang.name.as_str())
    }

    /// The street of this id.
    #[must_use]
    pub fn street(&self, id: &StreetId) -> Option<&Street> {
        self.streets.iter().find(|street| street.id == *id)
    }
}
