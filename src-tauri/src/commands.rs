//! What the page may call.

use std::path::Path;

use gangday_app::Desk;
use gangday_app::view::{Answer, Refusal, Request, TableFormat, TableSort};
use tauri::{AppHandle, State, Window};

use crate::dialogs::{self, Ending};

/// Asks the desk; off the window's thread, since it is async.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn call(desk: State<'_, Desk>, window: Window, request: Request) -> Result<Answer, Refusal> {
    let answer = desk.ask(request)?;
    if matches!(
        answer,
        Answer::Sheet { .. }
            | Answer::Saved { .. }
            | Answer::Edited { .. }
            | Answer::Patched { .. }
    ) {
        window.set_title(&desk.title()).ok();
    }
    Ok(answer)
}

fn as_text(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

/// Lets the user choose a folder; nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_folder(app: AppHandle) -> Option<String> {
    dialogs::folder(&app, "Choose a programme folder").map(|path| as_text(&path))
}

/// What a programme file is called in a dialog, and what it ends in.
const PROGRAMME_FILE: Ending = ("Programme file", &["gpkg"]);

/// Lets the user choose a programme file to open; nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_file(app: AppHandle) -> Option<String> {
    let chosen = dialogs::file(&app, "file", "Choose a programme file", PROGRAMME_FILE);
    chosen.map(|path| as_text(&path))
}

/// Lets the user choose a map extract on this machine, which the desk then reads where it lies;
/// nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_extract(app: AppHandle) -> Option<String> {
    let extracts: Ending = ("OpenStreetMap extract", &["pbf"]);
    let chosen = dialogs::file(&app, "extract", "Choose a map extract", extracts);
    chosen.map(|path| as_text(&path))
}

/// Lets the user choose where a new programme file goes; nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_new_file(app: AppHandle) -> Option<String> {
    let usual = ("new_file", "programme.gpkg");
    let title = "Save the programme as one file";
    dialogs::place(&app, usual, title, PROGRAMME_FILE).map(|path| as_text(&path))
}

/// Lets the user choose a list of jobs to take in, or a map extract, which the desk then reads where it
/// lies; nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_import(app: AppHandle) -> Option<String> {
    let lists: Ending = (
        "Lists and map extracts",
        &["csv", "xlsx", "geojson", "json", "pbf"],
    );
    let title = "Choose a list of jobs or a map extract";
    let chosen = dialogs::file(&app, "list", title, lists);
    chosen.map(|path| as_text(&path))
}

/// Lets the user choose a picture to attach; nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_picture(app: AppHandle) -> Option<String> {
    let pictures: Ending = ("Pictures", &["jpg", "jpeg", "png", "webp"]);
    let chosen = dialogs::file(&app, "picture", "Choose a picture", pictures);
    chosen.map(|path| as_text(&path))
}

/// Lets the user choose where a table goes, and writes it there whole.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn save_table(
    app: AppHandle,
    desk: State<'_, Desk>,
    what: TableSort,
    format: TableFormat,
) -> Result<Option<String>, Refusal> {
    let (name, tables): (_, Ending) = match format {
        TableFormat::Csv => ("table.csv", ("Table", &["csv"])),
        TableFormat::Xlsx => ("table.xlsx", ("Table", &["xlsx"])),
    };
    let Some(path) = dialogs::place(&app, ("table", name), "Save a table", tables) else {
        return Ok(None);
    };
    desk.save_table(&path, what, format)?;
    Ok(Some(as_text(&path)))
}

/// Lets the user choose where the client page goes, and writes it there whole.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn save_client_page(app: AppHandle, desk: State<'_, Desk>) -> Result<Option<String>, Refusal> {
    let (usual, pages) = (("page", "works.html"), ("Page", &["html"][..]));
    let Some(path) = dialogs::place(&app, usual, "Save the client page", pages) else {
        return Ok(None);
    };
    desk.save_client_page(&path)?;
    Ok(Some(as_text(&path)))
}

/// Lets the user choose where the pack goes, and writes it there into a folder of its own, whole or not at all.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn save_pack(app: AppHandle, desk: State<'_, Desk>) -> Result<Option<String>, Refusal> {
    let title = "Choose where the pack goes; it gets a folder of its own there";
    let Some(path) = dialogs::folder_for(&app, "pack", title) else {
        return Ok(None);
    };
    desk.save_pack(&path).map(Some)
}
