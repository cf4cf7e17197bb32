//! Setting a machine up for one purpose, and for no more than that.

use crate::debian;
use crate::node::Node;
use crate::tool::say;
use crate::trouble::Trouble;
use crate::ui;

/// What the machine is wanted for; each purpose needs what the one before it needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Purpose {
    /// The page on loopback: a Node to build it, and the C compiler that Rust itself links with.
    Page,
    /// The desktop window: the system's web view as well.
    Window,
    /// Every test: a display without a screen, a driver and a browser as well.
    Tests,
}

/// Installs what `purpose` needs and the machine has not.
///
/// # Errors
/// When something can't be installed; the remedy says what a person would do.
pub fn set_up(purpose: Purpose) -> Result<Node, Trouble> {
    if purpose >= Purpose::Tests {
        debian::meet(&[debian::WINDOW, debian::TESTS])?;
    } else if purpose >= Purpose::Window {
        debian::meet(&[debian::WINDOW])?;
    }
    let node = Node::find()?;
    say(format!(
        "this machine has what it needs for {}",
        wanted_for(purpose)
    ));
    Ok(node)
}

/// Installs what building, running and testing need, and builds the UI that both doors carry.
///
/// # Errors
/// When something can't be installed or the UI can't be built.
pub fn everything() -> Result<(), Trouble> {
    let node = set_up(Purpose::Tests)?;
    ui::install(&node)?;
    ui::build(&node)
}

fn wanted_for(purpose: Purpose) -> &'static str {
    match purpose {
        Purpose::Page => "the page on loopback",
        Purpose::Window => "the window",
        Purpose::Tests => "building, running and testing",
    }
}
