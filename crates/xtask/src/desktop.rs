//! Whether there is a display that a window can open on, and not just a variable that names one.

use std::path::{Path, PathBuf};

/// Whether a window can open here.
pub fn usable() -> bool {
    !cfg!(target_os = "linux") || wayland_answers() || x_answers()
}

fn wayland_answers() -> bool {
    let runtime = std::env::var_os("XDG_RUNTIME_DIR").map(PathBuf::from);
    std::env::var("WAYLAND_DISPLAY")
        .ok()
        .and_then(|name| wayland_socket(&name, runtime.as_deref()))
        .is_some_and(|socket| answers(&socket))
}

fn x_answers() -> bool {
    std::env::var("DISPLAY").is_ok_and(|name| x_display_answers(&name))
}

/// Whether the X display of this name, such as `:0`, takes connections.
pub fn x_display_answers(name: &str) -> bool {
    match x_display(name) {
        Some(Display::Here(number)) => {
            answers(&PathBuf::from(format!("/tmp/.X11-unix/X{number}")))
                || answers_tcp("127.0.0.1", number)
        }
        Some(Display::At(host, number)) => answers_tcp(&host, number),
        None => false,
    }
}

#[derive(Debug, PartialEq, Eq)]
enum Display {
    Here(u16),
    At(String, u16),
}

/// Reads `:0`, `unix:0`, `:0.0` and `host:10.0`.
fn x_display(name: &str) -> Option<Display> {
    let (host, rest) = name.rsplit_once(':')?;
    let number = rest.split('.').next()?.parse().ok()?;
    match host {
        "" | "unix" => Some(Display::Here(number)),
        _ => Some(Display::At(host.to_owned(), number)),
    }
}

fn wayland_socket(name: &str, runtime: Option<&Path>) -> Option<PathBuf> {
    match (name.is_empty(), Path::new(name).is_absolute()) {
        (true, _) => None,
        (false, true) => Some(PathBuf::from(name)),
        (false, false) => runtime.map(|folder| folder.join(name)),
    }
}

#[cfg(unix)]
fn answers(socket: &Path) -> bool {
    std::os::unix::net::UnixStream::connect(socket).is_ok()
}

#[cfg(not(unix))]
fn answers(_socket: &Path) -> bool {
    false
}

/// X listens on port 6000 and up, one port to a display.
fn answers_tcp(host: &str, display: u16) -> bool {
    use std::net::{TcpStream, ToSocketAddrs};
    let Some(port) = display.checked_add(6000) else {
        return false;
    };
    let wait = std::time::Duration::from_secs(2);
    (host, port).to_socket_addrs().is_ok_and(|mut addresses| {
        addresses.any(|address| TcpStream::connect_timeout(&address, wait).is_ok())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn display_names_are_read_as_x_writes_them() {
        assert_eq!(x_display(":0"), Some(Display::Here(0)));
        assert_eq!(x_display("unix:1.0"), Some(Display::Here(1)));
        assert_eq!(
            x_display("localhost:10.0"),
            Some(Display::At("localhost".to_owned(), 10))
        );
        assert_eq!(x_display("nowhere"), None);
        assert_eq!(x_display(""), None);
    }

    #[test]
    fn a_wayland_name_is_a_path_or_lies_in_the_runtime_folder() {
        assert_eq!(
            wayland_socket("wayland-0", Some(Path::new("/run/user/7"))),
            Some(PathBuf::from("/run/user/7/wayland-0"))
        );
        assert_eq!(wayland_socket("wayland-0", None), None);
        assert_eq!(wayland_socket("", Some(Path::new("/run/user/7"))), None);
    }

    #[cfg(unix)]
    #[test]
    fn a_socket_answers_only_while_somebody_listens() {
        let place = std::env::temp_dir().join(format!("gangday-display-{}", std::process::id()));
        assert!(!answers(&place));
        let listener = std::os::unix::net::UnixListener::bind(&place).unwrap();
        assert!(answers(&place));
        drop(listener);
        // A program that another test starts at this moment holds it open until it is itself.
        let gone = (0..100).any(|_| {
            std::thread::sleep(std::time::Duration::from_millis(20));
            !answers(&place)
        });
        assert!(gone, "a socket file that nobody listens on is no display");
        std::fs::remove_file(place).unwrap();
    }
}
