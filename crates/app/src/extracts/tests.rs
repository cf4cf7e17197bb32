use std::io::Cursor;

use base64::Engine as _;
use gangday_files::ATTRIBUTION;
use gangday_model::Plan;

use super::*;
use crate::desk::Desk;
use crate::trial::planned;
use crate::view::{Answer, DemoWeek, Request};

/// A real extract: 137 kB of south-eastern Finland, © OpenStreetMap contributors, ODbL 1.0.
fn extract() -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../.tools/extracts/kotka.osm.pbf");
    std::fs::read(&path).unwrap_or_else(|error| {
        panic!("{error}; `cargo xtask extracts` fetches the real extracts for the tests")
    })
}

fn in_file(folder: &Path, bytes: &[u8]) -> std::path::PathBuf {
    let file = folder.join("area.osm.pbf");
    std::fs::write(&file, bytes).unwrap();
    file
}

#[test]
fn streets_and_network_come_together_and_again_change_nothing() {
    let place = tempfile::tempdir().unwrap();
    let file = in_file(place.path(), &extract());
    let into = place.path().join("week");
    let mut last = 0.0;
    let report = import_extract(&file, &into, &mut |progress| last = progress.fraction).unwrap();
    assert!(report.streets_added > 100 && report.links > 300 && last > 0.99);
    let opened = Opened::from_path(&into).unwrap();
    assert_eq!(
        opened.prepared.programme.streets.len(),
        report.streets_added
    );
    let network = opened.prepared.network.as_ref().unwrap();
    assert_eq!(network.links.len(), report.links);
    assert_eq!(
        crate::reports::check(&opened).attribution.as_deref(),
        Some(ATTRIBUTION)
    );
    let kept = std::fs::read(into.join(PREPARED)).unwrap();
    let roads = opened.prepared.travel.roads.as_ref().unwrap();
    let kept = gangday_ground::roads::Hierarchy::from_bytes(&kept, &roads.graph);
    assert_eq!(
        kept.as_ref(),
        Some(&*roads.hierarchy),
        "opened again, nothing is prepared again"
    );
    let names = [STREETS, NETWORK];
    let before = names.map(|name| std::fs::read(into.join(name)).unwrap());
    let again = import_extract(&file, &into, &mut |_| {}).unwrap();
    assert_eq!((again.streets_added, again.streets_updated), (0, 0));
    assert_eq!(
        names.map(|name| std::fs::read(into.join(name)).unwrap()),
        before
    );
}

#[test]
fn a_damaged_extract_leaves_the_folder_as_it_was() {
    let place = tempfile::tempdir().unwrap();
    let bytes = extract();
    let file = in_file(place.path(), &bytes[..bytes.len() - 1]);
    let into = place.path().join("week");
    let refusal = import_extract(&file, &into, &mut |_| {}).unwrap_err();
    assert_eq!(refusal.findings[0].code, "F-PBF");
    assert!(!into.exists());
}

#[test]
fn a_damaged_network_is_told_and_the_programme_opens_without_it() {
    let place = tempfile::tempdir().unwrap();
    let file = in_file(place.path(), &extract());
    let into = place.path().join("week");
    import_extract(&file, &into, &mut |_| {}).unwrap();
    let mut bytes = std::fs::read(into.join(NETWORK)).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    std::fs::write(into.join(NETWORK), bytes).unwrap();
    let opened = Opened::from_path(&into).unwrap();
    assert!(opened.prepared.network.is_none());
    let fault = opened
        .faults()
        .find(|fault| fault.code == "F-NETWORK")
        .unwrap();
    assert!(fault.text.contains("detour factor"));
    assert!(opened.prepared.programme.streets.len() > 100);
}

/// The Open Database Licence 1.0, 4.3: whoever shows what is made from the data names its source, and
/// diversions are made from the roads alone.
#[test]
fn closures_and_calendar_name_whom_the_roads_are_from() {
    let place = tempfile::tempdir().unwrap();
    let file = in_file(place.path(), &extract());
    let into = place.path().join("week");
    import_extract(&file, &into, &mut |_| {}).unwrap();
    let nothing = br#"{"type": "FeatureCollection", "features": []}"#;
    std::fs::write(into.join(STREETS), nothing).unwrap();
    let opened = Opened::from_path(&into).unwrap();
    assert!(opened.prepared.programme.streets.is_empty());
    let public = crate::what_the_public_meets(&opened, &Plan::default());
    let written: serde_json::Value =
        serde_json::from_str(&crate::closures_geojson(&opened, &public)).unwrap();
    assert_eq!(written["attribution"], ATTRIBUTION);
    let calendar = crate::calendar::calendar(&opened, &public);
    let calendar = String::from_utf8(calendar).unwrap();
    assert!(
        calendar.contains("X-WR-CALDESC:© OpenStreetMap contributors"),
        "{calendar}"
    );
}

/// Without a day, no earliest start is told; that is said where there is anything to be told of, and
/// nowhere else.
#[test]
fn a_week_without_its_day_is_told_of_where_notice_is_to_be_given() {
    let opened = crate::demo::open(DemoWeek::Small);
    let plan = planned(&opened, 100);
    let mut programme = opened.prepared.programme.as_ref().clone();
    programme.week.today = None;
    let undated = Opened {
        prepared: Arc::new(crate::prepared::Prepared::new(programme)),
        ..opened.clone()
    };
    let is_told = |opened: &Opened, plan: &Plan| {
        let public = crate::what_the_public_meets(opened, plan);
        public.findings.iter().any(|one| one.code == "T-TODAY")
    };
    assert!(is_told(&undated, &plan));
    assert!(!is_told(&undated, &Plan::default()));
    assert!(!is_told(&opened, &plan));
}

/// A plan names whom its roads are from where they are from somebody, in its file too; one over the
/// programme's own streets names nobody.
#[test]
fn a_plan_over_an_extract_names_whom_the_roads_are_from() {
    let demo = crate::demo::open(DemoWeek::Small);
    let own = planned(&demo, 100);
    assert_eq!(own.attribution, None);
    let written = String::from_utf8(gangday_files::write_plan(&own)).unwrap();
    assert!(!written.contains("attribution"));
    let mut source = Cursor::new(extract());
    let (opened, _) = into_watched(&demo, "area.osm.pbf", &mut source, Watch::NOBODY).unwrap();
    let plan = planned(&opened, 100);
    assert_eq!(plan.attribution.as_deref(), Some(ATTRIBUTION));
    let read = gangday_files::read_plan(&gangday_files::write_plan(&plan)).unwrap();
    assert_eq!(read, plan);
}

#[test]
fn an_extract_that_is_sent_comes_in_is_saved_and_takes_it_back() {
    let desk = Desk::default();
    desk.ask(Request::OpenDemo {
        week: DemoWeek::Small,
    })
    .unwrap();
    let base64 = base64::engine::general_purpose::STANDARD.encode(extract());
    let name = "area.osm.pbf".to_owned();
    let sheet = |answer| match answer {
        Answer::Sheet { sheet: Some(sheet) } => sheet,
        other => panic!("{other:?}"),
    };
    let before = sheet(desk.ask(Request::Sheet).unwrap());
    let broken = Request::ImportExtract {
        name: name.clone(),
        base64: "?".to_owned(),
    };
    assert!(
        desk.ask(broken)
            .unwrap_err()
            .text
            .contains("did not arrive whole")
    );
    let place = tempfile::tempdir().unwrap();
    let begun = desk.ask(Request::ImportExtract { name, base64 }).unwrap();
    assert!(matches!(begun, Answer::Progress { progress } if progress.reading));
    wait_for(&desk).unwrap();
    let after = sheet(desk.ask(Request::Sheet).unwrap());
    assert!(after.plan.is_some(), "what was planned stays");
    assert!(after.streets.len() > before.streets.len() + 100);
    assert_eq!(after.jobs.len(), before.jobs.len());
    assert_eq!(after.attribution.as_deref(), Some(ATTRIBUTION));
    let folder = place.path().join("saved");
    let save = Request::Save {
        folder: Some(folder.display().to_string()),
    };
    desk.ask(save).unwrap();
    let saved = Opened::from_path(&folder).unwrap();
    assert!(saved.prepared.network.is_some());
    assert_eq!(saved.prepared.programme.streets.len(), after.streets.len());
    let undone = sheet(desk.ask(Request::Undo).unwrap());
    assert_eq!(undone.streets.len(), before.streets.len());
}

#[test]
fn extracts_are_told_by_their_name_or_their_first_bytes() {
    let place = tempfile::tempdir().unwrap();
    let unnamed = place.path().join("download");
    std::fs::write(&unnamed, extract()).unwrap();
    assert!(is_extract(&unnamed));
    let list = place.path().join("list.csv");
    std::fs::write(&list, "id,lon,lat\n").unwrap();
    assert!(!is_extract(&list));
    assert!(is_extract(Path::new("missing.osm.pbf")));
    let nothing = into_watched(
        &crate::demo::open(DemoWeek::Small),
        "x",
        &mut Cursor::new(b"x"),
        Watch::NOBODY,
    );
    assert!(nothing.is_err());
}

fn wait_for(desk: &Desk) -> Result<Vec<String>, Refusal> {
    let mut words = Vec::new();
    for _ in 0..600 {
        match desk.ask(Request::Progress)? {
            Answer::Progress { progress } if progress.running => words.push(progress.words),
            _ => return Ok(words),
        }
        std::thread::sleep(std::time::Duration::from_millis(100));
    }
    panic!("still reading");
}

/// An extract that lies on this machine is read where it lies, while others may ask how far it is.
#[test]
fn a_file_is_read_where_it_lies_and_can_be_taken_back() {
    let place = tempfile::tempdir().unwrap();
    let path = in_file(place.path(), &extract()).display().to_string();
    let desk = Desk::default();
    let week = DemoWeek::Small;
    desk.ask(Request::OpenDemo { week }).unwrap();
    let streets = || match desk.ask(Request::Sheet).unwrap() {
        Answer::Sheet { sheet: Some(sheet) } => sheet.streets.len(),
        other => panic!("{other:?}"),
    };
    let before = streets();
    let read = || Request::ReadExtract { path: path.clone() };
    let begun = desk.ask(read()).unwrap();
    assert!(matches!(begun, Answer::Progress { progress } if progress.running));
    // Whatever would change the programme meanwhile is refused, unless the reading is over already.
    if let Err(refusal) = desk.ask(read()) {
        assert!(refusal.text.contains("is being read"), "{}", refusal.text);
    }
    wait_for(&desk).unwrap();
    assert!(streets() > before + 100);
    desk.ask(Request::Undo).unwrap();
    assert_eq!(streets(), before);
}

#[test]
fn a_reading_that_is_stopped_or_fails_changes_nothing() {
    let place = tempfile::tempdir().unwrap();
    let path = in_file(place.path(), &extract()).display().to_string();
    let desk = Desk::default();
    let week = DemoWeek::Small;
    desk.ask(Request::OpenDemo { week }).unwrap();
    let sheet = || match desk.ask(Request::Sheet).unwrap() {
        Answer::Sheet { sheet: Some(sheet) } => (sheet.streets.len(), sheet.undo.clone()),
        other => panic!("{other:?}"),
    };
    let before = sheet();
    desk.ask(Request::ReadExtract { path }).unwrap();
    desk.ask(Request::Stop).unwrap();
    assert_eq!(sheet(), before);
    for (path, why) in [
        ("missing.osm.pbf", "can't be read"),
        ("Cargo.toml", "Nothing of"),
    ] {
        let path = path.to_owned();
        desk.ask(Request::ReadExtract { path }).unwrap();
        let refusal = wait_for(&desk).unwrap_err();
        assert!(refusal.text.contains(why), "{}", refusal.text);
        assert_eq!(sheet(), before);
    }
}

/// A stop is heard before each of its steps, and nothing comes of it then.
#[test]
fn an_extract_can_be_stopped_before_each_of_its_steps() {
    let demo = crate::demo::open(DemoWeek::Small);
    let into = |see: &crate::watching::See<'_>| {
        let mut source = Cursor::new(extract());
        into_watched(&demo, "area.osm.pbf", &mut source, Watch::new(see)).map(|(_, words)| words)
    };
    let steps = std::sync::Mutex::new(Vec::<String>::new());
    let note = |_: f64, words: &str| {
        let mut steps = steps.lock().unwrap();
        if steps.last().is_none_or(|last| last != words) {
            steps.push(words.to_owned());
        }
        true
    };
    into(&note).unwrap();
    let steps = steps.into_inner().unwrap();
    assert_eq!(steps[0], READING);
    assert!(steps.len() > 3, "{steps:?}");
    for step in &steps[1..] {
        let refusal = into(&|_, words| words != step).unwrap_err();
        assert_eq!(
            refusal.text, "It was stopped; nothing was changed.",
            "{step}"
        );
    }
}

/// What was sent is read with nothing locked: others are answered meanwhile, and stop it.
#[test]
fn an_extract_that_is_sent_can_be_stopped() {
    let desk = Desk::default();
    let week = DemoWeek::Small;
    desk.ask(Request::OpenDemo { week }).unwrap();
    let base64 = base64::engine::general_purpose::STANDARD.encode(extract());
    let sheet = || match desk.ask(Request::Sheet).unwrap() {
        Answer::Sheet { sheet: Some(sheet) } => (sheet.streets.len(), sheet.undo.clone()),
        other => panic!("{other:?}"),
    };
    let before = sheet();
    let name = "area.osm.pbf".to_owned();
    desk.ask(Request::ImportExtract { name, base64 }).unwrap();
    desk.ask(Request::Stop).unwrap();
    assert_eq!(sheet(), before);
    assert_eq!(wait_for(&desk).unwrap(), Vec::<String>::new());
    assert_eq!(sheet(), before);
}
