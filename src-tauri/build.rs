//! Builds the window's context and its list of commands; nothing else is callable from the page.

use std::path::Path;

use tauri_build::{AppManifest, Attributes};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    if !Path::new("../ui/dist/index.html").exists() {
        return Err("ui/dist is missing; run `cargo xtask setup`, which builds it".into());
    }
    println!("cargo::rerun-if-changed=../ui/dist");
    let commands = AppManifest::new().commands(&[
        "call",
        "choose_folder",
        "choose_file",
        "choose_extract",
        "choose_new_file",
        "choose_import",
        "choose_picture",
        "save_table",
        "save_client_page",
        "save_pack",
        "watch_drops",
        "read_dropped",
    ]);
    tauri_build::try_build(Attributes::new().app_manifest(commands))?;
    Ok(())
}
