//! Weeks of a size to measure with.

use std::path::Path;
use std::time::Duration;

use gangday_app::Desk;
use gangday_app::view::{Answer, Request};
use serde_json::{Value, json};

/// Jobs, and gangs for a week of five days.
pub const SIZES: [(u32, u32); 2] = [(1_000, 70), (10_000, 700)];

/// Jobs stand about 90 m apart in a square.
fn place(at: u32, of: u32) -> [f64; 2] {
    let side = f64::from(of).sqrt().ceil() as u32;
    let (east, north) = (f64::from(at % side), f64::from(at / side));
    [-1.5 + east * 0.001_3, 53.0 + north * 0.000_8]
}

fn job(at: u32, of: u32) -> Value {
    let work = ["new", "replace", "adjust"][at as usize % 3];
    let position = ["verge", "footway", "carriageway"][at as usize / 3 % 3];
    let sections = if at % 3 == 2 { 0 } else { 3 + at % 3 };
    json!({
        "type": "Feature",
        "id": format!("J{at:05}"),
        "geometry": { "type": "Point", "coordinates": place(at, of) },
        "properties": {
            "work": work,
            "position": position,
            "clear_length_mm": 600,
            "clear_width_mm": 600,
            "sections": sections,
        }
    })
}

fn gang(at: u32, of: u32, jobs: u32) -> Value {
    json!({
        "id": format!("g{at:03}"),
        "name": format!("Gang {at}"),
        "depot": place(at * (jobs / of), jobs),
        "people": 3,
        "payload_kg": 3_500,
        "volume_m3": 4.0,
        "shift": ["07:30", "16:30"],
        "overtime_min": 60,
    })
}

fn write(folder: &Path, jobs: u32, gangs: u32) {
    let features: Vec<Value> = (0..jobs).map(|at| job(at, jobs)).collect();
    let collection = json!({ "type": "FeatureCollection", "features": features });
    let gangs: Vec<Value> = (0..gangs).map(|at| gang(at, gangs, jobs)).collect();
    let files = [
        ("jobs.geojson", collection),
        ("gangs.json", json!({ "gangs": gangs, "tips": [] })),
        (
            "week.json",
            json!({ "nation": "England", "first_day": "2027-03-01", "days": 5 }),
        ),
    ];
    for (name, value) in files {
        std::fs::write(folder.join(name), value.to_string()).expect("a folder that can be written");
    }
}

/// A desk with a planned week on it.
pub fn planned(jobs: u32, gangs: u32) -> Desk {
    let folder = tempfile::tempdir().expect("a temporary folder");
    write(folder.path(), jobs, gangs);
    let desk = Desk::default();
    let open = Request::Open {
        folder: folder.path().display().to_string(),
    };
    desk.ask(open).expect("it opens");
    let plan = Request::Plan {
        seconds: None,
        iterations: Some(0),
        seed: None,
    };
    desk.ask(plan).expect("it is planned");
    loop {
        match desk.ask(Request::Progress) {
            Ok(Answer::Progress { progress }) if progress.running => {
                std::thread::sleep(Duration::from_millis(50));
            }
            _ => return desk,
        }
    }
}
