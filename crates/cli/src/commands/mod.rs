//! One command per file; each asks `app` and prints what it answers.

pub mod check;
pub mod closures;
pub mod import;
pub mod pack;
pub mod plan;
pub mod schema;
pub mod totals;
pub mod verify;
pub mod view;

use std::process::ExitCode;

use gangday_app::Refusal;

/// How a command ends.
pub type Done = Result<ExitCode, Refusal>;

/// 0 where it is sound, 1 where it is not.
pub fn status(sound: bool) -> ExitCode {
    if sound {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(1)
    }
}
