//! The real window, driven through WebDriver under whatever display is there.

use std::net::TcpListener;
use std::os::unix::process::CommandExt as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};

use crate::common::{program, project};

/// How long the page may take to do a thing before the test gives up.
const PATIENCE: Duration = Duration::from_secs(60);

/// A driver in a process group of its own, which ends with it.
struct Driver {
    child: Child,
    port: u16,
}

impl Driver {
    fn start(home: &Path) -> Self {
        let port = free_port();
        let child = Command::new("WebKitWebDriver")
            .arg(format!("--port={port}"))
            .env("TAURI_WEBVIEW_AUTOMATION", "true")
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
    }
}

fn free_port() -> u16 {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a free port");
    listener.local_addr().expect("it has an address").port()
}

/// A window under test.
pub struct Window {
    pub client: Client,
    _driver: Driver,
    _home: tempfile::TempDir,
}

impl Window {
    /// Opens the window with these arguments and waits until the page is ready.
    pub async fn open(arguments: &[&str]) -> Self {
        let home = tempfile::tempdir().expect("a home for the window");
        let driver = Driver::start(home.path());
        let client = connect(driver.port, arguments).await;
        let window = Self {
            client,
            _driver: driver,
            _home: home,
        };
        window
            .until("window.__gangday && window.__gangday.ready === true")
            .await;
        window
    }

    /// Runs a script and gives back what it returns.
    pub async fn run(&self, script: &str) -> Value {
        self.client
            .execute(script, Vec::new())
            .await
            .expect("the script runs")
    }

    /// Waits until an expression is true in the page.
    pub async fn until(&self, expression: &str) {
        let script = format!("return Boolean({expression})");
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            if self.client.execute(&script, Vec::new()).await.ok() == Some(Value::Bool(true)) {
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

    /// Keeps a screenshot beside the built programs.
    pub async fn keep_screenshot(&self, name: &str) -> PathBuf {
        let folder = project().join("target").join("screenshots");
        std::fs::create_dir_all(&folder).expect("a folder for screenshots");
        let path = folder.join(format!("window-{name}.png"));
        let png = self
            .client
            .screenshot()
            .await
            .expect("the window can be seen");
        std::fs::write(&path, png).expect("the screenshot is kept");
        path
    }

    /// Ends the session, and the window with it.
    pub async fn close(self) {
        self.client.clone().close().await.ok();
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
        match builder.connect(&format!("http://127.0.0.1:{port}")).await {
            Ok(client) => return client,
            Err(error) if begun.elapsed() > PATIENCE => panic!("no window: {error}"),
            Err(_) => tokio::time::sleep(Duration::from_millis(200)).await,
        }
    }
}
