//! The main path in the real window, by the keyboard alone: a list taken in, a job changed, the plan changed
//! by hand and made again, issued, saved, closed and opened again with the way back still there.

use std::path::{Path, PathBuf};

use fantoccini::key::Key;
use serde_json::{Value, json};

use crate::common::project;
use crate::driver::Window;

/// What the dialogs of the system would give.
struct Place {
    folder: tempfile::TempDir,
}

impl Place {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        Self { folder }
    }

    fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    async fn window(&self, arguments: &[&str]) -> Window {
        let (file, list, table) = (
            self.at("week.gpkg"),
            self.at("list.csv"),
            self.at("all.xlsx"),
        );
        let picture = project().join("src-tauri/icons/icon.png");
        let chosen: [(&str, &Path); 4] = [
            ("new_file", &file),
            ("list", &list),
            ("table", &table),
            ("picture", &picture),
        ];
        Window::open_choosing(arguments, &chosen).await
    }
}

async fn sheet(window: &Window) -> Value {
    window.ask(&json!({"ask": "sheet"})).await["sheet"].take()
}

/// Waits until the page says so in its text.
async fn says(window: &Window, words: &str) {
    window
        .until(&format!(
            "document.body.innerText.includes({})",
            json!(words)
        ))
        .await;
}

/// Finds a job by its id, as somebody who types it does.
async fn choose(window: &Window, job: &str) {
    window.keys("/").await;
    window.until("document.activeElement?.id === 'find'").await;
    window.chord('a').await;
    window.keys(job).await;
    window.keys(&Key::Enter).await;
    let chosen = format!("window.__gangday.selection.id === {}", json!(job));
    window.until(&chosen).await;
    window.keys(&Key::Escape).await;
    window.until("document.activeElement?.id !== 'find'").await;
}

async fn sections(window: &Window, job: &str) -> Value {
    let told = window.ask(&json!({"ask": "stated", "jobs": [job]})).await;
    told["jobs"][0]["properties"]["sections"].clone()
}

/// Waits until the sheet is another than the one of this edition, and the page is at rest.
async fn changed(window: &Window, edition: &Value) {
    let other = format!("window.__gangday.edition > {edition} && window.__gangday.ready");
    window.until(&other).await;
}

async fn edition(window: &Window) -> Value {
    window.run("return window.__gangday.edition").await
}

/// Keeps the demo week as one file, from then on every change is kept as it is made.
async fn save_as_file(window: &Window, place: &Place) {
    window.keys("S").await;
    window.until("document.querySelector('dialog[open]')").await;
    window.press_button("Choose one file").await;
    window
        .until("!document.querySelector('dialog[open]')")
        .await;
    says(window, "Saved in").await;
    assert!(place.at("week.gpkg").exists());
}

async fn take_in_the_list(window: &Window, place: &Place) {
    let jobs = sheet(window).await["jobs"].clone();
    let near = |at: usize, shift: f64| jobs[0]["at"][at].as_f64().expect("a place") + shift;
    let row =
        |id: &str, shift: f64| format!("{id},{},{},replace,3\n", near(0, shift), near(1, 0.0));
    let rows = [row("W1", 0.001), row("W2", 0.002)].concat();
    let text = format!("Ref,Longitude,Latitude,Work,Sections\n{rows}");
    std::fs::write(place.at("list.csv"), text).expect("the list is written");
    window.keys("i").await;
    window.until("document.querySelector('dialog[open]')").await;
    says(window, "W2").await;
    window.keep_screenshot("list").await;
    window.press_button("Take in 2 jobs").await;
    window
        .until("!document.querySelector('dialog[open]')")
        .await;
    says(window, "2 jobs taken in from list.csv").await;
    let after = sheet(window).await;
    let many = |sheet: &Value| sheet.as_array().map_or(0, Vec::len);
    assert_eq!(many(&after["jobs"]), many(&jobs) + 2);
    assert!(after["plan"].is_object(), "the plan stays");
}

async fn change_a_field_and_go_back_and_forth(window: &Window) {
    choose(window, "W1").await;
    window.keys("E").await;
    window
        .until("document.activeElement?.id === 'field-work'")
        .await;
    tab_to(window, "field-sections").await;
    let before = edition(window).await;
    window.chord('a').await;
    window.keys("5").await;
    window.keys(&Key::Tab).await;
    changed(window, &before).await;
    assert_eq!(sections(window, "W1").await, json!(5));
    window.keys(&Key::Escape).await;
    step(window, "z").await;
    assert_eq!(sections(window, "W1").await, json!(3), "undone");
    step(window, "Z").await;
    assert_eq!(sections(window, "W1").await, json!(5), "done again");
}

/// Takes a step in the history.
async fn step(window: &Window, key: &str) {
    let before = edition(window).await;
    window.keys(key).await;
    changed(window, &before).await;
}

/// Goes on by the Tab key until the field has the focus, a few fields at most.
async fn tab_to(window: &Window, field: &str) {
    let there = format!("return document.activeElement?.id === {}", json!(field));
    for _ in 0..8 {
        if window.run(&there).await == Value::Bool(true) {
            return;
        }
        window.keys(&Key::Tab).await;
    }
    window
        .until(&format!("document.activeElement?.id === {}", json!(field)))
        .await;
}

fn route_of(sheet: &Value, job: &str) -> Value {
    let jobs = sheet["jobs"].as_array().expect("jobs");
    let own = jobs.iter().find(|one| one["id"] == job);
    own.expect("the job is there")["route"].clone()
}

/// Every visit of a job: its gang-day, when it is, and whether it stays.
fn visits_of(sheet: &Value, job: &str) -> Vec<String> {
    let columns = sheet["plan"]["columns"].as_array().expect("a plan");
    let own = columns.iter().flat_map(|column| {
        let layers = column["layers"].as_array().expect("layers").iter();
        let own = layers.filter(|layer| layer["job"] == job && layer["kind"] == "work");
        own.map(|layer| {
            format!(
                "{} {} {} {}",
                column["key"], layer["from"], layer["to"], layer["stays"]
            )
        })
    });
    own.collect()
}

/// Carries a job by arrows to the first gang-day where it breaks no rule; gives its id.
async fn carry_a_job(window: &Window) -> String {
    let before = sheet(window).await;
    let job = before["plan"]["columns"][0]["jobs"][0].as_str();
    let job = job.expect("a planned job").to_owned();
    choose(window, &job).await;
    window.keys("x").await;
    let in_hand = "document.querySelector('[aria-label=\"In hand\"]')";
    window.until(in_hand).await;
    let old = edition(window).await;
    for _ in 0..9 {
        window.keys(&Key::Right).await;
        // Until then it may be of a gang-day that the job was carried past.
        let told =
            format!("{in_hand}?.ariaBusy === 'false' && {in_hand}.innerText.includes('Move ')");
        window.until(&told).await;
        let sound = format!("return !{in_hand}.innerText.includes('breaks')");
        if window.run(&sound).await == Value::Bool(true) {
            break;
        }
    }
    window.keep_screenshot("in-hand").await;
    window.keys(&Key::Enter).await;
    changed(window, &old).await;
    let after = sheet(window).await;
    assert_ne!(route_of(&after, &job), route_of(&before, &job));
    job
}

/// Locks a job and plans the rest again: it stays where it is.
async fn lock_and_plan_again(window: &Window, job: &str) {
    let old = edition(window).await;
    choose(window, job).await;
    window.keys("k").await;
    changed(window, &old).await;
    let locked = visits_of(&sheet(window).await, job);
    assert!(
        locked.iter().all(|visit| visit.ends_with("\"locked\"")),
        "{locked:?}"
    );
    window.keys("r").await;
    window
        .until("document.querySelector('[aria-label=\"Planning\"]')")
        .await;
    window.keys(&Key::Escape).await;
    // Where nothing better was found, the week stays as it was, and that is said.
    window
        .until("/The rest is planned again|; it is kept\\./.test(document.body.innerText)")
        .await;
    window.until("window.__gangday.ready").await;
    let after = sheet(window).await;
    assert_eq!(visits_of(&after, job), locked);
    assert_eq!(after["plan"]["verified"], true, "{}", after["findings"]);
}

async fn issue(window: &Window) {
    window.keys("v").await;
    window.until("document.querySelector('dialog[open]')").await;
    let old = edition(window).await;
    window.press_button("Issue plan 1").await;
    changed(window, &old).await;
    says(window, "The plan on the desk is issue 1").await;
    window.keep_screenshot("issued").await;
    window.keys(&Key::Escape).await;
    window
        .until("!document.querySelector('dialog[open]')")
        .await;
}

/// A table and a picture, by the dialogs that the window has for them.
async fn a_table_and_a_picture(window: &Window, place: &Place) {
    window.keys("T").await;
    window.until("document.querySelector('dialog[open]')").await;
    window.press_button("XLSX of all of it").await;
    window
        .until("!document.querySelector('dialog[open]')")
        .await;
    says(window, "Written:").await;
    let table = std::fs::read(place.at("all.xlsx")).expect("the table is there");
    assert!(table.starts_with(b"PK"), "a workbook is a ZIP archive");
    choose(window, "W1").await;
    window.press_button("Add one").await;
    says(window, "icon.png is kept with W1").await;
}

async fn pictures(window: &Window) -> usize {
    let told = window.ask(&json!({"ask": "stated", "jobs": ["W1"]})).await;
    let all = &told["jobs"][0]["properties"]["attachments"];
    all.as_array().map_or(0, Vec::len)
}

#[tokio::test(flavor = "multi_thread")]
async fn the_main_path_is_walked_by_the_keyboard_alone() {
    let place = Place::new();
    let window = place.window(&["--demo", "small"]).await;
    window.until("window.__gangday.mapIdle === true").await;
    save_as_file(&window, &place).await;
    take_in_the_list(&window, &place).await;
    change_a_field_and_go_back_and_forth(&window).await;
    let job = carry_a_job(&window).await;
    lock_and_plan_again(&window, &job).await;
    issue(&window).await;
    a_table_and_a_picture(&window, &place).await;
    window.chord('s').await;
    says(&window, "Saved in").await;
    let shown = sheet(&window).await;
    assert_eq!(shown["unsaved"], false);
    window.close().await;

    let file = place.at("week.gpkg").display().to_string();
    let window = place.window(&[&file]).await;
    window.until("window.__gangday.mapIdle === true").await;
    let again = sheet(&window).await;
    for what in ["jobs", "plan", "issues", "undo"] {
        assert_eq!(again[what], shown[what], "{what} after closing");
    }
    assert_eq!(pictures(&window).await, 1);
    let old = edition(&window).await;
    window.keys("z").await;
    changed(&window, &old).await;
    assert_eq!(pictures(&window).await, 0, "the way back is still there");
    let history = window.ask(&json!({"ask": "history"})).await;
    assert!(
        history["past"]
            .as_array()
            .is_some_and(|past| past.len() >= 5),
        "{history}"
    );
    window.close().await;
}
