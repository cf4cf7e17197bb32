//! How soon the real window can be used, how much memory it takes, and how soon a carry is shown.
//!
//! They print what they measure and hold it to nothing: figures depend on the machine. `GANGDAY_WEEK` names
//! the programme; without it the demo week is opened. Build with `cargo build --release --workspace` and run
//! `cargo test --release -p gangday-tests --test window measured -- --ignored --nocapture --test-threads 1`.

use std::time::Instant;

use serde_json::Value;

use crate::driver::Window;

/// Carries the first job of the board from gang-day to gang-day by the arrows, and notes for each how long
/// it took until the words were others and until the frame that draws them was begun, in ms.
const CARRY: &str = "
    window.__carried = null;
    (async () => {
        const said = () => document.querySelector('[aria-label=\"In hand\"] .words')?.textContent ?? '';
        const key = (key) => document.body.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
        const all = [];
        for (let i = 0; i < 20; i++) {
            const before = said();
            await new Promise((later) => setTimeout(later, 200 + ((i * 7) % 17)));
            const begun = performance.now();
            const changed = new Promise((done) => {
                const watch = new MutationObserver(() => {
                    if (said() === before) return;
                    watch.disconnect();
                    done(performance.now() - begun);
                });
                watch.observe(document.body, { subtree: true, childList: true, characterData: true });
            });
            key('ArrowRight');
            const words = await changed;
            const drawn = await new Promise((done) => requestAnimationFrame(() => {
                const { port1, port2 } = new MessageChannel();
                port1.onmessage = () => done(performance.now() - begun);
                port2.postMessage(null);
            }));
            all.push([words, drawn]);
        }
        window.__carried = all;
    })();";

async fn opened() -> Window {
    let week = std::env::var("GANGDAY_WEEK");
    match &week {
        Ok(folder) => Window::open(&[folder]).await,
        Err(_) => Window::open(&["--demo", "full"]).await,
    }
}

#[tokio::test(flavor = "multi_thread")]
#[ignore = "it measures; run it by itself"]
async fn how_soon_the_window_can_be_used() {
    let begun = Instant::now();
    let window = opened().await;
    let ready = begun.elapsed();
    window.until("window.__gangday.mapIdle === true").await;
    let drawn = begun.elapsed();
    let memory = window.memory_mb();
    assert!(memory.iter().any(|(name, _)| name.starts_with("gangday")));
    println!(
        "from the driver's start: {} ms until it can be used, {} ms until the map is drawn",
        ready.as_millis(),
        drawn.as_millis()
    );
    for (name, peak) in memory {
        println!("{name}: {peak} MB at most");
    }
    window.close().await;
}

#[tokio::test(flavor = "multi_thread")]
#[ignore = "it measures; run it by itself"]
async fn how_soon_a_carry_is_shown() {
    let window = opened().await;
    window.until("window.__gangday.mapIdle === true").await;
    window
        .run("document.querySelector('[data-piece].work[data-job]').focus()")
        .await;
    window.keys("x").await;
    window
        .until("document.querySelector('[aria-label=\"In hand\"]') !== null")
        .await;
    window.run(CARRY).await;
    window.until("window.__carried !== null").await;
    let carried = window.run("return window.__carried").await;
    for (at, what) in [(0, "until the words are others"), (1, "until it is drawn")] {
        let mut all: Vec<f64> = carried
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(|one| one.get(at).and_then(Value::as_f64))
            .collect();
        assert_eq!(all.len(), 20, "every carry was noted");
        all.sort_by(f64::total_cmp);
        println!(
            "{what}: median {:.1} ms, 90 % {:.1}, longest {:.1}",
            all[10], all[18], all[19]
        );
    }
    window.close().await;
}
