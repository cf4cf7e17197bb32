//! A display without a screen, for the tests that open the real window.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

use crate::tool::on_path;
use crate::trouble::{Trouble, trouble};

/// An X server of our own, ended when this value is dropped.
#[derive(Debug)]
pub struct Screen {
    server: Child,
    display: String,
}

impl Screen {
    /// Starts the server on a display number that it chooses itself.
    ///
    /// # Errors
    /// When it can't be started or names no display.
    pub fn open() -> Result<Self, Trouble> {
        let remedy = "run `cargo xtask setup`, which installs xvfb";
        let mut server = command()
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|e| trouble(format!("Xvfb could not be started: {e}"), remedy))?;
        let mut number = String::new();
        if let Some(out) = server.stdout.take() {
            // An error leaves the line empty, which is told below.
            let _ = BufReader::new(out).read_line(&mut number);
        }
        let screen = Self {
            server,
            display: format!(":{}", number.trim()),
        };
        if screen.display == ":" {
            return Err(trouble("Xvfb ended without naming a display", remedy));
        }
        Ok(screen)
    }

    /// Makes a program draw on this screen, without a graphics card.
    ///
    /// WebKit keeps its usual renderer (`WEBKIT_DISABLE_DMABUF_RENDERER` stays unset): without it
    /// a picture that WebDriver asks for now and then never comes, though the page goes on drawing
    /// (seen with WebKitGTK 2.50.6).
    pub fn lend(&self, command: &mut Command) {
        command
            .env("DISPLAY", &self.display)
            .env_remove("WAYLAND_DISPLAY")
            .env("GDK_BACKEND", "x11")
            .env("LIBGL_ALWAYS_SOFTWARE", "1")
            .env_remove("WEBKIT_DISABLE_DMABUF_RENDERER")
            .env("NO_AT_BRIDGE", "1");
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        // A server that has ended already can't be ended again; that is no failure.
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

/// The server, tied to this process where the system can do that, so that it never outlives it.
fn command() -> Command {
    let mut command = if on_path("setpriv") {
        let mut tied = Command::new("setpriv");
        tied.args(["--pdeathsig", "TERM", "Xvfb"]);
        tied
    } else {
        Command::new("Xvfb")
    };
    command.args([
        "-displayfd",
        "1",
        "-screen",
        "0",
        "1600x1000x24",
        "-nolisten",
        "tcp",
    ]);
    command
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desktop::x_display_answers;

    #[test]
    fn a_screen_answers_until_it_is_dropped() {
        let screen = Screen::open().unwrap();
        let display = screen.display.clone();
        assert!(x_display_answers(&display), "{display}");
        drop(screen);
        assert!(!x_display_answers(&display), "{display}");
    }
}
