//! Priority signs: one direction waits for the other.

use gangday_model::Control;

use super::key;
use super::table::{Fact, Family, Test};
use crate::key as figures;

/// Their limits.
///
/// Source: Safety at Street Works and Road Works, Code of Practice (October 2013), priority signs.
pub(super) const PRIORITY: Family = Family {
    control: Control::PrioritySigns,
    tests: &[
        Test::AtLeast(Fact::Left, figures::LANE_MINIMUM),
        Test::AtMost(Fact::SpeedLimit, key::PRIORITY_SPEED),
        Test::AtMost(Fact::ConedLength, key::PRIORITY_LENGTH),
        Test::AtMost(Fact::Flow, key::PRIORITY_FLOW),
        Test::AtLeastBySpeed(Fact::Sight, key::PRIORITY_SIGHTS),
    ],
};
