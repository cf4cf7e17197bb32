//! Weeks for tests: the small demo week with something changed, and a plan of it.

use std::sync::Arc;

use gangday_model::{Plan, Programme};

use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::view::DemoWeek;
use crate::{PlanOptions, demo, make_plan};

/// The small demo week with its programme changed.
pub fn changed(how: impl FnOnce(&mut Programme)) -> Opened {
    let opened = demo::open(DemoWeek::Small);
    let mut programme = opened.prepared.programme.as_ref().clone();
    how(&mut programme);
    Opened {
        prepared: Arc::new(Prepared::new(programme)),
        ..opened
    }
}

/// The plan that so many iterations make with the first seed.
pub fn planned(opened: &Opened, iterations: u32) -> Plan {
    let options = PlanOptions {
        iterations: Some(iterations),
        seed: 1,
        ..PlanOptions::default()
    };
    make_plan(opened, &options, None, &mut |_| true).unwrap()
}
