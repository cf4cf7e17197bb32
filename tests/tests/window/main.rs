//! The real window: plan, select, see the totals.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not there"
)]

#[path = "../common/mod.rs"]
mod common;
mod dragging;
mod driver;
mod dropped;
mod measured;
mod path;
mod remembered;

use driver::Window;
use serde_json::{Value, json};

/// Chooses the first layer of work on the board, as a click does.
const CHOOSE_FIRST_WORK: &str = "document.querySelector('[data-piece].work[data-job]').click()";

#[tokio::test(flavor = "multi_thread")]
async fn the_demo_week_is_planned_selected_and_totalled() {
    let window = Window::open(&["--demo", "full"]).await;
    window.until("window.__gangday.mapIdle === true").await;
    window.keep_screenshot("opened").await;

    let before = window.run("return window.__gangday.edition").await;
    press(&window, "p").await;
    // On a busy machine nothing better may be found; then the week stays as it was, and that is said.
    let planned = format!(
        "window.__gangday.edition > {before} || document.body.innerText.includes('; it is kept.')"
    );
    window.until(&planned).await;

    window.run(CHOOSE_FIRST_WORK).await;
    window
        .until("window.__gangday.selection.what === 'job'")
        .await;
    window
        .until("document.querySelectorAll('.ledger li').length >= 3")
        .await;
    let same_gang = "window.__gangday.map.queryRenderedFeatures({ layers: ['job'] }).some((mark) => \
        mark.properties.id === window.__gangday.selection.id && mark.properties.route === \
        document.querySelector('[data-piece][aria-pressed=true]').closest('[data-route]').dataset.route)";
    window.until(same_gang).await;
    window.until("window.__gangday.mapIdle === true").await;
    window.keep_screenshot("selected").await;

    the_ledger_shows_the_order_of_the_route(&window).await;

    let job = window.run("return window.__gangday.selection.id").await;
    let shown = window.run("return document.body.innerText").await;
    let job = job.as_str().expect("a job is selected");
    assert!(shown.as_str().expect("the page has text").contains(job));
    window.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn an_empty_window_says_what_to_do_and_does_it() {
    let window = Window::open(&[]).await;
    window
        .until("document.body.innerText.toLowerCase().includes('demo week')")
        .await;
    window.keep_screenshot("empty").await;
    window.click(".empty button").await;
    window.until("window.__gangday.edition > 0").await;
    let columns = window
        .run("return document.querySelectorAll('[data-piece].work').length")
        .await;
    assert!(columns.as_u64().is_some_and(|count| count > 0), "{columns}");
    window.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_page_may_call_the_desk_and_nothing_else() {
    let window = Window::open(&["--demo", "small"]).await;
    let script = "window.__refused = null; \
        window.__TAURI_INTERNALS__.invoke('plugin:window|set_title', { label: 'main', value: 'x' })\
        .then(() => { window.__refused = false }, () => { window.__refused = true });";
    window.run(script).await;
    window.until("window.__refused !== null").await;
    assert_eq!(
        window.run("return window.__refused").await,
        Value::Bool(true)
    );
    window.close().await;
}

/// What the desk orders for the selected job's route is what the page shows, line by line.
async fn the_ledger_shows_the_order_of_the_route(window: &Window) {
    let route = "return document.querySelector('[data-piece][aria-pressed=true]').closest('[data-route]').dataset.route";
    let route = window.run(route).await;
    window
        .ask(&json!({"ask": "gang_days", "keys": [route]}))
        .await;
    let order = "return window.__told.details[0].order.materials\
        .map((line) => `${line.name} ${line.measured} ${line.ordered}`)";
    let shown = "return [...document.querySelectorAll('.ledger li')].map((line) => \
        [line.querySelector('.name'), ...line.querySelectorAll('.figures')].map((cell) => \
        cell.cloneNode(true)).map((cell) => { cell.querySelectorAll('.sr, i').forEach((extra) => \
        extra.remove()); return cell.textContent.trim() }).join(' '))";
    let (order, shown) = (window.run(order).await, window.run(shown).await);
    assert!(
        order.as_array().is_some_and(|lines| lines.len() >= 3),
        "{order}"
    );
    assert_eq!(order, shown);
}

/// Presses a key on the page.
async fn press(window: &Window, key: &str) {
    let script = format!(
        "document.dispatchEvent(new KeyboardEvent('keydown', {{ key: '{key}', bubbles: true }}))"
    );
    window.run(&script).await;
}
