//! The window's page on loopback: this machine only, and only for who has the token.

mod guard;
mod pages;
mod token;

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;

use axum::extract::{DefaultBodyLimit, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use axum::serve::ListenerExt as _;
use axum::{Json, Router, middleware};
use gangday_app::view::Request;
use gangday_app::{Desk, Refusal};
use tokio::net::TcpListener;

pub use token::Token;

/// The largest list that may be sent for import.
const LARGEST_BODY: usize = 256 * 1024 * 1024;

/// What every handler sees.
pub struct Door {
    desk: Desk,
    token: Token,
    port: u16,
}

/// Serves the desk on 127.0.0.1 until interrupted, saying the address once.
pub async fn serve(desk: Desk, port: u16, say: impl Fn(&str)) -> std::io::Result<()> {
    let listener = TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port))).await?;
    let port = listener.local_addr()?.port();
    let token = Token::random()?;
    say(&format!(
        "http://127.0.0.1:{port}/?token={}",
        token.as_str()
    ));
    let door = Arc::new(Door { desk, token, port });
    // An answer goes out whole at once: what is carried over the board waits for it.
    let listener = listener.tap_io(|stream| drop(stream.set_nodelay(true)));
    axum::serve(listener, router(door))
        .with_graceful_shutdown(interrupted())
        .await
}

/// The routes, each behind the guard.
pub fn router(door: Arc<Door>) -> Router {
    Router::new()
        .route("/call", post(call))
        .fallback(pages::page)
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .layer(middleware::from_fn_with_state(
            Arc::clone(&door),
            guard::hold,
        ))
        .with_state(door)
}

async fn interrupted() {
    tokio::signal::ctrl_c().await.ok();
}

/// Asks the desk, on a thread that may take its time.
///
/// What can't be done is refused; but a question whether it can be is answered either way, and no browser
/// tells of an answer as of a failure.
async fn call(State(door): State<Arc<Door>>, Json(request): Json<Request>) -> Response {
    let refused = match request {
        Request::WhatIf { .. } => StatusCode::OK,
        _ => StatusCode::UNPROCESSABLE_ENTITY,
    };
    let asked = tokio::task::spawn_blocking(move || door.desk.ask(request)).await;
    match asked {
        Ok(Ok(answer)) => Json(answer).into_response(),
        Ok(Err(refusal)) => (refused, Json(refusal)).into_response(),
        Err(error) => {
            let refusal =
                Refusal::coded("D-FAULT", &format!("The request ended in a fault: {error}"));
            (StatusCode::INTERNAL_SERVER_ERROR, Json(refusal)).into_response()
        }
    }
}

#[cfg(test)]
mod tests;
