//! Give and take: drivers give way to one another.

use gangday_model::Control;

use super::key;
use super::table::{Fact, Family, Test};
use crate::key as figures;

/// Its limits.
///
/// Source: Safety at Street Works and Road Works, Code of Practice (October 2013), give and take.
pub(super) const GIVE_AND_TAKE: Family = Family {
    control: Control::GiveAndTake,
    tests: &[
        Test::AtLeast(Fact::Left, figures::LANE_MINIMUM),
        Test::AtMost(Fact::SpeedLimit, key::GIVE_AND_TAKE_SPEED),
        Test::AtMost(Fact::ConedLength, key::GIVE_AND_TAKE_LENGTH),
        Test::AtMost(Fact::Flow, key::GIVE_AND_TAKE_FLOW),
        Test::AtMost(Fact::HeavyFlow, key::GIVE_AND_TAKE_HEAVY),
        Test::AtLeast(Fact::Sight, key::GIVE_AND_TAKE_SIGHT),
        Test::Look(
            "parking is kept out of the coned length and its approaches",
            "Safety at Street Works and Road Works, Code of Practice (October 2013), give and take",
        ),
    ],
};
