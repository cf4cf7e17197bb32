//! The index of every code that a fault, finding or reason can carry.

use std::fmt::Write as _;

/// Codes that belong to no room but the meeting place of all.
const OWN: &[(&str, &str)] = &[
    (
        "D-AGAIN",
        "What was asked for was meant for something that has changed meanwhile; nothing was changed. Look at it again and try again.",
    ),
    (
        "D-ASKED",
        "The desk was asked for something that it doesn't know, or in a form that it can't take; the program and what asks it may be of different versions.",
    ),
    (
        "D-BUSY",
        "The desk is planning, reading or writing, or something lies over it, so nothing else is taken in or changed until that is done, stopped or put away.",
    ),
    (
        "D-EMPTY",
        "There is nothing to plan: a programme needs at least one job and one gang.",
    ),
    (
        "D-FAULT",
        "A part of the program ended in a fault of its own; the programme is as it was. Save it, and try again.",
    ),
    (
        "D-GONE",
        "The program that serves this page has ended. What it acknowledged is kept where the programme is saved; start it again.",
    ),
    (
        "D-ID",
        "A job's id can't be empty, and is changed by renaming the job alone.",
    ),
    (
        "D-KEY",
        "The page was opened without the key in the address that the program prints; open that address whole.",
    ),
    (
        "D-MUCH",
        "The page may keep only so much with the program, or with a programme; nothing more was kept.",
    ),
    (
        "D-NAMED",
        "Something else of the programme has this name or id already; give it another.",
    ),
    (
        "D-NONE",
        "The programme or its plan has no job, stage, gang-day, row, picture or issue of this name, or not there.",
    ),
    ("D-NOTHING", "What was asked for would change nothing."),
    (
        "D-OPEN",
        "No programme is open to do that with, or it is a copy that can only be read.",
    ),
    (
        "D-PLACE",
        "The programme is kept nowhere yet; it has to be said where to save it.",
    ),
    (
        "D-PLAN",
        "There is no plan yet; the week has to be planned first.",
    ),
    (
        "D-SELECT",
        "It is about a job, and none is selected; select one first.",
    ),
    (
        "D-STAYS",
        "A job is locked, or work of it is recorded as done, so it stays as it is until it is unlocked or the record is taken back.",
    ),
    (
        "D-WORKS",
        "A gang has work in the plan, so it is not taken away until that is given to others.",
    ),
    (
        "D-TIME",
        "Work can't have ended at the time that was given, by how long it takes and what is recorded before and after it; check the time, or carry the job to where it was done.",
    ),
    (
        "D-UNFIT",
        "A job can't be planned as it stands; its findings say why.",
    ),
    (
        "F-CUT",
        "A file did not arrive whole on its way from the page; nothing of it was used. Send it again.",
    ),
    (
        "F-KIND",
        "A file, or what was copied, is of a kind that can't be used there.",
    ),
    (
        "F-LARGE",
        "A file is larger than can be taken in there, or files together are; nothing of it was used.",
    ),
    (
        "F-ONE",
        "Of such files one at a time can be taken in; nothing was.",
    ),
    (
        "F-PORT",
        "The page can't be served on that port of this machine; choose another.",
    ),
    (
        "F-READ",
        "Nothing is to be found at a path, or it may not be read; nothing was changed.",
    ),
    (
        "F-THERE",
        "Something is there already where something new was to be written, and it is not written over.",
    ),
    (
        "F-DIARY",
        "The diary of issued plans and recorded work can't be read; the programme opens without it.",
    ),
    (
        "G-JOURNEY",
        "What a gang states of its vehicle's journeys can't be used.",
    ),
    (
        "J-ABOVE",
        "Rows above the headings of an imported list are left out.",
    ),
    (
        "J-BEGUN",
        "A job was begun in an earlier week; only what is left of it is still to be done, and its opening has to be looked at.",
    ),
    (
        "J-FIGURE",
        "A job has a property that is called as a figure of the tables is; it is kept but not used.",
    ),
    (
        "J-OTHERS",
        "A row of a client's list has the id of a job out of another client's list.",
    ),
    (
        "T-LEFT",
        "A job is left open and what is left of it is not planned; it has to be guarded, signed and lit to the code.",
    ),
    (
        "T-NIGHT",
        "A job is left open over a night; it has to be guarded, signed and lit to the code.",
    ),
    (
        "T-OFF-ROAD",
        "A job or a depot is too far from any road; journeys to it are by the straight line.",
    ),
    (
        "T-TODAY",
        "The week states no day on which notice would be given, so no earliest start is worked out.",
    ),
    (
        "U-BEGUN",
        "The job was begun, but what was done has no place in the plan; the rest of it can't be planned without that.",
    ),
    (
        "U-DONE",
        "Every stage of the job was recorded as done, so there is nothing left to plan.",
    ),
    (
        "U-HAND",
        "The job is not planned because somebody took it out of the plan.",
    ),
    (
        "U-PLACE",
        "The job's place can't be put on the working plane, so it is not planned.",
    ),
    (
        "U-PAST",
        "No day of the week that is still planned is left to the job.",
    ),
    (
        "U-READY",
        "The job was begun, and what was placed is not ready on any day of the week.",
    ),
    (
        "U-REST",
        "The job was begun, and what is left of it finds no day that is still planned.",
    ),
    (
        "U-SINCE",
        "The job came, or was changed, or the week was moved, after the week was planned, and it has not been planned since.",
    ),
    (
        "U-STANDS",
        "The job stands as it was issued in an earlier week and is not recorded as done, so it is not planned a second time.",
    ),
];

const HEAD: &str = "\
# Codes of faults, findings and reasons

Made from the code by `cargo xtask codes`; don't edit. A code never changes its meaning. The letter says what it is about: `F` a file or its
format, `J` a job, `S` a street, `G` a gang or tip, `W` the week, `P` a parameter, `C` a calculation, `T` traffic and closures, `R` a rule that a
plan breaks, `U` why a job is not planned, `D` why the desk did not do what it was asked for.

| code | meaning |
|---|---|
";

/// The index as Markdown.
#[must_use]
pub fn index() -> String {
    let mut all: Vec<(&str, &str)> = rooms().concat();
    all.sort_unstable();
    all.dedup();
    let mut text = HEAD.to_owned();
    for (code, meaning) in all {
        writeln!(text, "| `{code}` | {meaning} |").expect("text can always be added to");
    }
    text
}

fn rooms() -> Vec<&'static [(&'static str, &'static str)]> {
    vec![
        gangday_calc::CODES,
        gangday_ground::CODES,
        gangday_traffic::CODES,
        gangday_planner::codes::CODES,
        gangday_files::CODES,
        gangday_store::CODES,
        OWN,
    ]
}

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use super::*;

    /// The sources of a room, each with its name.
    fn sources(room: &str) -> Vec<(String, String)> {
        let crates = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
        let (mut folders, mut found) = (vec![crates.join(room).join("src")], Vec::new());
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                } else {
                    let name = path.file_name().unwrap().to_string_lossy().into_owned();
                    found.push((name, std::fs::read_to_string(&path).unwrap()));
                }
            }
        }
        found
    }

    /// The codes that a source refuses something with.
    fn refused_with(text: &str) -> impl Iterator<Item = String> {
        let after = text.split("Refusal::coded(").skip(1);
        let codes = after.filter_map(|rest| rest.trim_start().strip_prefix('"'));
        codes.filter_map(|rest| Some(rest.split_once('"')?.0.to_owned()))
    }

    #[test]
    fn every_code_that_something_is_refused_with_is_in_the_index() {
        let sources = sources("app");
        let mut found: Vec<String> = (sources.iter())
            .flat_map(|(_, text)| refused_with(text))
            .collect();
        assert!(found.len() > 40, "only {}", found.len());
        let known: Vec<&str> = rooms().concat().iter().map(|(code, _)| *code).collect();
        // This file itself has the words before a code, and no code after them.
        found.retain(|code| code.starts_with(|first: char| first.is_ascii_uppercase()));
        found.retain(|code| !known.contains(&code.as_str()));
        assert_eq!(found, Vec::<String>::new());
    }

    #[test]
    fn whatever_is_refused_has_a_code_unless_somebody_stopped_it() {
        let all = ["app", "cli"].into_iter().flat_map(sources);
        let plainly = all.filter(|(_, text)| text.contains(concat!("Refusal::pl", "ain(")));
        let mut found: Vec<String> = plainly.map(|(name, _)| name).collect();
        found.retain(|name| !name.contains("test"));
        found.sort_unstable();
        assert_eq!(found, ["reading.rs"]);
    }

    #[test]
    fn no_code_has_two_meanings() {
        let mut meanings: HashMap<&str, &str> = HashMap::new();
        for (code, meaning) in rooms().concat() {
            let other = meanings.insert(code, meaning);
            assert!(
                other.is_none_or(|other| other == meaning),
                "{code} has two meanings"
            );
        }
        assert!(meanings.len() > 60, "only {}", meanings.len());
    }
}
