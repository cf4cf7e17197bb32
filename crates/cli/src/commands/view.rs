//! `gangday view`.

use std::process::ExitCode;

use gangday_app::view::{DemoWeek, Request};
use gangday_app::{Desk, Refusal};

use super::Done;
use crate::args::ViewArgs;
use crate::{print, serve};

/// Serves the page until interrupted.
pub fn run(args: &ViewArgs) -> Done {
    let desk = Desk::of_user();
    if let Some(request) = first_request(args) {
        desk.carry_out(request)?;
    }
    let served = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .and_then(|runtime| runtime.block_on(serve::serve(desk, args.port, print::line)));
    served.map(|()| ExitCode::SUCCESS).map_err(|error| {
        let text = format!(
            "The page can't be served on 127.0.0.1:{}: {error}",
            args.port
        );
        Refusal::coded("F-PORT", &format!("{text}. Choose another --port, or 0."))
    })
}

fn first_request(args: &ViewArgs) -> Option<Request> {
    if args.demo {
        return Some(Request::OpenDemo {
            week: DemoWeek::Full,
        });
    }
    let folder = args.programme.as_ref()?;
    Some(Request::Open {
        folder: folder.to_string_lossy().into_owned(),
    })
}
