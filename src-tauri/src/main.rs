//! The Gangday desktop window: a door to the desk, with its dialogs; no arithmetic.
#![cfg_attr(not(debug_assertions), windows_subsystem = "windows")]

mod arguments;
mod commands;
mod leaving;

use gangday_app::Desk;
use tauri::Manager as _;

fn main() {
    let wanted = match arguments::read(std::env::args_os().skip(1)) {
        Ok(wanted) => wanted,
        Err(usage) => {
            eprintln!("{usage}");
            std::process::exit(2);
        }
    };
    let desk = Desk::default();
    if let Err(refusal) = wanted.open(&desk) {
        eprintln!("{}", refusal.text);
    }
    if let Err(error) = window(desk) {
        eprintln!("The window could not be opened: {error}. Is a display available?");
        std::process::exit(1);
    }
}

/// Opens the window on this desk and stays until it is closed.
fn window(desk: Desk) -> tauri::Result<()> {
    tauri::Builder::default()
        .plugin(tauri_plugin_dialog::init())
        .plugin(tauri_plugin_window_state::Builder::default().build())
        .manage(desk)
        .invoke_handler(tauri::generate_handler![
            commands::call,
            commands::choose_folder,
            commands::save_client_page,
        ])
        .on_window_event(leaving::ask_before_leaving)
        .setup(|app| {
            let title = app.state::<Desk>().title();
            if let Some(window) = app.get_webview_window("main") {
                window.set_title(&title)?;
            }
            Ok(())
        })
        .run(tauri::generate_context!())
}
