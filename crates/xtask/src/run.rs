//! From a clone to a planned week in one command: where no programme is named, the invented demo
//! week, which opens planned.

use std::path::PathBuf;
use std::process::Command;

use crate::desktop;
use crate::root::root;
use crate::setup::{Purpose, set_up};
use crate::tool::{cargo, say};
use crate::trouble::{Trouble, trouble};
use crate::ui;

/// Sets up, builds, and opens the window or the page.
///
/// # Errors
/// When the words are not understood, or anything on the way fails.
pub fn run(words: &[String]) -> Result<(), Trouble> {
    let wish = Wish::read(words)?;
    let programme = wish.programme.unwrap_or_else(|| PathBuf::from("--demo"));
    let window = !wish.loopback && desktop::usable();
    let node = set_up(if window {
        Purpose::Window
    } else {
        Purpose::Page
    })?;
    ui::install(&node)?;
    ui::build(&node)?;
    become_program(&mut door(window, &programme))
}

fn door(window: bool, programme: &std::path::Path) -> Command {
    let mut command = cargo();
    if let Ok(here) = std::env::current_dir() {
        command.current_dir(here);
    }
    command
        .args(["run", "--manifest-path"])
        .arg(root().join("Cargo.toml"));
    if window {
        say("building and opening the window (the first build takes some minutes)");
        command.args([
            "--package",
            "gangday-desktop",
            "--bin",
            "gangday-desktop",
            "--",
        ]);
    } else {
        say("no window here: building and serving the page on loopback (Ctrl-C ends it)");
        command.args(["--package", "gangday-cli", "--bin", "gangday", "--", "view"]);
    }
    command.arg(programme);
    command
}

/// Hands this process over, so that whoever ends the chore ends the program.
#[cfg(unix)]
fn become_program(command: &mut Command) -> Result<(), Trouble> {
    use std::os::unix::process::CommandExt;
    let cause = command.exec();
    Err(trouble(
        format!("Cargo could not be started: {cause}"),
        "see that cargo is on PATH",
    ))
}

#[cfg(not(unix))]
fn become_program(command: &mut Command) -> Result<(), Trouble> {
    crate::tool::show(command, "put right what it names")
}

#[derive(Debug, PartialEq, Eq, Default)]
struct Wish {
    loopback: bool,
    programme: Option<PathBuf>,
}

impl Wish {
    fn read(words: &[String]) -> Result<Self, Trouble> {
        let mut wish = Self::default();
        for word in words {
            if word == "--loopback" {
                wish.loopback = true;
            } else if word.starts_with('-') || wish.programme.is_some() {
                return Err(trouble(
                    format!("'{word}' is not understood"),
                    "give at most one programme folder, and --loopback for the page without a window",
                ));
            } else {
                wish.programme = Some(PathBuf::from(word));
            }
        }
        Ok(wish)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(words: &[&str]) -> Result<Wish, Trouble> {
        Wish::read(&words.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>())
    }

    #[test]
    fn a_programme_and_the_loopback_wish_come_in_any_order() {
        let wanted = Wish {
            loopback: true,
            programme: Some(PathBuf::from("week")),
        };
        assert_eq!(read(&["week", "--loopback"]).unwrap(), wanted);
        assert_eq!(read(&["--loopback", "week"]).unwrap(), wanted);
        assert_eq!(read(&[]).unwrap(), Wish::default());
    }

    #[test]
    fn two_programmes_or_an_unknown_option_are_refused() {
        assert!(
            read(&["one", "two"])
                .unwrap_err()
                .to_string()
                .contains("'two'")
        );
        assert!(
            read(&["--fast"])
                .unwrap_err()
                .to_string()
                .contains("'--fast'")
        );
    }
}
