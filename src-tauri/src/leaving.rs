//! Leaving with something unsaved is asked about first.

use gangday_app::Desk;
use tauri::{Manager as _, Window, WindowEvent};
use tauri_plugin_dialog::{DialogExt as _, MessageDialogButtons, MessageDialogKind};

/// Holds the window open while the user decides, where anything is unsaved.
pub fn ask_before_leaving(window: &Window, event: &WindowEvent) {
    let WindowEvent::CloseRequested { api, .. } = event else {
        return;
    };
    if !window.state::<Desk>().has_unsaved() {
        return;
    }
    api.prevent_close();
    let leaving = window.clone();
    window
        .dialog()
        .message("The programme has changes that are not saved. Leave without them?")
        .title("Unsaved changes")
        .kind(MessageDialogKind::Warning)
        .buttons(MessageDialogButtons::OkCancelCustom(
            "Leave".to_owned(),
            "Stay".to_owned(),
        ))
        .show(move |leave| {
            if leave {
                leaving.destroy().ok();
            }
        });
}
