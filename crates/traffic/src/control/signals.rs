//! Portable traffic signals.

use gangday_model::Control;

use super::key;
use super::table::{Fact, Family, Test};
use crate::key as figures;

const CODE: &str = "Safety at Street Works and Road Works, Code of Practice (October 2013), portable traffic signals";

/// Their limits.
///
/// Source: Safety at Street Works and Road Works, Code of Practice (October 2013), portable traffic
/// signals.
pub(super) const SIGNALS: Family = Family {
    control: Control::PortableSignals,
    tests: &[
        Test::AtLeast(Fact::Left, figures::LANE_MINIMUM),
        Test::AtMost(Fact::ConedLength, key::SIGNALS_LENGTH),
        Test::Look(
            "the authority's written permission; in an emergency, afterwards",
            CODE,
        ),
        Test::Look(
            "no level crossing inside, nor one with flashing lights within 50 m",
            CODE,
        ),
        Test::Look(
            "vehicle actuated and type approved, with stop/go boards on site as fallback",
            CODE,
        ),
    ],
};
