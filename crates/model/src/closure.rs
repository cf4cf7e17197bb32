//! What the public meets: a stretch of street taken for a time.

use chrono::NaiveDateTime;

use crate::{ClosureKind, GangId, JobId, LonLat, StreetId};

/// One job's closure, with the hold before traffic inside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Closure {
    /// The job.
    pub job: JobId,
    /// The gang that guards it.
    pub gang: GangId,
    /// The street, where one is known.
    pub street: Option<StreetId>,
    /// What is taken.
    pub kind: ClosureKind,
    /// Whether nobody drives past: a road closure, or a lane closure that leaves too little for any
    /// way of leading traffic past.
    pub closes_road: bool,
    /// Whether the kind was proposed here and not stated by the job.
    pub proposed: bool,
    /// The rule that led to the kind, in words.
    pub because: String,
    /// Signing goes out.
    pub start: NaiveDateTime,
    /// Work ends and the hold begins.
    pub hold_from: NaiveDateTime,
    /// Signing is away.
    pub end: NaiveDateTime,
    /// The ground taken: one closed ring, anticlockwise, first point repeated last.
    pub footprint: Vec<LonLat>,
}
