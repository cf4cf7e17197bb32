//! Running other programs: quietly with the tail of their words on failure, or in plain sight.

use std::ffi::OsStr;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::root::root;
use crate::trouble::{Trouble, trouble};

/// How many lines of a failed program's words are shown.
const TAIL: usize = 30;

/// The Cargo that started this chore, at the top of the repository.
pub fn cargo() -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(root());
    command
}

/// Says in one line what is being done.
pub fn say(what: impl AsRef<str>) {
    println!("gangday: {}", what.as_ref());
}

/// Runs a program in plain sight.
///
/// # Errors
/// When it can't be started or ends with anything but success; `remedy` says what to do then.
pub fn show(command: &mut Command, remedy: &str) -> Result<(), Trouble> {
    let status = command
        .stdin(Stdio::null())
        .status()
        .map_err(|e| not_started(command, &e))?;
    if status.success() {
        return Ok(());
    }
    Err(trouble(
        format!("`{}` failed ({status})", words(command)),
        remedy,
    ))
}

/// Runs a program unseen and hands back what it wrote to standard output.
///
/// # Errors
/// As for [`show`], with the last lines that the program wrote.
pub fn ask(command: &mut Command, remedy: &str) -> Result<String, Trouble> {
    let output = command
        .stdin(Stdio::null())
        .output()
        .map_err(|e| not_started(command, &e))?;
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    if output.status.success() {
        return Ok(said);
    }
    let everything = said + &String::from_utf8_lossy(&output.stderr);
    Err(trouble(
        format!(
            "`{}` failed ({}):\n{}",
            words(command),
            output.status,
            tail(&everything)
        ),
        remedy,
    ))
}

/// Whether a program can be started and ends with success, unseen.
pub fn succeeds(command: &mut Command) -> bool {
    let quiet = command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    quiet.status().is_ok_and(|status| status.success())
}

/// Whether a program of this name lies in a folder of `PATH`.
pub fn on_path(program: &str) -> bool {
    std::env::var_os("PATH").is_some_and(|path| {
        let name = format!("{program}{}", std::env::consts::EXE_SUFFIX);
        std::env::split_paths(&path).any(|folder| folder.join(&name).is_file())
    })
}

/// Puts `folder` before everything else on the `PATH` of `command`.
pub fn path_first(command: &mut Command, folder: &Path) {
    let rest = std::env::var_os("PATH").unwrap_or_default();
    let all = std::iter::once(folder.to_path_buf()).chain(std::env::split_paths(&rest));
    if let Ok(path) = std::env::join_paths(all) {
        command.env("PATH", path);
    }
}

fn words(command: &Command) -> String {
    let program = Path::new(command.get_program())
        .file_name()
        .unwrap_or_else(|| command.get_program());
    let all = std::iter::once(program).chain(command.get_args());
    all.map(OsStr::to_string_lossy)
        .collect::<Vec<_>>()
        .join(" ")
}

fn tail(text: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let from = lines.len().saturating_sub(TAIL);
    lines[from..]
        .iter()
        .map(|line| format!("    {line}"))
        .collect::<Vec<_>>()
        .join("\n")
}

fn not_started(command: &Command, cause: &std::io::Error) -> Trouble {
    let program = command.get_program().to_string_lossy();
    trouble(
        format!("`{program}` could not be started: {cause}"),
        format!("install {program}, or see that it is on PATH, and try again"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failed_program_is_named_with_its_words() {
        let refusal = ask(cargo().arg("no-such-chore"), "nothing")
            .unwrap_err()
            .to_string();
        assert!(refusal.contains("no-such-chore"), "{refusal}");
    }

    #[test]
    fn a_missing_program_says_what_to_install() {
        let refusal = show(&mut Command::new("gangday-no-such-program"), "")
            .unwrap_err()
            .to_string();
        assert!(
            refusal.contains("install gangday-no-such-program"),
            "{refusal}"
        );
    }

    #[test]
    fn only_the_last_lines_are_shown() {
        let text = (0..100)
            .map(|n| n.to_string())
            .collect::<Vec<_>>()
            .join("\n");
        assert_eq!(tail(&text).lines().count(), TAIL);
        assert!(tail(&text).ends_with("    99"));
    }
}
