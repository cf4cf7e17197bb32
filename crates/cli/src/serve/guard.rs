//! Who may come in: the right host, no foreign origin, and the token.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::header::{AUTHORIZATION, COOKIE, HOST, ORIGIN, SET_COOKIE};
use axum::http::{HeaderMap, HeaderValue, StatusCode, Uri};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

use super::Door;

/// Lets a request through, or says why not.
pub async fn hold(State(door): State<Arc<Door>>, request: Request, next: Next) -> Response {
    if let Err(refused) = may_enter(&door, request.headers(), request.uri()) {
        let mut refusal = refused.into_response();
        protect(refusal.headers_mut());
        return refusal;
    }
    let by_address = address_token(request.uri()).is_some_and(|token| door.token.is(token));
    let mut response = next.run(request).await;
    if by_address {
        remember(&door, &mut response);
    }
    protect(response.headers_mut());
    response
}

/// The three checks: a page elsewhere that makes this browser ask fails the first two, a program
/// elsewhere on this machine the third.
fn may_enter(
    door: &Door,
    headers: &HeaderMap,
    uri: &Uri,
) -> Result<(), (StatusCode, &'static str)> {
    let hosts = [
        format!("127.0.0.1:{}", door.port),
        format!("localhost:{}", door.port),
    ];
    let host = text(headers, &HOST).unwrap_or_default();
    if !hosts.iter().any(|known| known == host) {
        return Err((StatusCode::FORBIDDEN, "Only 127.0.0.1 is served here.\n"));
    }
    let foreign = |origin: &str| origin != format!("http://{host}");
    if text(headers, &ORIGIN).is_some_and(foreign) {
        return Err((
            StatusCode::FORBIDDEN,
            "Pages from elsewhere may not ask here.\n",
        ));
    }
    if has_token(door, headers, uri) {
        return Ok(());
    }
    Err((
        StatusCode::UNAUTHORIZED,
        "Open the address that gangday printed, token and all.\n",
    ))
}

/// A call must carry the token itself; a page or asset may also come by the cookie.
fn has_token(door: &Door, headers: &HeaderMap, uri: &Uri) -> bool {
    let bearer = text(headers, &AUTHORIZATION).and_then(|value| value.strip_prefix("Bearer "));
    if uri.path() == "/call" {
        return bearer.is_some_and(|token| door.token.is(token));
    }
    let name = cookie_name(door);
    let cookies = text(headers, &COOKIE).unwrap_or_default().split("; ");
    let cookie = cookies
        .filter_map(|cookie| cookie.split_once('='))
        .find(|(key, _)| *key == name);
    let offered = [bearer, address_token(uri), cookie.map(|(_, value)| value)];
    offered
        .into_iter()
        .flatten()
        .any(|token| door.token.is(token))
}

fn text<'a>(headers: &'a HeaderMap, name: &axum::http::HeaderName) -> Option<&'a str> {
    headers.get(name).and_then(|value| value.to_str().ok())
}

fn address_token(uri: &Uri) -> Option<&str> {
    let query = uri.query()?;
    query
        .split('&')
        .find_map(|pair| pair.strip_prefix("token="))
}

/// Cookies don't tell ports apart, so the name does.
fn cookie_name(door: &Door) -> String {
    format!("gangday-{}", door.port)
}

fn remember(door: &Door, response: &mut Response) {
    let cookie = format!(
        "{}={}; Path=/; HttpOnly; SameSite=Strict",
        cookie_name(door),
        door.token.as_str()
    );
    if let Ok(cookie) = HeaderValue::from_str(&cookie) {
        response.headers_mut().insert(SET_COOKIE, cookie);
    }
}

/// The page may load from here only, and nobody may frame it or keep it.
fn protect(headers: &mut HeaderMap) {
    const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; \
        img-src 'self' data: blob:; font-src 'self' data:; worker-src 'self' blob:; \
        connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
    headers.insert("content-security-policy", HeaderValue::from_static(POLICY));
    headers.insert(
        "x-content-type-options",
        HeaderValue::from_static("nosniff"),
    );
    headers.insert("referrer-policy", HeaderValue::from_static("no-referrer"));
    headers.insert("cache-control", HeaderValue::from_static("no-store"));
}
