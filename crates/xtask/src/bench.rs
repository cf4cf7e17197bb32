//! The benches, one after another.

use crate::root::{files_below, root};
use crate::tool::{cargo, say, show};
use crate::trouble::Trouble;

/// Runs every bench of every room, each followed by `words`.
///
/// # Errors
/// When a bench fails.
pub fn bench(words: &[String]) -> Result<(), Trouble> {
    for (room, bench) in benches() {
        say(format!("bench {bench} of {room}"));
        let mut command = cargo();
        command
            .args([
                "bench",
                "--package",
                &format!("gangday-{room}"),
                "--bench",
                &bench,
                "--",
            ])
            .args(words);
        show(&mut command, "put right what it names")?;
    }
    Ok(())
}

/// Each bench as room and name, from where its file lies: `crates/ROOM/benches/NAME.rs`.
fn benches() -> Vec<(String, String)> {
    let files = files_below(&root().join("crates"), &["src", "tests", "examples"]);
    let parts = files.iter().filter_map(|file| {
        let folder = file.parent()?;
        let is_bench = folder.ends_with("benches") && file.extension()? == "rs";
        let room = folder.parent()?.file_name()?.to_str()?;
        is_bench.then_some((room.to_owned(), file.file_stem()?.to_str()?.to_owned()))
    });
    parts.collect()
}
