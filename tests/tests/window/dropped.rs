//! Files that another program lets go over the real window.

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use crate::common::project;
use crate::dragging::{End, Outcome, address};
use crate::driver::Window;

const LIST: &str = "Ref,Longitude,Latitude,Work,Sections\nDROP1,-1.5,53.8,replace,3\n";

/// From now on keeps what the page asks its host for, and counts how often it says what letting go would do.
const LISTEN: &str = "window.__asked = []; const plain = window.fetch; \
    window.fetch = (to, how) => { \
        if (String(to).startsWith('ipc:')) window.__asked.push([String(to).split('/').pop(), how?.body]); \
        return plain(to, how); }; \
    window.__hints = 0; new MutationObserver((all) => { \
        for (const one of all) for (const node of one.addedNodes) if (node.className?.includes?.('drop')) window.__hints += 1; \
    }).observe(document.body, { childList: true, subtree: true });";

/// What is said where something was refused.
const ALERTS: &str = "[...document.querySelectorAll('[role=alert]')]";

/// Lets files go over the window, which takes it.
async fn drop_on(window: &Window, paths: &[&Path]) {
    let addresses: Vec<String> = paths.iter().map(|path| address(path)).collect();
    let became = window.drag(&addresses, End::LetGo).await;
    assert_eq!(became, Outcome::LetGo { taken: true }, "{addresses:?}");
    window.until("!document.querySelector('.drop')").await;
}

/// What the page asked its host of this sort since it is listened to.
async fn asked(window: &Window, what: &str) -> Vec<Value> {
    let all = window.run("return window.__asked.map(([command, body]) => command === 'call' ? JSON.parse(typeof body === 'string' ? body : new TextDecoder().decode(body)).request : null).filter(Boolean)").await;
    let Value::Array(all) = all else {
        panic!("no list: {all}")
    };
    all.into_iter().filter(|one| one["ask"] == what).collect()
}

async fn says(window: &Window, words: &str) {
    let alerts = format!("{ALERTS}.map((one) => one.innerText).join()");
    window
        .until(&format!("({alerts}).includes({})", json!(words)))
        .await;
}

async fn sheet(window: &Window) -> Value {
    window.ask(&json!({"ask": "sheet"})).await["sheet"].take()
}

struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Self {
        Self(tempfile::tempdir().expect("a temporary folder"))
    }

    fn at(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn file(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.at(name);
        std::fs::write(&path, bytes).expect("a file to drop");
        path
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_list_dropped_on_the_window_is_read_where_it_lies_and_looked_at() {
    let place = Place::new();
    let list = place.file("the client's 1st list, caf\u{e9} #2.csv", LIST);
    let (tune, other) = (place.file("tune.mp3", "no list"), place.file("b.csv", LIST));
    let window = Window::open(&["--demo", "small"]).await;
    window.run(LISTEN).await;
    let before = sheet(&window).await;

    let became = window.drag(&[address(&list)], End::SweptOver).await;
    assert_eq!(became, Outcome::Refused);
    let became = window.drag(&[address(&list)], End::TakenAway).await;
    assert_eq!(became, Outcome::TakenAway);
    window
        .until("window.__hints === 1 && !document.querySelector('.drop')")
        .await;
    assert!(asked(&window, "preview").await.is_empty());

    drop_on(&window, &[&tune]).await;
    says(&window, "tune.mp3 is of no kind that can be brought in").await;
    drop_on(&window, &[&list, &other]).await;
    says(&window, "One list is looked at at a time").await;
    assert!(asked(&window, "preview").await.is_empty());

    drop_on(&window, &[&list]).await;
    let shown = "document.querySelector('dialog[open]')?.innerText.includes('DROP1')";
    let field = "[...document.querySelectorAll('dialog[open] input')].some((cell) => cell.value === 'DROP1')";
    window.until(&format!("{shown} || {field}")).await;
    let previews = asked(&window, "preview").await;
    assert_eq!(
        previews.len(),
        1,
        "it is taken once, and not by the page too"
    );
    assert_eq!(previews[0]["list"]["path"], json!(list));
    assert_eq!(previews[0]["list"]["base64"], json!(""));

    // What is put right on the list is not lost to another drop.
    drop_on(&window, &[&other]).await;
    says(
        &window,
        "Put away what lies over the map and the board first",
    )
    .await;
    assert_eq!(asked(&window, "preview").await.len(), 1);
    window.keep_screenshot("dropped").await;
    assert_eq!(sheet(&window).await, before, "nothing is taken in unasked");
    window.close().await;
}

/// Waits until a programme is opened, and holds the window to it.
async fn is_opened(window: &Window, at: &Path) {
    let words = json!(format!("Opened {}", at.display()));
    let told = format!("document.body.innerText.includes({words})");
    window.until(&told).await;
    assert_eq!(sheet(window).await["folder"], json!(at));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_programme_dropped_on_the_window_opens_where_nothing_is_lost_by_it() {
    let place = Place::new();
    let (file, folder) = (place.at("week.gpkg"), place.at("week.9"));
    let picture = project().join("src-tauri/icons/icon.png");
    let window = Window::open(&["--demo", "small"]).await;
    for at in [&folder, &file] {
        window.ask(&json!({"ask": "save", "folder": at})).await;
    }
    window
        .ask(&json!({"ask": "open_demo", "week": "small"}))
        .await;

    for at in [&file, &folder] {
        drop_on(&window, &[at]).await;
        is_opened(&window, at).await;
    }

    drop_on(&window, &[&picture]).await;
    says(&window, "Select a job first; then icon.png can be kept").await;
    window
        .run("document.querySelector('[data-piece].work[data-job]').click()")
        .await;
    window
        .until("window.__gangday.selection.what === 'job'")
        .await;
    let job = window.run("return window.__gangday.selection.id").await;
    drop_on(&window, &[&picture]).await;
    window
        .until("document.body.innerText.includes('icon.png is kept with')")
        .await;
    let kept = |sheet: &Value| -> Vec<Value> {
        let jobs = sheet["jobs"].as_array().expect("jobs");
        let one = jobs.iter().find(|one| one["id"] == job).expect("the job");
        one["attachments"].as_array().expect("pictures").clone()
    };
    let changed = sheet(&window).await;
    assert_eq!(kept(&changed).len(), 1, "it is attached once");

    drop_on(&window, &[&file]).await;
    let asks = "document.querySelector('dialog[aria-label=\"Not saved yet\"]')";
    window
        .until(&format!(
            "{asks}?.innerText.includes('has changes that are not saved')"
        ))
        .await;
    window.press_button("Stay here").await;
    window.until(&format!("{asks} === null")).await;
    assert_eq!(sheet(&window).await, changed, "nothing is lost");
    drop_on(&window, &[&file]).await;
    window.until(&format!("{asks} !== null")).await;
    window.press_button("Save first").await;
    is_opened(&window, &file).await;
    drop_on(&window, &[&folder]).await;
    is_opened(&window, &folder).await;
    assert_eq!(
        kept(&sheet(&window).await).len(),
        1,
        "it was saved before the other was opened"
    );
    window.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_map_dropped_on_the_window_lies_under_the_works_and_no_other_file_can_be_read() {
    let place = Place::new();
    let map = place.file("under.pmtiles", small_map());
    let other = place.file("other.pmtiles", small_map());
    let window = Window::open(&["--demo", "small"]).await;
    let before = window.run("return window.__gangday.edition").await;

    let link = "https://example.org/list.csv".to_owned();
    for address in [link, address(&place.at("gone.csv"))] {
        window
            .run(&format!(
                "{ALERTS}.forEach((one) => one.querySelector('button')?.click())"
            ))
            .await;
        window.until(&format!("{ALERTS}.length === 0")).await;
        window.drag(&[address], End::LetGo).await;
        says(&window, "is no file or folder on this machine").await;
    }
    drop_on(&window, &[&map]).await;
    window
        .until("document.querySelector('.source').innerText.includes('Sallow Survey, invented')")
        .await;
    for (path, may) in [(&map, true), (&other, false)] {
        let script = format!(
            "window.__may = null; window.__TAURI_INTERNALS__.invoke('read_dropped', \
            {{ path: {}, from: 0, length: 7 }}).then((bytes) => {{ window.__may = bytes.byteLength === 7 }}, \
            () => {{ window.__may = false }});",
            json!(path)
        );
        window.run(&script).await;
        window.until("window.__may !== null").await;
        assert_eq!(
            window.run("return window.__may").await,
            json!(may),
            "{path:?}"
        );
    }
    assert_eq!(window.run("return window.__gangday.edition").await, before);
    window.close().await;
}

/// A map of one tile, a picture of the whole world.
///
/// Source: PMTiles Version 3 Specification, chapters 3 (header), 4 (directories) and 5 (metadata).
fn small_map() -> Vec<u8> {
    let tile = std::fs::read(project().join("src-tauri/icons/icon.png")).expect("a picture");
    let metadata = br#"{"attribution": "Sallow Survey, invented"}"#;
    let mut directory = vec![1, 0, 1];
    let mut left = tile.len();
    while left > 127 {
        directory.push(u8::try_from(left & 127).expect("seven bits") | 128);
        left >>= 7;
    }
    directory.extend([u8::try_from(left).expect("seven bits"), 1]);
    let size = |bytes: &[u8]| u64::try_from(bytes.len()).expect("a length");
    let (root, told) = (127, 127 + size(&directory));
    let tiles = told + size(metadata);
    let places = [
        root,
        size(&directory),
        told,
        size(metadata),
        tiles,
        0,
        tiles,
        size(&tile),
        1,
        1,
        1,
    ];
    let mut bytes = b"PMTiles\x03".to_vec();
    bytes.extend(places.into_iter().flat_map(u64::to_le_bytes));
    // Clustered; directories and tiles not compressed; PNG; zoom 0 to 0; the whole world and its middle.
    bytes.extend([1, 1, 1, 2, 0, 0]);
    for degrees in [-180, -85, 180, 85] {
        bytes.extend(i32::to_le_bytes(degrees * 10_000_000));
    }
    bytes.extend([0; 9]);
    [bytes, directory, metadata.to_vec(), tile].concat()
}
