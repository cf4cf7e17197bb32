use std::io::Cursor;

use base64::Engine as _;
use gangday_files::ATTRIBUTION;
use gangday_model::Plan;

use super::*;
use crate::desk::Desk;
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
/// diversions are made from the roads alone. Without a day, no earliest start is told, and that is
/// said.
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
    let says_no_day = |opened: &Opened| {
        let public = crate::what_the_public_meets(opened, &Plan::default());
        let mut findings = public.findings.iter();
        (findings.any(|one| one.code == "T-TODAY"), public)
    };
    let (has_no_day, public) = says_no_day(&opened);
    assert!(has_no_day && !says_no_day(&crate::demo::open(DemoWeek::Small)).0);
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

#[test]
fn the_window_imports_an_extract_saves_it_and_takes_it_back() {
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
        path: None,
    };
    assert!(
        desk.ask(broken)
            .unwrap_err()
            .text
            .contains("did not arrive whole")
    );
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join(&name);
    std::fs::write(&path, extract()).unwrap();
    let by_path = Request::ImportExtract {
        name: name.clone(),
        base64: String::new(),
        path: Some(path.display().to_string()),
    };
    let by_path = sheet(desk.ask(by_path).unwrap());
    desk.ask(Request::Undo).unwrap();
    let by_bytes = Request::ImportExtract {
        name,
        base64,
        path: None,
    };
    let after = sheet(desk.ask(by_bytes).unwrap());
    assert_eq!(by_path.streets, after.streets);
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
    let nothing = into(
        &crate::demo::open(DemoWeek::Small),
        "x",
        &mut Cursor::new(b"x"),
    );
    assert!(nothing.is_err());
}
