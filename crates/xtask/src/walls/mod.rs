//! The walls between the rooms: who may know whom, and what no room may do. Each kind of wall is a
//! file of its own and hands back its breaches as plain sentences.

mod checker;
mod checks;
mod limits;
mod manifest;
mod page;
mod rooms;
mod scrub;
mod sizes;
mod sources;
mod words;

use crate::root::root;
use crate::tool::say;
use crate::trouble::{Trouble, trouble};

/// Holds every wall and names every breach.
///
/// # Errors
/// When there is a breach.
pub fn hold() -> Result<(), Trouble> {
    let root = root();
    for note in limits::long_files(&root, limits::WORTH_A_LOOK, limits::TOO_LONG) {
        say(format!("worth a look: {note}"));
    }
    let breaches = breaches(&root);
    for breach in &breaches {
        println!("  {breach}");
    }
    if breaches.is_empty() {
        say("the walls hold");
        return Ok(());
    }
    Err(trouble(
        format!("{} breaches of the walls, named above", breaches.len()),
        "see the nevers in DEVELOPERS.md",
    ))
}

fn breaches(root: &std::path::Path) -> Vec<String> {
    let mut all = rooms::breaches(root);
    all.extend(sources::breaches(root));
    all.extend(checker::breaches(root));
    all.extend(checks::breaches(root));
    all.extend(page::breaches(root));
    all.extend(limits::long_files(root, limits::TOO_LONG, usize::MAX));
    all.extend(sizes::breaches(root));
    all.extend(words::breaches(root));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_walls_of_this_repository_hold() {
        assert_eq!(breaches(&root()), Vec::<String>::new());
    }
}
