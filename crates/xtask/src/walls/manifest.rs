//! As much of a Cargo manifest as the walls need: what it depends on and whose lints it takes.

/// What the walls need to know of a manifest.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Manifest {
    /// Packages it depends on, in any section, under their own names.
    pub dependencies: Vec<String>,
    /// Whether it takes the lints of the workspace.
    pub workspace_lints: bool,
    /// The members it names, where it is a workspace.
    pub members: Vec<String>,
}

impl Manifest {
    /// Reads the sections that matter, line by line; values may run over several lines.
    pub fn read(text: &str) -> Self {
        let mut manifest = Self::default();
        let mut section = String::new();
        for entry in entries(text) {
            match entry
                .strip_prefix('[')
                .and_then(|rest| rest.strip_suffix(']'))
            {
                Some(header) if !entry.contains('=') => {
                    section = header.replace(['[', ']', ' ', '"'], "");
                    manifest.dependencies.extend(table_of_one(&section));
                }
                _ => manifest.take(&section, &entry),
            }
        }
        manifest.dependencies.sort();
        manifest.dependencies.dedup();
        manifest
    }

    fn take(&mut self, section: &str, entry: &str) {
        let Some((key, value)) = entry.split_once('=') else {
            return;
        };
        let (key, value) = (key.trim(), value.trim());
        if is_dependencies(section) {
            let key = key.split('.').next().unwrap_or(key).trim_matches('"');
            self.dependencies
                .push(renamed(value).unwrap_or(key).to_owned());
        } else if table_of_one(section).is_some() && key == "package" {
            self.dependencies.push(value.trim_matches('"').to_owned());
        } else if (section, key, value) == ("lints", "workspace", "true") {
            self.workspace_lints = true;
        } else if (section, key) == ("workspace", "members") {
            self.members = value
                .split('"')
                .skip(1)
                .step_by(2)
                .map(str::to_owned)
                .collect();
        }
    }
}

/// Headers and `key = value` entries, each on one line, without comments.
fn entries(text: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let mut open = 0_i32;
    for line in text
        .lines()
        .map(without_comment)
        .filter(|line| !line.is_empty())
    {
        match all.last_mut() {
            Some(last) if open > 0 => last.push_str(line),
            _ => all.push(line.to_owned()),
        }
        open += depth(line);
    }
    all
}

fn without_comment(line: &str) -> &str {
    let quoted = |at: usize| line[..at].matches('"').count() % 2 == 1;
    let end = line
        .match_indices('#')
        .map(|(at, _)| at)
        .find(|at| !quoted(*at));
    line[..end.unwrap_or(line.len())].trim()
}

fn depth(line: &str) -> i32 {
    let step = |c: char| match c {
        '[' | '{' => 1,
        ']' | '}' => -1,
        _ => 0,
    };
    line.chars().map(step).sum()
}

fn is_dependencies(section: &str) -> bool {
    let last = section.rsplit('.').next().unwrap_or(section);
    let own = section == last || section.starts_with("target.");
    own && matches!(
        last,
        "dependencies" | "dev-dependencies" | "build-dependencies"
    )
}

/// The name in `[dependencies.NAME]`.
fn table_of_one(section: &str) -> Option<String> {
    let (before, name) = section.rsplit_once('.')?;
    is_dependencies(before).then(|| name.to_owned())
}

/// The true name in `alias = { package = "NAME" }`.
fn renamed(value: &str) -> Option<&str> {
    let (_, after) = value.split_once("package")?;
    after.trim_start().strip_prefix('=')?.split('"').nth(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_to_write_a_dependency_is_read() {
        let text = r#"
            [package]
            name = "x"
            [dependencies]
            serde.workspace = true # not "this"
            alias = { package = "gangday-planner", path = "../planner" }
            tall = { version = "1", features = [
                "one",
                "two = 2",
            ] }
            [target.'cfg(unix)'.dependencies]
            libc = "0.2"
            [dev-dependencies.gangday-calc]
            path = "../calc"
            [build-dependencies]
            "quoted" = "1"
            [lints]
            workspace = true
        "#;
        let manifest = Manifest::read(text);
        let wanted = [
            "gangday-calc",
            "gangday-planner",
            "libc",
            "quoted",
            "serde",
            "tall",
        ];
        assert_eq!(manifest.dependencies, wanted);
        assert!(manifest.workspace_lints);
    }

    #[test]
    fn members_are_read_and_workspace_dependencies_are_not_taken_for_own_ones() {
        let text = "[workspace]\nmembers = [\n  \"crates/*\", # rooms\n  \"tests\",\n]\n[workspace.dependencies]\nserde = \"1\"\n";
        let manifest = Manifest::read(text);
        assert_eq!(manifest.members, ["crates/*", "tests"]);
        assert_eq!(manifest.dependencies, Vec::<String>::new());
    }
}
