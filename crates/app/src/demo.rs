//! The invented weeks, carried inside the program.

use std::sync::Arc;

use gangday_files::Parts;

use crate::opened::Opened;
use crate::planning::{PlanOptions, make};
use crate::view::DemoWeek;

/// Enough for a good week in well under a second or two, and always the same one.
const ITERATIONS: u32 = 3_000;

macro_rules! week {
    ($name:literal) => {
        (
            Parts {
                jobs: Some(include_bytes!(concat!(
                    "../../../sample-data/",
                    $name,
                    "/jobs.geojson"
                ))),
                gangs: Some(include_bytes!(concat!(
                    "../../../sample-data/",
                    $name,
                    "/gangs.json"
                ))),
                streets: Some(include_bytes!(concat!(
                    "../../../sample-data/",
                    $name,
                    "/streets.geojson"
                ))),
                method: Some(include_bytes!(concat!(
                    "../../../sample-data/",
                    $name,
                    "/method.json"
                ))),
                materials: Some(include_bytes!(concat!(
                    "../../../sample-data/",
                    $name,
                    "/materials.json"
                ))),
                week: Some(include_bytes!(concat!(
                    "../../../sample-data/",
                    $name,
                    "/week.json"
                ))),
            },
            &include_bytes!(concat!("../../../sample-data/", $name, "/backdrop.geojson"))[..],
        )
    };
}

/// An invented week, planned.
#[must_use]
pub fn open(week: DemoWeek) -> Opened {
    let (name, (parts, backdrop)) = match week {
        DemoWeek::Small => ("Small demo week", week!("small-week")),
        DemoWeek::Full => ("Demo week", week!("full-week")),
    };
    let mut opened = Opened::from_parts(name, &parts, Some(backdrop));
    opened.demo = true;
    let options = PlanOptions {
        seconds: None,
        iterations: Some(ITERATIONS),
        seed: 1,
        threads: 1,
    };
    opened.plan = Some(Arc::new(make(&opened, &options, None, &mut |_| true)));
    opened
}
