//! The Gangday desktop window: a door to the desk, with its dialogs; no arithmetic.
#![cfg_attr(not(debug_assertions), windows_subsystem = "windows")]

mod arguments;
mod commands;
mod dialogs;
mod dropped;
mod leaving;

use std::sync::Arc;

use gangday_app::{Desk, Refusal};
use tauri::Manager as _;
use tauri_plugin_dialog::{DialogExt as _, MessageDialogKind};

fn main() {
    let wanted = match arguments::read(std::env::args_os().skip(1)) {
        Ok(wanted) => wanted,
        Err(usage) => {
            eprintln!("{usage}");
            std::process::exit(2);
        }
    };
    let desk = Desk::of_user();
    let refusal = wanted.open(&desk).err();
    if let Err(error) = window(desk, refusal) {
        eprintln!("The window could not be opened: {error}. Is a display available?");
        std::process::exit(1);
    }
}

/// Says in the window why what was asked for is not open.
fn say(app: &tauri::App, refusal: &Refusal) {
    let findings = refusal.findings.iter().take(8);
    let lines = findings.map(|one| format!("{}: {} {}", one.place, one.text, one.remedy));
    let text = [refusal.text.clone()]
        .into_iter()
        .chain(lines)
        .collect::<Vec<_>>();
    app.dialog()
        .message(text.join("\n"))
        .title("Not opened")
        .kind(MessageDialogKind::Error)
        .show(|_| {});
}

/// Opens the window on this desk and stays until it is closed.
fn window(desk: Desk, refusal: Option<Refusal>) -> tauri::Result<()> {
    tauri::Builder::default()
        .plugin(tauri_plugin_dialog::init())
        .plugin(tauri_plugin_window_state::Builder::default().build())
        .manage(desk)
        .manage(Arc::<dropped::Drops>::default())
        .invoke_handler(tauri::generate_handler![
            commands::call,
            commands::choose_folder,
            commands::choose_file,
            commands::choose_extract,
            commands::choose_new_file,
            commands::choose_import,
            commands::choose_picture,
            commands::save_table,
            commands::save_client_page,
            commands::save_pack,
            dropped::watch_drops,
            dropped::read_dropped,
        ])
        .on_window_event(leaving::ask_before_leaving)
        .on_window_event(dropped::tell)
        .setup(move |app| {
            if let Some(refusal) = &refusal {
                say(app, refusal);
            }
            let title = app.state::<Desk>().title();
            if let Some(window) = app.get_webview_window("main") {
                window.set_title(&title)?;
            }
            Ok(())
        })
        .run(tauri::generate_context!())
}
