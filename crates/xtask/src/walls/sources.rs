//! What a room may not do, read off its sources.

use std::path::Path;

use super::scrub::scrub;
use crate::root::files_below;

/// Words that the sources of some rooms may not use, and why.
struct Ban {
    rooms: &'static [&'static str],
    words: &'static [&'static str],
    why: &'static str,
    /// Parts of the rooms that are let off, by the start of their path below `src/`.
    except: &'static [&'static str],
}

const BANS: &[Ban] = &[
    Ban {
        rooms: &[
            "model", "calc", "ground", "traffic", "planner", "files", "reports",
        ],
        words: &[
            "std::fs",
            "std::path",
            "std::net",
            "File::open",
            "File::create",
            "PathBuf",
        ],
        why: "opens no path: bytes come in and go out through its callers",
        except: &[],
    },
    Ban {
        rooms: &["model", "calc", "ground", "traffic", "planner"],
        words: &["Instant", "SystemTime", "Utc::now", "Local::now"],
        why: "reads no clock: the same input gives the same answer at any time",
        except: &[],
    },
    Ban {
        rooms: &[
            "model", "calc", "ground", "traffic", "files", "reports", "store",
        ],
        words: &["std::env", "std::process"],
        why: "knows nothing of the process it runs in",
        except: &[],
    },
    Ban {
        rooms: &["planner"],
        words: &["f64", "f32"],
        why: "compares plans in whole numbers, which are the same on every machine",
        // In the bound and the pool a linear program proposes prices; whole numbers decide what comes of them.
        except: &["checker", "bound", "search/pool/prices.rs"],
    },
    Ban {
        rooms: &["planner"],
        words: &["HashMap", "HashSet", "RandomState", "thread_rng"],
        why: "takes nothing in an order that differs from run to run",
        except: &["checker"],
    },
    Ban {
        rooms: &["app"],
        words: &["std::env::args", "tauri"],
        why: "knows neither windows nor the words of a command line",
        except: &[],
    },
];

/// Every banned word in the sources at `root`, with its place.
pub fn breaches(root: &Path) -> Vec<String> {
    let mut found = Vec::new();
    for ban in BANS {
        for room in ban.rooms {
            let folder = root.join("crates").join(room).join("src");
            for file in files_below(&folder, &["tests", "tests.rs"]) {
                let Ok(below) = file.strip_prefix(&folder) else {
                    continue;
                };
                let source = std::fs::read_to_string(&file).unwrap_or_default();
                if !ban
                    .except
                    .iter()
                    .any(|part| below.to_string_lossy().starts_with(part))
                {
                    let place = format!("crates/{room}/src/{}", below.display());
                    found.extend(
                        uses(ban, &source)
                            .into_iter()
                            .map(|use_| format!("{place}:{use_}")),
                    );
                }
            }
        }
    }
    found
}

fn uses(ban: &Ban, source: &str) -> Vec<String> {
    let clean = scrub(source);
    let mut found = Vec::new();
    for word in ban.words {
        for at in places(&clean, word) {
            let line = clean[..at].matches('\n').count() + 1;
            found.push(format!("{line}: {word}: this room {}", ban.why));
        }
    }
    found
}

/// Where `word` stands as a word of its own, or inside a group such as `std::{fs, io}`.
fn places(text: &str, word: &str) -> Vec<usize> {
    let mut found: Vec<usize> = text
        .match_indices(word)
        .map(|(at, _)| at)
        .filter(|at| stands_alone(text, *at, word))
        .collect();
    if let Some((first, second)) = word.split_once("::") {
        let opening = format!("{first}::{{");
        for (at, _) in text.match_indices(&opening) {
            let group = text[at..].split(';').next().unwrap_or_default();
            if group
                .match_indices(second)
                .any(|(inside, _)| stands_alone(group, inside, second))
            {
                found.push(at);
            }
        }
    }
    found
}

fn stands_alone(text: &str, at: usize, word: &str) -> bool {
    let part_of_a_name = |c: char| c.is_alphanumeric() || c == '_';
    !text[..at].ends_with(part_of_a_name) && !text[at + word.len()..].starts_with(part_of_a_name)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BAN: Ban = Ban {
        rooms: &[],
        words: &["std::fs", "f64"],
        why: "never does",
        except: &[],
    };

    #[test]
    fn a_banned_word_is_named_with_its_line() {
        assert_eq!(
            uses(&BAN, "//! f64\nfn a() { std::fs::read(p) }\n"),
            ["2: std::fs: this room never does"]
        );
        assert_eq!(
            uses(&BAN, "fn a(x: f64) {}"),
            ["1: f64: this room never does"]
        );
    }

    #[test]
    fn a_group_does_not_hide_a_banned_word() {
        assert_eq!(uses(&BAN, "use std::{collections::BTreeMap, fs};").len(), 1);
        assert!(uses(&BAN, "use std::{collections::BTreeMap, fmt};").is_empty());
    }

    #[test]
    fn a_word_inside_a_name_is_another_word() {
        assert!(uses(&BAN, "fn as_f64x(xf64: u8) {}").is_empty());
    }

    #[test]
    fn every_room_that_a_ban_names_stands() {
        for room in BANS.iter().flat_map(|ban| ban.rooms) {
            assert!(
                crate::root::root()
                    .join("crates")
                    .join(room)
                    .join("src")
                    .is_dir(),
                "{room}"
            );
        }
    }
}
