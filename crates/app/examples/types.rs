//! Writes the TypeScript types of the views into the folder named on the command line.

use std::path::PathBuf;

fn main() -> std::io::Result<()> {
    let folder: PathBuf = std::env::args_os()
        .nth(1)
        .unwrap_or_else(|| "ui/src/types".into())
        .into();
    std::fs::create_dir_all(&folder)?;
    std::fs::write(folder.join("gangday.ts"), gangday_app::types::typescript())
}
