//! What the page may call.

use gangday_app::Desk;
use gangday_app::view::{Answer, Refusal, Request, TableFormat, TableSort};
use tauri::{AppHandle, State, Window};
use tauri_plugin_dialog::{DialogExt as _, FilePath};

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

/// Lets the user choose a folder; nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_folder(app: AppHandle) -> Option<String> {
    let chosen = app
        .dialog()
        .file()
        .set_title("Choose a programme folder")
        .blocking_pick_folder();
    chosen.map(|folder| folder.to_string())
}

/// What a programme file is called in a dialog, and what it ends in.
const PROGRAMME_FILE: (&str, &[&str]) = ("Programme file", &["gpkg"]);

/// Lets the user choose a programme file to open; nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_file(app: AppHandle) -> Option<String> {
    let (name, endings) = PROGRAMME_FILE;
    let dialog = app
        .dialog()
        .file()
        .set_title("Choose a programme file")
        .add_filter(name, endings);
    dialog.blocking_pick_file().map(|file| file.to_string())
}

/// Lets the user choose a map extract on this machine, which the desk then reads where it lies;
/// nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_extract(app: AppHandle) -> Option<String> {
    let dialog = app
        .dialog()
        .file()
        .set_title("Choose a map extract")
        .add_filter("OpenStreetMap extract", &["pbf"]);
    dialog.blocking_pick_file().map(|file| file.to_string())
}

/// Lets the user choose where a new programme file goes; nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_new_file(app: AppHandle) -> Option<String> {
    let (name, endings) = PROGRAMME_FILE;
    let dialog = app
        .dialog()
        .file()
        .set_title("Save the programme as one file")
        .set_file_name("programme.gpkg")
        .add_filter(name, endings);
    dialog.blocking_save_file().map(|file| file.to_string())
}

/// Lets the user choose a list of jobs to take in, which the desk then reads where it lies; nothing
/// where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_import(app: AppHandle) -> Option<String> {
    let dialog = app
        .dialog()
        .file()
        .set_title("Choose a list of jobs")
        .add_filter("Lists", &["csv", "xlsx", "geojson", "json"]);
    dialog.blocking_pick_file().map(|file| file.to_string())
}

/// Lets the user choose a picture to attach; nothing where they cancel.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn choose_picture(app: AppHandle) -> Option<String> {
    let dialog = app
        .dialog()
        .file()
        .set_title("Choose a picture")
        .add_filter("Pictures", &["jpg", "jpeg", "png", "webp"]);
    dialog.blocking_pick_file().map(|file| file.to_string())
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
    let (name, ending) = match format {
        TableFormat::Csv => ("table.csv", "csv"),
        TableFormat::Xlsx => ("table.xlsx", "xlsx"),
    };
    let dialog = app
        .dialog()
        .file()
        .set_title("Save a table")
        .set_file_name(name)
        .add_filter("Table", &[ending]);
    let Some(path) = dialog
        .blocking_save_file()
        .and_then(|path| FilePath::into_path(path).ok())
    else {
        return Ok(None);
    };
    desk.save_table(&path, what, format)?;
    Ok(Some(path.to_string_lossy().into_owned()))
}

/// Lets the user choose where the client page goes, and writes it there whole.
#[tauri::command(async)]
#[allow(
    clippy::needless_pass_by_value,
    reason = "the command macro hands over owned values"
)]
pub fn save_client_page(app: AppHandle, desk: State<'_, Desk>) -> Result<Option<String>, Refusal> {
    let dialog = app
        .dialog()
        .file()
        .set_title("Save the client page")
        .set_file_name("works.html");
    let Some(path) = dialog
        .blocking_save_file()
        .and_then(|path| FilePath::into_path(path).ok())
    else {
        return Ok(None);
    };
    desk.save_client_page(&path)?;
    Ok(Some(path.to_string_lossy().into_owned()))
}
