//! What the system must hold, and putting it there on Debian and its kin.

use std::process::Command;

use crate::tool::{ask, on_path, say, succeeds};
use crate::trouble::{Trouble, trouble};

/// One thing that the system must hold: a Debian package, or any program that stands in for it.
#[derive(Debug, PartialEq, Eq)]
pub struct Need {
    /// The package that brings it.
    pub package: &'static str,
    /// Programs any of which makes the package unnecessary.
    pub or_program: &'static [&'static str],
}

const fn package(package: &'static str) -> Need {
    Need {
        package,
        or_program: &[],
    }
}

/// What building and opening the desktop window needs beyond Rust and a C compiler.
pub const WINDOW: &[Need] = &[
    Need {
        package: "build-essential",
        or_program: &[],
    },
    Need {
        package: "pkg-config",
        or_program: &["pkg-config"],
    },
    package("libwebkit2gtk-4.1-dev"),
];

/// What the tests need besides: a display without a screen, a driver for the window, a browser.
pub const TESTS: &[Need] = &[
    Need {
        package: "xvfb",
        or_program: &["Xvfb"],
    },
    Need {
        package: "xauth",
        or_program: &["xauth"],
    },
    Need {
        package: "webkit2gtk-driver",
        or_program: &["WebKitWebDriver"],
    },
    Need {
        package: "chromium",
        or_program: &["chromium", "chromium-browser", "google-chrome"],
    },
    package("fonts-dejavu-core"),
];

/// What a Node of our own needs, where the system has none that is new enough.
pub const PYTHON: &[Need] = &[package("python3-venv")];

/// What the real map extracts of the tests are fetched and unpacked with.
pub const XZ: &[Need] = &[Need {
    package: "xz-utils",
    or_program: &["xz"],
}];
/// The same, for the Python ones.
pub const PIP: &[Need] = &[package("python3-pip")];

/// Sees to it that every need is met, installing what is missing and nothing else.
///
/// # Errors
/// On another system than Debian and its kin, without root or sudo, or when apt-get fails: each
/// with the exact command that a person would give.
pub fn meet(needs: &[&[Need]]) -> Result<(), Trouble> {
    if !is_debian() {
        return elsewhere(needs);
    }
    let missing: Vec<&str> = needs
        .iter()
        .copied()
        .flatten()
        .filter(|need| !met(need))
        .map(|need| need.package)
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    install(&missing)
}

fn met(need: &Need) -> bool {
    need.or_program.iter().any(|program| on_path(program)) || installed(need.package)
}

fn installed(package: &str) -> bool {
    let mut query = Command::new("dpkg-query");
    query.args(["-W", "-f=${db:Status-Status}", package]);
    ask(&mut query, "").is_ok_and(|status| status == "installed")
}

fn install(missing: &[&str]) -> Result<(), Trouble> {
    let list = missing.join(" ");
    let by_hand = format!(
        "as root: apt-get update && apt-get install --no-install-recommends {list}; then the same command again"
    );
    let mut update = apt_get(&by_hand)?;
    say(format!(
        "installing {list} (apt-get; this can take some minutes)"
    ));
    if let Err(stale) = ask(
        update.arg("update"),
        "the lists of packages may be old; going on with them",
    ) {
        say(stale.to_string());
    }
    let mut install = apt_get(&by_hand)?;
    install
        .args(["install", "--yes", "--no-install-recommends"])
        .args(missing);
    ask(&mut install, &by_hand).map(drop)
}

/// An `apt-get` that asks nothing and waits for another one to finish, as root or through sudo.
fn apt_get(by_hand: &str) -> Result<Command, Trouble> {
    let is_root = ask(Command::new("id").arg("-u"), "").is_ok_and(|id| id.trim() == "0");
    let mut command = if is_root {
        Command::new("env")
    } else if on_path("sudo") {
        let mut sudo = Command::new("sudo");
        sudo.arg("env");
        sudo
    } else {
        return Err(trouble(
            "installing packages needs root, and there is no sudo here",
            by_hand,
        ));
    };
    command.args([
        "DEBIAN_FRONTEND=noninteractive",
        "apt-get",
        "-o",
        "DPkg::Lock::Timeout=300",
        "-q",
    ]);
    Ok(command)
}

fn is_debian() -> bool {
    std::fs::read_to_string("/etc/os-release").is_ok_and(|text| kin_of_debian(&text))
        && on_path("apt-get")
}

fn kin_of_debian(os_release: &str) -> bool {
    let named = os_release.lines().filter_map(|line| {
        line.strip_prefix("ID=")
            .or_else(|| line.strip_prefix("ID_LIKE="))
    });
    named
        .flat_map(|value| value.trim_matches('"').split(' '))
        .any(|name| matches!(name, "debian" | "ubuntu"))
}

/// On a system whose packages we do not know, what can be tried is tried, and the rest is told.
fn elsewhere(needs: &[&[Need]]) -> Result<(), Trouble> {
    let missing: Vec<&str> = needs
        .iter()
        .copied()
        .flatten()
        .filter(|need| !found_elsewhere(need))
        .map(|need| need.package)
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    Err(trouble(
        format!(
            "this system is not Debian or its kin, so nothing is installed by itself; missing: {}",
            missing.join(", ")
        ),
        "install what your system calls these (they are named as Debian 12 names them; \
         libwebkit2gtk-4.1-dev is WebKitGTK 4.1 with its headers), then the same command again",
    ))
}

fn found_elsewhere(need: &Need) -> bool {
    let comes_with_the_system = !cfg!(target_os = "linux");
    match need.package {
        "build-essential" => true,
        "pkg-config" | "libwebkit2gtk-4.1-dev" if comes_with_the_system => true,
        "libwebkit2gtk-4.1-dev" => {
            succeeds(Command::new("pkg-config").args(["--exists", "webkit2gtk-4.1"]))
        }
        "python3-venv" => succeeds(Command::new("python3").args(["-c", "import venv, ensurepip"])),
        "fonts-dejavu-core" => true,
        _ => need.or_program.iter().any(|program| on_path(program)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn debian_and_its_kin_are_known_by_their_own_file() {
        assert!(kin_of_debian("NAME=\"Debian GNU/Linux\"\nID=debian\n"));
        assert!(kin_of_debian("ID=linuxmint\nID_LIKE=\"ubuntu debian\"\n"));
        assert!(!kin_of_debian("ID=fedora\nID_LIKE=\"rhel centos\"\n"));
        assert!(!kin_of_debian("NAME=debian\n"));
    }

    #[test]
    fn a_program_on_the_path_stands_in_for_its_package() {
        let need = Need {
            package: "gangday-no-such-package",
            or_program: &["gangday-no-such-program", "rustc"],
        };
        assert!(met(&need));
        assert!(!met(&package("gangday-no-such-package")));
    }
}
