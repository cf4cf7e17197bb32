//! The real window, driven through WebDriver under whatever display is there.

use std::net::TcpListener;
use std::os::unix::process::CommandExt as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use fantoccini::actions::{InputSource as _, KeyAction, KeyActions};
use fantoccini::key::Key;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};

use crate::common::{program, project};
use crate::dragging::{self, End, Outcome, group_of};

/// How long the page may take to do a thing before the test gives up.
const PATIENCE: Duration = Duration::from_secs(60);

/// Waits for one answer of the window, and fails in words where none comes.
///
/// A browser that never answers would otherwise hold up the whole row.
async fn answer<T, E: std::fmt::Debug>(what: &str, call: impl Future<Output = Result<T, E>>) -> T {
    match tokio::time::timeout(PATIENCE, call).await {
        Ok(Ok(given)) => given,
        Ok(Err(error)) => panic!("{what}: {error:?}"),
        Err(_) => panic!("{what}: no answer in {} s", PATIENCE.as_secs()),
    }
}

/// A driver in a process group of its own, which ends with it.
struct Driver {
    child: Child,
    port: u16,
}

impl Driver {
    fn start(home: &Path, chosen: &str) -> Self {
        let port = free_port();
        let child = Command::new("WebKitWebDriver")
            .arg(format!("--port={port}"))
            .env("TAURI_WEBVIEW_AUTOMATION", "true")
            .env("GANGDAY_CHOOSES", chosen)
            .env("HOME", home)
            .env("XDG_DATA_HOME", home.join("data"))
            .env("XDG_CONFIG_HOME", home.join("config"))
            .env("XDG_CACHE_HOME", home.join("cache"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .process_group(0)
            .spawn()
            .expect("WebKitWebDriver starts; `cargo xtask setup` installs it");
        Self { child, port }
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let group = format!("-{}", self.child.id());
        Command::new("kill")
            .args(["-KILL", "--", &group])
            .status()
            .ok();
        self.child.wait().ok();
        // What was killed lets go of its files only when it is gone, and the next window may open the same.
        let begun = Instant::now();
        while is_running(self.child.id()) && begun.elapsed() < PATIENCE {
            std::thread::sleep(Duration::from_millis(20));
        }
    }
}

/// Whether anything still runs in a process group, be it one thread of a program whose first has ended (proc(5)).
fn is_running(group: u32) -> bool {
    let mut own = pids().filter(|pid| group_of(*pid) == Some(group));
    own.any(|pid| {
        let mut threads = entries(&format!("/proc/{pid}/task"));
        threads.any(|thread| {
            let about = std::fs::read_to_string(thread.path().join("stat")).unwrap_or_default();
            let state = about.rsplit_once(") ").map(|(_, after)| after);
            state.is_some_and(|state| !state.starts_with(['Z', 'X']))
        })
    })
}

fn entries(place: &str) -> impl Iterator<Item = std::fs::DirEntry> + use<> {
    std::fs::read_dir(place).into_iter().flatten().flatten()
}

fn pids() -> impl Iterator<Item = u32> {
    entries("/proc").filter_map(|entry| entry.file_name().to_str()?.parse().ok())
}

fn free_port() -> u16 {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a free port");
    listener.local_addr().expect("it has an address").port()
}

/// A window under test.
pub struct Window {
    client: Client,
    driver: Driver,
    /// Goes with the window, where it is no other's.
    _home: Option<tempfile::TempDir>,
}

impl Window {
    /// Opens the window with these arguments and waits until the page is ready.
    pub async fn open(arguments: &[&str]) -> Self {
        Self::open_choosing(arguments, &[]).await
    }

    /// The same, where each dialog of the system that is asked for by its name gives this path: no test
    /// can drive such a dialog.
    pub async fn open_choosing(arguments: &[&str], chosen: &[(&str, &Path)]) -> Self {
        let home = tempfile::tempdir().expect("a home for the window");
        let line = |(what, path): &(&str, &Path)| format!("{what} {}\n", path.display());
        let chosen: String = chosen.iter().map(line).collect();
        let mut window = Self::start(arguments, home.path(), &chosen).await;
        window._home = Some(home);
        window
    }

    /// The same in the home of a user who has opened it before, or will again.
    pub async fn open_at_home(arguments: &[&str], home: &Path) -> Self {
        Self::start(arguments, home, "").await
    }

    async fn start(arguments: &[&str], home: &Path, chosen: &str) -> Self {
        let driver = Driver::start(home, chosen);
        let client = connect(driver.port, arguments).await;
        let window = Self {
            client,
            driver,
            _home: None,
        };
        window
            .until("window.__gangday && window.__gangday.ready === true")
            .await;
        window
    }

    /// The process group that the window's program is in.
    pub fn group(&self) -> u32 {
        self.driver.child.id()
    }

    /// Runs a script and gives back what it returns.
    pub async fn run(&self, script: &str) -> Value {
        answer(script, self.client.execute(script, Vec::new())).await
    }

    /// Waits until an expression is true in the page.
    pub async fn until(&self, expression: &str) {
        let script = format!("return Boolean({expression})");
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            if self.holds(&script).await {
                return;
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        self.keep_screenshot("gave-up").await;
        let page = self
            .run("return document.body.innerText.slice(0, 2000)")
            .await;
        panic!("never true: {expression}\n{page}");
    }

    /// Types at the keyboard, on what has the focus.
    pub async fn keys(&self, keys: &str) {
        for key in keys.chars() {
            let pressed = KeyActions::new("keyboard".to_owned())
                .then(KeyAction::Down { value: key })
                .then(KeyAction::Up { value: key });
            answer("a key", self.client.perform_actions(pressed)).await;
        }
    }

    /// Presses a key while Control is held.
    pub async fn chord(&self, key: char) {
        let control = char::from(Key::Control);
        let pressed = KeyActions::new("keyboard".to_owned())
            .then(KeyAction::Down { value: control })
            .then(KeyAction::Down { value: key })
            .then(KeyAction::Up { value: key })
            .then(KeyAction::Up { value: control });
        answer("a chord", self.client.perform_actions(pressed)).await;
    }

    /// Goes on by the Tab key until what begins with these words has the focus, and presses Enter on it.
    pub async fn press_button(&self, words: &str) {
        let begins = format!(
            "const bare = (text) => text.replace(/\\s+/g, ''); \
             const there = document.activeElement; \
             return Boolean(there?.matches('button') && \
             bare(there.textContent).startsWith(bare({})))",
            json!(words)
        );
        for _ in 0..120 {
            if self.holds(&begins).await {
                self.keys(&Key::Enter).await;
                return;
            }
            self.keys(&Key::Tab).await;
        }
        self.keep_screenshot("gave-up").await;
        panic!("the Tab key never comes to {words:?}");
    }

    /// Drags what these addresses name out of another program over the window, and ends so.
    pub async fn drag(&self, addresses: &[String], end: End) -> Outcome {
        let (group, addresses) = (self.driver.child.id(), addresses.to_vec());
        let drag = tokio::task::spawn_blocking(move || dragging::drag(group, &addresses, end));
        let dragged = drag.await.expect("the drag comes to an end");
        dragged.expect("the window answers the drag")
    }

    /// What the desk answers, asked as the page asks.
    pub async fn ask(&self, request: &Value) -> Value {
        let script = format!(
            "window.__told = null; \
             window.__TAURI_INTERNALS__.invoke('call', {{ request: {request} }})\
             .then((told) => {{ window.__told = told }}, (told) => {{ window.__told = {{ refused: told }} }});"
        );
        self.run(&script).await;
        self.until("window.__told !== null").await;
        self.run("return window.__told").await
    }

    /// Clicks what a selector finds.
    pub async fn click(&self, selector: &str) {
        let found = answer(selector, self.client.find(Locator::Css(selector))).await;
        answer(selector, found.click()).await;
    }

    /// Whether a script says so now; a page that is still loading says nothing.
    async fn holds(&self, script: &str) -> bool {
        let call = self.client.execute(script, Vec::new());
        let said = tokio::time::timeout(PATIENCE, call).await;
        matches!(said, Ok(Ok(Value::Bool(true))))
    }

    /// The programs of the window, each with the most memory that it has held, MB (`VmHWM`, proc(5)).
    pub fn memory_mb(&self) -> Vec<(String, u64)> {
        let own = pids().filter(|pid| group_of(*pid) == Some(self.driver.child.id()));
        let told = own.filter_map(|pid| {
            let about = std::fs::read_to_string(format!("/proc/{pid}/status")).ok()?;
            let line = |name: &str| about.lines().find_map(|line| line.strip_prefix(name));
            let peak = line("VmHWM:")?.split_whitespace().next()?.parse::<u64>();
            Some((line("Name:")?.trim().to_owned(), peak.ok()? / 1024))
        });
        told.collect()
    }

    /// Keeps a screenshot beside the built programs.
    pub async fn keep_screenshot(&self, name: &str) -> PathBuf {
        let folder = project().join("target").join("screenshots");
        std::fs::create_dir_all(&folder).expect("a folder for screenshots");
        let path = folder.join(format!("window-{name}.png"));
        let png = answer("a picture of the window", self.client.screenshot()).await;
        std::fs::write(&path, png).expect("the screenshot is kept");
        path
    }

    /// Ends the session, and the window with it.
    pub async fn close(self) {
        let call = self.client.clone().close();
        // The driver's group ends the window where it does not end itself.
        tokio::time::timeout(PATIENCE, call).await.ok();
    }
}

async fn connect(port: u16, arguments: &[&str]) -> Client {
    let options = json!({
        "webkitgtk:browserOptions": {
            "binary": program("gangday-desktop"),
            "args": arguments,
        }
    });
    let Value::Object(capabilities) = options else {
        unreachable!("it is written as an object")
    };
    let begun = Instant::now();
    loop {
        let mut builder = ClientBuilder::new(HttpConnector::new());
        builder.capabilities(capabilities.clone());
        let address = format!("http://127.0.0.1:{port}");
        match tokio::time::timeout(PATIENCE, builder.connect(&address)).await {
            Ok(Ok(client)) => return client,
            Ok(Err(_)) if begun.elapsed() < PATIENCE => {}
            refused => panic!("no window: {refused:?}"),
        }
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
}
