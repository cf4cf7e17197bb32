//! Every check and every test, in the order that tells of a fault soonest.

use crate::generated::{codes_are_current, samples_are_current, types_are_current};
use crate::node::Node;
use crate::screen::Screen;
use crate::setup::{Purpose, set_up};
use crate::steps::Steps;
use crate::tool::{cargo, show};
use crate::trouble::{Trouble, trouble};
use crate::{extracts, ui, walls};

/// Runs the whole row; the first failure ends it unless `--keep-going` is among the words.
///
/// # Errors
/// When a step fails.
pub fn test(words: &[String]) -> Result<(), Trouble> {
    if let Some(strange) = words.iter().find(|word| *word != "--keep-going") {
        return Err(trouble(
            format!("'{strange}' is not understood"),
            "cargo xtask test [--keep-going]",
        ));
    }
    let mut steps = Steps::new(!words.is_empty());
    let outcome = every_step(&mut steps);
    let verdict = steps.sum_up();
    outcome.and(verdict)
}

fn every_step(steps: &mut Steps) -> Result<(), Trouble> {
    steps.step("formatting", || {
        cargo_step(&["fmt", "--all", "--check"], "run `cargo fmt --all`")
    })?;
    steps.step("walls", walls::hold)?;
    let mut found = None;
    steps.step("set-up", || {
        set_up(Purpose::Tests).map(|node| found = Some(node))
    })?;
    let node = found
        .ok_or_else(|| trouble("without the set-up nothing more can be tried", "see above"))?;
    ui_steps(steps, &node)?;
    rust_steps(steps, &node)?;
    if ui::has_script("e2e") {
        steps.step("browser tests", || ui::script(&node, "e2e"))?;
    }
    Ok(())
}

fn ui_steps(steps: &mut Steps, node: &Node) -> Result<(), Trouble> {
    steps.step("UI packages", || ui::install(node))?;
    steps.step("UI types and markup", || ui::script(node, "check"))?;
    steps.step("UI tests", || ui::script(node, "test"))?;
    steps.step("UI build", || ui::script(node, "build"))
}

fn rust_steps(steps: &mut Steps, node: &Node) -> Result<(), Trouble> {
    let remedy = "put right what it names";
    steps.step("clippy", || {
        cargo_step(
            &[
                "clippy",
                "--workspace",
                "--all-targets",
                "--",
                "-D",
                "warnings",
            ],
            remedy,
        )
    })?;
    steps.step("types are current", types_are_current)?;
    steps.step("codes are current", codes_are_current)?;
    steps.step("sample data is current", samples_are_current)?;
    steps.step("documentation", || {
        let mut command = cargo();
        command
            .args(["doc", "--workspace", "--no-deps", "--quiet"])
            .env("RUSTDOCFLAGS", "-D warnings");
        show(&mut command, remedy)
    })?;
    steps.step("build", || cargo_step(&["build", "--workspace"], remedy))?;
    steps.step("real map extracts", extracts::fetch)?;
    steps.step("cargo test", || cargo_test(node))
}

/// Runs every Rust test with a display of its own, so that the real window can open.
fn cargo_test(node: &Node) -> Result<(), Trouble> {
    let screen = Screen::open()?;
    let mut command = cargo();
    command
        .args(["test", "--workspace", "--no-fail-fast"])
        .env("RUSTDOCFLAGS", "-D warnings");
    node.lend(&mut command);
    screen.lend(&mut command);
    show(&mut command, "put right the tests that it names")
}

fn cargo_step(words: &[&str], remedy: &str) -> Result<(), Trouble> {
    show(cargo().args(words), remedy)
}
