//! What the window remembers of itself: where it was, how large, whether it filled the screen.
//!
//! A window manager would place it; there is none here, so the test moves it, as one does, and
//! answers what it asks one for: Extended Window Manager Hints 1.5, freedesktop.org, `_NET_WM_STATE`.

use std::path::Path;
use std::time::{Duration, Instant};

use serde_json::Value;
use x11rb::connection::Connection as _;
use x11rb::protocol::Event;
use x11rb::protocol::xproto::{
    Atom, AtomEnum, ChangeWindowAttributesAux, ClientMessageEvent, ConfigureWindowAux,
    ConnectionExt as _, EventMask, PropMode, Window as Shown,
};
use x11rb::rust_connection::RustConnection;
use x11rb::wrapper::ConnectionExt as _;

use crate::dragging::{Result, window_of};
use crate::driver::Window;

const PATIENCE: Duration = Duration::from_secs(60);

/// Where the state of the window is kept, below the folder of the user's settings.
const KEPT: &str = "config/io.gangday.desktop/.window-state.json";

/// Left, top, width, height, pixels.
type Place = (i16, i16, u16, u16);

x11rb::atom_manager! {
    Atoms: AtomsCookie {
        _NET_WM_PID,
        _NET_WM_STATE,
        _NET_WM_STATE_MAXIMIZED_VERT,
        _NET_WM_STATE_MAXIMIZED_HORZ,
        WM_PROTOCOLS,
        WM_DELETE_WINDOW,
        WM_STATE,
        XdndAware,
    }
}

/// What a window manager does with the window of one program.
struct Manager {
    server: RustConnection,
    root: Shown,
    window: Shown,
    atoms: Atoms,
}

impl Manager {
    /// Takes charge of the window of a program of this process group.
    fn of(group: u32) -> Result<Self> {
        Self::start()?.take(group)
    }

    /// Listens to what windows ask for, before there is one: it may ask as soon as it is there.
    fn start() -> Result<Self> {
        let (server, screen) = x11rb::connect(None)?;
        let root = server.setup().roots[screen].root;
        let atoms = Atoms::new(&server)?.reply()?;
        let listen = ChangeWindowAttributesAux::new().event_mask(EventMask::SUBSTRUCTURE_NOTIFY);
        server.change_window_attributes(root, &listen)?;
        server.flush()?;
        Ok(Self {
            server,
            root,
            window: root,
            atoms,
        })
    }

    fn take(mut self, group: u32) -> Result<Self> {
        let marks = [self.atoms._NET_WM_PID, self.atoms.XdndAware];
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            if let Some(window) = window_of(&self.server, marks, self.root, group)? {
                self.window = window;
                return Ok(self);
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        Err("the program shows no window".into())
    }

    /// Where the window is on the screen, and how large.
    fn place(&self) -> Result<Place> {
        let size = self.server.get_geometry(self.window)?.reply()?;
        let at = self
            .server
            .translate_coordinates(self.window, self.root, 0, 0)?
            .reply()?;
        Ok((at.dst_x, at.dst_y, size.width, size.height))
    }

    fn put(&self, (x, y, width, height): Place) -> Result<()> {
        let to = ConfigureWindowAux::new()
            .x(i32::from(x))
            .y(i32::from(y))
            .width(u32::from(width))
            .height(u32::from(height));
        self.server.configure_window(self.window, &to)?;
        Ok(self.server.flush()?)
    }

    /// Has it fill the screen, as when its title is clicked twice.
    fn maximise(&self) -> Result<()> {
        let (sort, mode) = (AtomEnum::ATOM, PropMode::REPLACE);
        let states = [
            self.atoms._NET_WM_STATE_MAXIMIZED_VERT,
            self.atoms._NET_WM_STATE_MAXIMIZED_HORZ,
        ];
        self.server.change_property32(
            mode,
            self.window,
            self.atoms._NET_WM_STATE,
            sort,
            &states,
        )?;
        let screen = self.server.get_geometry(self.root)?.reply()?;
        self.put((0, 0, screen.width, screen.height))
    }

    /// Whether it is said to fill the screen.
    fn is_maximised(&self) -> Result<bool> {
        let (window, state) = (self.window, self.atoms._NET_WM_STATE);
        let asked = self
            .server
            .get_property(false, window, state, AtomEnum::ATOM, 0, 32)?;
        let states: Vec<Atom> = asked.reply()?.value32().into_iter().flatten().collect();
        Ok(states.contains(&self.atoms._NET_WM_STATE_MAXIMIZED_VERT))
    }

    /// Does what it asks a window manager for, until it fills the screen.
    fn grant(&self) -> Result<()> {
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            if self.is_maximised()? {
                return Ok(());
            }
            let asked = self.server.poll_for_event()?;
            if let Some(Event::ClientMessage(asked)) = asked
                && asked.window == self.window
                && asked.type_ == self.atoms._NET_WM_STATE
                && asked.data.as_data32()[1..3].contains(&self.atoms._NET_WM_STATE_MAXIMIZED_VERT)
            {
                self.maximise()?;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        Err("it does not ask to fill the screen".into())
    }

    /// Closes it, as by the cross in its corner.
    fn close(&self) -> Result<()> {
        let data = [self.atoms.WM_DELETE_WINDOW, x11rb::CURRENT_TIME, 0, 0, 0];
        let message = ClientMessageEvent::new(32, self.window, self.atoms.WM_PROTOCOLS, data);
        self.server
            .send_event(false, self.window, EventMask::NO_EVENT, message)?;
        Ok(self.server.flush()?)
    }
}

/// Waits until something is so.
fn until(what: &str, so: impl Fn() -> bool) {
    let begun = Instant::now();
    while !so() {
        assert!(begun.elapsed() < PATIENCE, "never: {what}");
        std::thread::sleep(Duration::from_millis(50));
    }
}

fn kept(home: &Path) -> Option<Value> {
    let text = std::fs::read_to_string(home.join(KEPT)).ok()?;
    serde_json::from_str(&text).ok()
}

/// Closes the window by its cross and waits until it has written down how it was.
fn close(manager: &Manager, home: &Path, so: impl Fn(&Value) -> bool) {
    manager.close().unwrap();
    until("its state is written", || {
        kept(home).is_some_and(|state| so(&state["main"]))
    });
}

#[tokio::test(flavor = "multi_thread")]
async fn the_window_comes_back_where_it_was_as_large_as_it_was_and_filling_the_screen_if_it_did() {
    let home = tempfile::tempdir().unwrap();
    let place: Place = (37, 53, 1013, 677);

    let window = Window::open_at_home(&["--demo", "small"], home.path()).await;
    let manager = Manager::of(window.group()).unwrap();
    assert_ne!(manager.place().unwrap(), place);
    manager.put(place).unwrap();
    window
        .until("innerWidth === 1013 && innerHeight === 677")
        .await;
    close(&manager, home.path(), |state| {
        state["width"] == 1013 && state["x"] == 37
    });
    window.close().await;

    let window = Window::open_at_home(&[], home.path()).await;
    let manager = Manager::of(window.group()).unwrap();
    window
        .until("innerWidth === 1013 && innerHeight === 677")
        .await;
    until("it is where it was", || manager.place().unwrap() == place);
    manager.maximise().unwrap();
    let screen = manager.place().unwrap();
    window.until(&format!("innerWidth === {}", screen.2)).await;
    close(&manager, home.path(), |state| state["maximized"] == true);
    window.close().await;

    let manager = Manager::start().unwrap();
    let window = Window::open_at_home(&[], home.path()).await;
    let manager = manager.take(window.group()).unwrap();
    manager.grant().unwrap();
    window.until(&format!("innerWidth === {}", screen.2)).await;
    window.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_damaged_state_of_the_window_is_as_if_there_were_none() {
    let far = r#"{"main":{"width":1200,"height":700,"x":90000,"y":-90000,"prev_x":0,"prev_y":0,"maximized":false,"visible":true,"decorated":true,"fullscreen":false}}"#;
    let huge = far.replace("1200", "4000000").replace("90000", "0");
    let nothing = far.replace("1200", "1").replace("700", "1");
    let unseen = far.replace("\"visible\":true", "\"visible\":false");
    for damaged in [
        "",
        "{\"main\": {\"wid",
        "[1, 2]",
        far,
        &huge,
        &nothing,
        &unseen,
    ] {
        let home = tempfile::tempdir().unwrap();
        let file = home.path().join(KEPT);
        std::fs::create_dir_all(file.parent().unwrap()).unwrap();
        std::fs::write(&file, damaged).unwrap();
        let window = Window::open_at_home(&["--demo", "small"], home.path()).await;
        let manager = Manager::of(window.group()).unwrap();
        window.until("window.__gangday.mapIdle === true").await;
        let (x, y, width, height) = manager.place().unwrap();
        let screen = manager.server.get_geometry(manager.root).unwrap();
        let screen = screen.reply().unwrap();
        assert!(
            (0..i32::from(screen.width)).contains(&i32::from(x))
                && (0..i32::from(screen.height)).contains(&i32::from(y))
                && (960..=4000).contains(&width)
                && (640..=4000).contains(&height),
            "{damaged}: {x} {y} {width} {height}"
        );
        window.close().await;
    }
}
