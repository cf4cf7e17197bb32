//! Files dragged out of another program and let go over the window, as the X server's programs do it
//! among themselves. Nothing of the window under test is called: it gets the messages that any file
//! manager would send it.
//!
//! Source: Drag-and-Drop Protocol for the X Window System (XDND), version 5, freedesktop.org; the list of
//! files is `text/uri-list`, RFC 2483, clause 5.

use std::error::Error;
use std::path::Path;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use x11rb::connection::Connection as _;
use x11rb::protocol::Event;
use x11rb::protocol::xproto::{
    Atom, AtomEnum, ClientMessageEvent, ConnectionExt as _, CreateWindowAux, EventMask, PropMode,
    SELECTION_NOTIFY_EVENT, SelectionNotifyEvent, SelectionRequestEvent, Window, WindowClass,
};
use x11rb::rust_connection::RustConnection;
use x11rb::wrapper::ConnectionExt as _;
use x11rb::{COPY_FROM_PARENT, CURRENT_TIME, NONE};

/// How long the window may take to say that it would take what is held over it, and then to take it.
const PATIENCE: Duration = Duration::from_secs(60);

/// The version of the protocol that is spoken.
const VERSION: u32 = 5;

/// A display has one hand: what is dragged is what the last to begin a drag says.
static HAND: Mutex<()> = Mutex::new(());

pub type Result<T> = std::result::Result<T, Box<dyn Error + Send + Sync>>;

x11rb::atom_manager! {
    /// The names of the protocol.
    Atoms: AtomsCookie {
        XdndAware,
        XdndEnter,
        XdndPosition,
        XdndStatus,
        XdndLeave,
        XdndDrop,
        XdndFinished,
        XdndSelection,
        XdndActionCopy,
        _NET_WM_PID,
        TARGETS,
        URI_LIST: b"text/uri-list",
        PLAIN: b"text/plain",
    }
}

/// How a drag ends: at once, or when the window has said that it would take what is held over it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    LetGo,
    TakenAway,
    SweptOver,
}

/// What became of a drag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// The window did not say that it would take what was held over it, so it was taken away again.
    Refused,
    /// The window would have taken it; it was taken away.
    TakenAway,
    /// It was let go; whether the window then said that it took it.
    LetGo { taken: bool },
}

/// A program that has files to drag.
struct Source {
    server: RustConnection,
    root: Window,
    own: Window,
    atoms: Atoms,
    list: String,
}

/// Drags what these addresses name over the window of a program of this process group, and ends so.
///
/// # Errors
/// There is no X server, the program has no window that takes drops, or the window doesn't answer in time.
pub fn drag(group: u32, addresses: &[String], end: End) -> Result<Outcome> {
    let _hand = HAND.lock().unwrap_or_else(PoisonError::into_inner);
    let list = addresses.iter().map(|one| format!("{one}\r\n")).collect();
    let source = Source::start(list)?;
    let marks = [source.atoms._NET_WM_PID, source.atoms.XdndAware];
    let begun = Instant::now();
    let target = loop {
        if let Some(found) = window_of(&source.server, marks, source.root, group)? {
            break found;
        }
        if begun.elapsed() > PATIENCE {
            return Err("no window of the program takes drops".into());
        }
        std::thread::sleep(Duration::from_millis(50));
    };
    source.enter(target)?;
    let wanted = source.hold(target, end)?;
    if !wanted || end != End::LetGo {
        source.tell(target, source.atoms.XdndLeave, [source.own, 0, 0, 0, 0])?;
        source.settle()?;
        return Ok(if wanted {
            Outcome::TakenAway
        } else {
            Outcome::Refused
        });
    }
    let drop = [source.own, 0, CURRENT_TIME, 0, 0];
    source.tell(target, source.atoms.XdndDrop, drop)?;
    let finished = source.answer(source.atoms.XdndFinished)?;
    Ok(Outcome::LetGo {
        taken: finished[1] & 1 == 1,
    })
}

/// The window, at or below this one, of a program of the process group that says that it takes drops; `marks`
/// are the names under which a window tells its process and that.
pub fn window_of(
    server: &RustConnection,
    marks: [Atom; 2],
    at: Window,
    group: u32,
) -> Result<Option<Window>> {
    // A window may go while the tree is walked; then it is not the one.
    let number = |name: Atom| -> Option<u32> {
        let asked = server.get_property(false, at, name, AtomEnum::ANY, 0, 1);
        asked.ok()?.reply().ok()?.value32()?.next()
    };
    let [process, takes_drops] = marks;
    let is_own = number(process).is_some_and(|pid| group_of(pid) == Some(group));
    if is_own && number(takes_drops).is_some() {
        return Ok(Some(at));
    }
    let Ok(tree) = server.query_tree(at)?.reply() else {
        return Ok(None);
    };
    for child in tree.children {
        if let Some(found) = window_of(server, marks, child, group)? {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

/// The address of a file, as a file manager gives it (RFC 8089; what is not a plain letter, by RFC 3986).
pub fn address(path: &Path) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"/-._~".contains(&byte);
    let path = path.to_str().expect("a path that is text");
    let letters = path.bytes().map(|byte| match plain(byte) {
        true => char::from(byte).to_string(),
        false => format!("%{byte:02X}"),
    });
    format!("file://{}", letters.collect::<String>())
}

impl Source {
    fn start(list: String) -> Result<Self> {
        let (server, screen) = x11rb::connect(None)?;
        let root = server.setup().roots[screen].root;
        let atoms = Atoms::new(&server)?.reply()?;
        let own = server.generate_id()?;
        let (depth, looks) = (x11rb::COPY_DEPTH_FROM_PARENT, COPY_FROM_PARENT);
        let none = CreateWindowAux::new();
        let class = WindowClass::INPUT_OUTPUT;
        server.create_window(depth, own, root, 0, 0, 1, 1, 0, class, looks, &none)?;
        server.set_selection_owner(own, atoms.XdndSelection, CURRENT_TIME)?;
        server.flush()?;
        Ok(Self {
            server,
            root,
            own,
            atoms,
            list,
        })
    }

    fn tell(&self, target: Window, what: Atom, data: [u32; 5]) -> Result<()> {
        let message = ClientMessageEvent::new(32, target, what, data);
        self.server
            .send_event(false, target, EventMask::NO_EVENT, message)?;
        Ok(self.server.flush()?)
    }

    fn enter(&self, target: Window) -> Result<()> {
        let types = [self.atoms.URI_LIST, self.atoms.PLAIN];
        let data = [self.own, VERSION << 24, types[0], types[1], 0];
        self.tell(target, self.atoms.XdndEnter, data)
    }

    /// Moves over the middle of the window until it says that it would take what is held there, or only once.
    fn hold(&self, target: Window, end: End) -> Result<bool> {
        let size = self.server.get_geometry(target)?.reply()?;
        let middle = (size.width.cast_signed() / 2, size.height.cast_signed() / 2);
        let asked = self
            .server
            .translate_coordinates(target, self.root, middle.0, middle.1)?;
        let at = asked.reply()?;
        let (x, y) = (u32::try_from(at.dst_x)?, u32::try_from(at.dst_y)?);
        let begun = Instant::now();
        // A hand that moves is never still at the first yes.
        let mut willing = 0;
        for step in 0_u32.. {
            let copy = self.atoms.XdndActionCopy;
            let place = (x + step % 20) << 16 | y;
            let data = [self.own, 0, place, CURRENT_TIME, copy];
            self.tell(target, self.atoms.XdndPosition, data)?;
            if self.answer(self.atoms.XdndStatus)?[1] & 1 == 1 {
                willing += 1;
            }
            if willing == 2 {
                return Ok(true);
            }
            if end == End::SweptOver || begun.elapsed() > PATIENCE {
                break;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        Ok(false)
    }

    /// What the window says next of this sort; meanwhile it is given what it asks for.
    fn answer(&self, what: Atom) -> Result<[u32; 5]> {
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            match self.server.poll_for_event()? {
                Some(Event::ClientMessage(said)) if said.type_ == what => {
                    return Ok(said.data.as_data32());
                }
                Some(Event::SelectionRequest(asked)) => self.give(&asked)?,
                Some(_) => {}
                None => std::thread::sleep(Duration::from_millis(5)),
            }
        }
        Err("the window does not answer".into())
    }

    /// Gives the window what it still asks for, until it has asked for nothing for a while.
    fn settle(&self) -> Result<()> {
        let mut quiet = Instant::now();
        while quiet.elapsed() < Duration::from_millis(300) {
            match self.server.poll_for_event()? {
                Some(Event::SelectionRequest(asked)) => {
                    self.give(&asked)?;
                    quiet = Instant::now();
                }
                Some(_) => {}
                None => std::thread::sleep(Duration::from_millis(5)),
            }
        }
        Ok(())
    }

    fn give(&self, asked: &SelectionRequestEvent) -> Result<()> {
        let (to, place, atoms) = (asked.requestor, asked.property, &self.atoms);
        let mut given = place;
        if asked.target == atoms.TARGETS {
            let all = [atoms.TARGETS, atoms.URI_LIST, atoms.PLAIN];
            let (mode, sort) = (PropMode::REPLACE, AtomEnum::ATOM);
            self.server.change_property32(mode, to, place, sort, &all)?;
        } else if [atoms.URI_LIST, atoms.PLAIN].contains(&asked.target) {
            let (mode, sort, text) = (PropMode::REPLACE, asked.target, self.list.as_bytes());
            self.server.change_property8(mode, to, place, sort, text)?;
        } else {
            given = NONE;
        }
        let notice = SelectionNotifyEvent {
            response_type: SELECTION_NOTIFY_EVENT,
            sequence: 0,
            time: asked.time,
            requestor: to,
            selection: asked.selection,
            target: asked.target,
            property: given,
        };
        self.server
            .send_event(false, to, EventMask::NO_EVENT, notice)?;
        Ok(self.server.flush()?)
    }
}

/// The process group of a process; none where it is gone.
pub fn group_of(pid: u32) -> Option<u32> {
    let about = std::fs::read_to_string(format!("/proc/{pid}/stat")).ok()?;
    // After the name, which stands in brackets: state, parent, group (proc(5)).
    let (_, after) = about.rsplit_once(')')?;
    after.split_whitespace().nth(2)?.parse().ok()
}
