//! Which members of jobs, streets, gangs and tips are texts.

use crate::jobs::{JOB_FIELDS, JobFieldKind};
use crate::{GANGS, JOBS, STREETS, gangs, streets};

/// Whether a member of what stands in a list of this file is read as a free text; none for a member
/// that is not known.
#[must_use]
pub fn takes_text(file: &str, name: &str) -> Option<bool> {
    if ["id", "name"].contains(&name) {
        return Some(true);
    }
    let known = match file {
        JOBS => {
            let field = JOB_FIELDS.iter().find(|(field, _)| *field == name);
            return field.map(|(_, kind)| matches!(kind, JobFieldKind::Text));
        }
        STREETS => streets::NAMES.contains(&name),
        GANGS => gangs::GANG_NAMES.contains(&name) || gangs::TIP_NAMES.contains(&name),
        _ => false,
    };
    known.then_some(false)
}
