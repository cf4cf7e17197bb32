//! Files that are made by the Rust code and kept in the repository: the UI's types, the index of
//! fault codes and the sample weeks. Writing them, and finding those that are out of date.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::root::{files_below, root, scratch, ui};
use crate::tool::{ask, cargo, say, show};
use crate::trouble::{Trouble, trouble};

/// Writes the UI's types.
///
/// # Errors
/// When the maker fails.
pub fn write_types() -> Result<(), Trouble> {
    say("writing ui/src/types");
    make_types(&types_folder())
}

/// Writes the index of fault codes.
///
/// # Errors
/// When the maker fails or the file can't be written.
pub fn write_codes() -> Result<(), Trouble> {
    say("writing docs/codes.md");
    let page = make_codes()?;
    let place = codes_page();
    let folder = place.parent().unwrap_or(&place);
    std::fs::create_dir_all(folder)
        .and_then(|()| std::fs::write(&place, page))
        .map_err(|e| {
            trouble(
                format!("docs/codes.md can't be written: {e}"),
                "see to the rights of the folder docs",
            )
        })
}

/// Writes the sample weeks.
///
/// # Errors
/// When the maker fails.
pub fn write_samples() -> Result<(), Trouble> {
    say("writing sample-data");
    make_samples(&samples_folder())
}

/// Holds the kept types against fresh ones.
///
/// # Errors
/// When a file differs, is missing, or is no longer made.
pub fn types_are_current() -> Result<(), Trouble> {
    let fresh = scratch("types");
    // A folder that is not there needs no clearing.
    let _ = std::fs::remove_dir_all(&fresh);
    make_types(&fresh)?;
    let stale = differing(&types_folder(), &fresh);
    if stale.is_empty() {
        return Ok(());
    }
    Err(trouble(
        format!(
            "the UI's types are out of date in ui/src/types: {}",
            stale.join(", ")
        ),
        "run `cargo xtask types` and commit what it wrote",
    ))
}

/// Holds the kept index of fault codes against a fresh one.
///
/// # Errors
/// When it differs or is missing.
pub fn codes_are_current() -> Result<(), Trouble> {
    let fresh = make_codes()?;
    if std::fs::read_to_string(codes_page()).is_ok_and(|kept| kept == fresh) {
        return Ok(());
    }
    Err(trouble(
        "docs/codes.md is out of date",
        "run `cargo xtask codes` and commit what it wrote",
    ))
}

/// Holds the kept sample weeks against fresh ones; what else their folders hold is not made here.
///
/// # Errors
/// When a file differs or is missing.
pub fn samples_are_current() -> Result<(), Trouble> {
    let fresh = scratch("samples");
    // A folder that is not there needs no clearing.
    let _ = std::fs::remove_dir_all(&fresh);
    make_samples(&fresh)?;
    let mut stale = differing(&samples_folder(), &fresh);
    stale.retain(|name| fresh.join(name).exists());
    if stale.is_empty() {
        return Ok(());
    }
    Err(trouble(
        format!("sample-data is out of date: {}", stale.join(", ")),
        "run `cargo xtask samples` and commit what it wrote",
    ))
}

fn samples_folder() -> PathBuf {
    root().join("sample-data")
}

fn types_folder() -> PathBuf {
    ui().join("src").join("types")
}

fn codes_page() -> PathBuf {
    root().join("docs").join("codes.md")
}

fn make_types(folder: &Path) -> Result<(), Trouble> {
    let mut command = cargo();
    command
        .args([
            "run",
            "--quiet",
            "--package",
            "gangday-app",
            "--example",
            "types",
            "--",
        ])
        .arg(folder);
    show(&mut command, "put right what it names")
}

fn make_samples(folder: &Path) -> Result<(), Trouble> {
    for (size, name) in [("--small", "small-week"), ("--full", "full-week")] {
        let mut command = sample_maker();
        command.args([size, "--out"]).arg(folder.join(name));
        ask(&mut command, "put right what it names")?;
    }
    Ok(())
}

/// The maker of sample data, ready for its words.
pub fn sample_maker() -> Command {
    let mut command = cargo();
    command.args(["run", "--quiet", "--package", "gangday-tests"]);
    command.args(["--bin", "gangday-sample", "--"]);
    command
}

fn make_codes() -> Result<String, Trouble> {
    let mut command = cargo();
    command.args([
        "run",
        "--quiet",
        "--package",
        "gangday-app",
        "--example",
        "codes",
    ]);
    let page = ask(&mut command, "put right what it names")?;
    if page.trim().is_empty() {
        return Err(trouble(
            "the example `codes` of gangday-app wrote nothing",
            "it must print the page to standard output",
        ));
    }
    Ok(page)
}

/// The files that are not the same in both folders, by their path below the folder.
fn differing(kept: &Path, fresh: &Path) -> Vec<String> {
    let below = |folder: &Path| -> Vec<PathBuf> {
        let files = files_below(folder, &[]);
        files
            .iter()
            .filter_map(|f| f.strip_prefix(folder).ok().map(Path::to_path_buf))
            .collect()
    };
    let mut names: Vec<PathBuf> = below(kept).into_iter().chain(below(fresh)).collect();
    names.sort();
    names.dedup();
    let differs = |name: &PathBuf| match (
        std::fs::read(kept.join(name)),
        std::fs::read(fresh.join(name)),
    ) {
        (Ok(old), Ok(new)) => old != new,
        _ => true,
    };
    names
        .into_iter()
        .filter(differs)
        .map(|name| name.display().to_string())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changed_missing_and_left_over_files_are_all_named() {
        let folder = scratch(&format!("differing-{}", std::process::id()));
        let (kept, fresh) = (folder.join("kept"), folder.join("fresh"));
        std::fs::create_dir_all(&kept).unwrap();
        std::fs::create_dir_all(&fresh).unwrap();
        for (place, text) in [
            ("kept/same", "1"),
            ("fresh/same", "1"),
            ("kept/changed", "1"),
            ("fresh/changed", "2"),
        ] {
            std::fs::write(folder.join(place), text).unwrap();
        }
        std::fs::write(kept.join("left-over"), "").unwrap();
        std::fs::write(fresh.join("missing"), "").unwrap();
        assert_eq!(
            differing(&kept, &fresh),
            ["changed", "left-over", "missing"]
        );
        std::fs::remove_dir_all(folder).unwrap();
    }
}
