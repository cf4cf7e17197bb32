//! One command per file; each asks `app` and prints what it answers.

pub mod check;
pub mod closures;
pub mod convert;
pub mod export;
pub mod import;
pub mod pack;
pub mod plan;
pub mod pose;
pub mod schema;
pub mod solve;
pub mod totals;
pub mod verify;
pub mod view;

use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use gangday_app::Refusal;

use crate::print;

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

/// The first interrupt asks the search to stop; the system's own way is back for the second.
fn stop_on_interrupt() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let asked = Arc::clone(&stop);
    let set = ctrlc::set_handler(move || {
        if asked.swap(true, Ordering::Relaxed) {
            std::process::exit(130);
        }
    });
    if let Err(error) = set {
        print::message(&format!("Ctrl-C will end the program at once: {error}"));
    }
    stop
}
