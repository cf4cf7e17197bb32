//! What the public meets: a stretch of street taken for a time.

use chrono::NaiveDateTime;

use crate::{ClosureKind, GangId, JobId, LonLat, StreetId};

/// One job's closure, with the hold before traffic inside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Closure {
    /// The job.
    pub job: JobId,
    /// The gang that is there first; one without a name where nobody works there in the week.
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
    /// From when to when the plan works there; none where it stands open and nobody does.
    pub worked: Option<(NaiveDateTime, NaiveDateTime)>,
    /// Signing goes out; where it is out from before the week, when the week begins.
    pub start: NaiveDateTime,
    /// Work ends and the hold begins.
    pub hold_from: NaiveDateTime,
    /// Signing is away; where it stays beyond the week, when the week ends.
    pub end: NaiveDateTime,
    /// The ground taken: one closed ring, anticlockwise, first point repeated last.
    pub footprint: Vec<LonLat>,
}

impl Closure {
    /// The closure as it would be with nothing standing before or after what the plan works there; none where nobody
    /// does.
    #[must_use]
    pub fn as_worked(&self) -> Option<Self> {
        let (start, end) = self.worked?;
        Some(Self {
            start,
            end,
            hold_from: self.hold_from.min(end),
            ..self.clone()
        })
    }
}
