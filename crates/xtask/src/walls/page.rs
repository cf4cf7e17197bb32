//! The page reaches its host through one folder, and never writes markup that comes from data.

use std::path::Path;

use crate::root::files_below;

/// Ways to reach the host, which only `ui/src/host/` may use.
const HOST: &[&str] = &[
    "@tauri-apps/",
    "fetch(",
    "XMLHttpRequest",
    "EventSource",
    "WebSocket",
];
/// Ways to write markup from a string, which nothing may use.
const MARKUP: &[&str] = &[
    "{@html",
    "innerHTML",
    "outerHTML",
    "insertAdjacentHTML",
    "setHTML(",
];

/// Every breach in the page's sources at `root`.
pub fn breaches(root: &Path) -> Vec<String> {
    let source = root.join("ui").join("src");
    let mut found = Vec::new();
    for file in files_below(&source, &["types"])
        .iter()
        .filter(|file| is_page_source(file))
    {
        let below = file.strip_prefix(&source).unwrap_or(file);
        let text = std::fs::read_to_string(file).unwrap_or_default();
        for (line, word) in breaches_of(&text, below.starts_with("host")) {
            found.push(format!("ui/src/{}:{line}: `{word}`", below.display()));
        }
    }
    found
}

fn breaches_of(text: &str, is_host: bool) -> Vec<(usize, &'static str)> {
    let banned = MARKUP.iter().chain(HOST.iter().filter(|_| !is_host));
    let banned: Vec<&'static str> = banned.copied().collect();
    let mut found = Vec::new();
    for (number, line) in text
        .lines()
        .enumerate()
        .filter(|(_, line)| !is_comment(line))
    {
        found.extend(
            banned
                .iter()
                .filter(|word| line.contains(**word))
                .map(|word| (number + 1, *word)),
        );
    }
    found
}

fn is_comment(line: &str) -> bool {
    ["//", "*", "/*", "<!--"]
        .iter()
        .any(|mark| line.trim_start().starts_with(mark))
}

fn is_page_source(file: &Path) -> bool {
    let name = file
        .file_name()
        .and_then(|name| name.to_str())
        .unwrap_or_default();
    (name.ends_with(".ts") || name.ends_with(".svelte")) && !name.contains(".test.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_host_folder_reaches_the_host() {
        let text = "import { invoke } from \"@tauri-apps/api/core\";\nawait fetch(\"/x\");\n";
        assert_eq!(
            breaches_of(text, false),
            [(1, "@tauri-apps/"), (2, "fetch(")]
        );
        assert!(breaches_of(text, true).is_empty());
    }

    #[test]
    fn nobody_writes_markup_from_a_string() {
        assert_eq!(breaches_of("<p>{@html name}</p>", true), [(1, "{@html")]);
        assert!(breaches_of("// never innerHTML\n<p>{name}</p>", false).is_empty());
    }
}
