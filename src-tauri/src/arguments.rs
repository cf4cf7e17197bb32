//! What the window is asked to open.

use std::ffi::OsString;

use gangday_app::Desk;
use gangday_app::view::{DemoWeek, Refusal, Request};

const USAGE: &str = "\
gangday-desktop [PROGRAMME]        opens a programme folder
gangday-desktop --demo [small]     opens the invented demo week, planned";

/// What to open first.
pub enum Wanted {
    /// Nothing: the empty sheet says what to do next.
    Nothing,
    /// An invented week.
    Demo(DemoWeek),
    /// A programme folder.
    Folder(String),
}

impl Wanted {
    /// Opens it on the desk.
    pub fn open(self, desk: &Desk) -> Result<(), Refusal> {
        let request = match self {
            Self::Nothing => return Ok(()),
            Self::Demo(week) => Request::OpenDemo { week },
            Self::Folder(folder) => Request::Open { folder },
        };
        desk.carry_out(request)
    }
}

/// Reads the command line, the program's own name left off.
pub fn read(arguments: impl Iterator<Item = OsString>) -> Result<Wanted, String> {
    let words: Vec<String> = arguments
        .map(|word| word.to_string_lossy().into_owned())
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.as_slice() {
        [] => Ok(Wanted::Nothing),
        ["--demo"] | ["--demo", "full"] => Ok(Wanted::Demo(DemoWeek::Full)),
        ["--demo", "small"] => Ok(Wanted::Demo(DemoWeek::Small)),
        [folder] if !folder.starts_with('-') => Ok(Wanted::Folder((*folder).to_owned())),
        _ => Err(USAGE.to_owned()),
    }
}
