//! Room for both ways past the works, or a street that goes one way only.

use gangday_model::Control;

use super::key;
use super::table::{Fact, Family, Test};
use crate::key as figures;

const STREET: &str = "the street's own data";

/// Both ways pass one another beside the works.
pub(super) const BOTH_WAYS: Family = Family {
    control: Control::BothWays,
    tests: &[
        Test::Must(|site| !site.one_way, "the street goes one way only", STREET),
        Test::AtLeast(Fact::Left, key::BOTH_WAYS),
    ],
};

/// A one-way street keeps one lane.
pub(super) const ONE_WAY: Family = Family {
    control: Control::OneWay,
    tests: &[
        Test::Must(|site| site.one_way, "traffic goes both ways", STREET),
        Test::AtLeast(Fact::Left, figures::LANE_MINIMUM),
    ],
};
