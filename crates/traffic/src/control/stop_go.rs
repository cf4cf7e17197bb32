//! Stop/go boards: people hold them.

use gangday_model::Control;

use super::key;
use super::table::{Fact, Family, Test};
use crate::key as figures;

/// Their limits: the more cones, the fewer vehicles.
///
/// Source: a council's notes to the Code of Practice (October 2013), gateshead.gov.uk article 25095.
pub(super) const STOP_GO: Family = Family {
    control: Control::StopGoBoards,
    tests: &[
        Test::AtLeast(Fact::Left, figures::LANE_MINIMUM),
        Test::AtMost(Fact::ConedLength, key::STOP_GO_LENGTH),
        Test::AtMostByLength(Fact::Flow, &key::STOP_GO_FLOWS),
        Test::Must(
            |site| !site.is_over_night,
            "the closure stands over a night, when nobody holds the boards",
            "common practice, no source",
        ),
    ],
};
