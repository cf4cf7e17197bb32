//! The page must have been built before it can be carried.

use std::path::Path;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    println!("cargo::rerun-if-changed=../../ui/dist");
    if !Path::new("../../ui/dist/index.html").exists() {
        return Err("ui/dist is missing; run `cargo xtask setup`, which builds it".into());
    }
    Ok(())
}
