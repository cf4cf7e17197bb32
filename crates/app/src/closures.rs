//! Each planned job's closure.

use gangday_files::write_closures;
use gangday_model::{JobWork, Plan, TakeOff};
use gangday_traffic::{Examined, Works, examine, street_terms};

use crate::opened::Opened;
use crate::prepared::Prepared;

/// The closures of a plan, with what somebody should look at.
#[must_use]
pub fn of_plan(prepared: &Prepared, plan: &Plan) -> Examined {
    let take_offs: Vec<TakeOff> = prepared.take_offs.iter().flatten().cloned().collect();
    let works = works(prepared, plan);
    let asked = Works {
        programme: &prepared.programme,
        take_offs: &take_offs,
        works: &works,
        plan,
        plane: &prepared.plane,
    };
    let mut examined = examine(&asked, &prepared.traffic);
    let terms = street_terms(&prepared.programme.streets, &examined.closures);
    examined.findings.extend(terms);
    examined
}

/// Each job's stages: a planned one's as its gang does them on its date.
fn works(prepared: &Prepared, plan: &Plan) -> Vec<JobWork> {
    let mut works = prepared.works.clone();
    for route in &plan.routes {
        for visit in &route.visits {
            let own = prepared.work_on(&visit.job, &route.gang, route.date);
            if let (Some(at), Some(own)) = (prepared.index_of(&visit.job), own) {
                works[at] = Some(own.clone());
            }
        }
    }
    works.into_iter().flatten().collect()
}

/// The closures of a plan as GeoJSON (RFC 7946).
#[must_use]
pub fn closures_geojson(opened: &Opened, plan: &Plan) -> String {
    let closures = of_plan(&opened.prepared, plan).closures;
    let bytes = write_closures(&closures, &opened.prepared.programme);
    String::from_utf8_lossy(&bytes).into_owned()
}
