//! Who is let in and who is not.

use std::sync::Arc;

use axum::body::Body;
use axum::http::{Request as HttpRequest, Response, StatusCode};
use gangday_app::Desk;
use tower::ServiceExt as _;

use super::{Door, Token, router};

const PORT: u16 = 8321;

fn door() -> (axum::Router, String) {
    let token = Token::random().unwrap();
    let text = token.as_str().to_owned();
    let door = Door {
        desk: Desk::default(),
        token,
        port: PORT,
    };
    (router(Arc::new(door)), text)
}

async fn send(router: axum::Router, request: HttpRequest<Body>) -> Response<Body> {
    router.oneshot(request).await.unwrap()
}

fn call(token: Option<&str>, host: &str, origin: Option<&str>) -> HttpRequest<Body> {
    let mut request = HttpRequest::post("/call")
        .header("host", host)
        .header("content-type", "application/json");
    if let Some(token) = token {
        request = request.header("authorization", format!("Bearer {token}"));
    }
    if let Some(origin) = origin {
        request = request.header("origin", origin);
    }
    request.body(Body::from(r#"{"ask":"sheet"}"#)).unwrap()
}

#[tokio::test]
async fn the_page_that_has_the_token_is_answered() {
    let (router, token) = door();
    let own = "http://127.0.0.1:8321";
    let response = send(router, call(Some(&token), "127.0.0.1:8321", Some(own))).await;
    assert_eq!(response.status(), StatusCode::OK);
    let body = axum::body::to_bytes(response.into_body(), 1 << 20)
        .await
        .unwrap();
    assert_eq!(body.as_ref(), br#"{"is":"sheet","sheet":null}"#);
}

#[tokio::test]
async fn a_call_without_the_token_is_refused() {
    let (router, _) = door();
    let response = send(router.clone(), call(None, "127.0.0.1:8321", None)).await;
    assert_eq!(response.status(), StatusCode::UNAUTHORIZED);
    let policy = &response.headers()["content-security-policy"];
    assert!(policy.to_str().unwrap().starts_with("default-src 'none'"));
    let guessed = "0123456789abcdef0123456789abcdef";
    let response = send(router, call(Some(guessed), "127.0.0.1:8321", None)).await;
    assert_eq!(response.status(), StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn a_name_that_was_pointed_here_is_refused() {
    let (router, token) = door();
    for host in ["evil.example:8321", "127.0.0.1:80", "0.0.0.0:8321", ""] {
        let response = send(router.clone(), call(Some(&token), host, None)).await;
        assert_eq!(response.status(), StatusCode::FORBIDDEN, "{host}");
    }
}

#[tokio::test]
async fn a_page_from_elsewhere_is_refused() {
    let (router, token) = door();
    for origin in [
        "http://evil.example",
        "null",
        "https://127.0.0.1:8321",
        "http://127.0.0.1:80",
    ] {
        let request = call(Some(&token), "127.0.0.1:8321", Some(origin));
        let response = send(router.clone(), request).await;
        assert_eq!(response.status(), StatusCode::FORBIDDEN, "{origin}");
    }
}

#[tokio::test]
async fn the_cookie_serves_pages_but_no_calls() {
    let (router, token) = door();
    let page = |request: axum::http::request::Builder| {
        request
            .header("host", "127.0.0.1:8321")
            .body(Body::empty())
            .unwrap()
    };
    let first = page(HttpRequest::get(format!("/?token={token}")));
    let first = send(router.clone(), first).await;
    assert_eq!(first.status(), StatusCode::OK);
    let policy = first.headers()["content-security-policy"]
        .to_str()
        .unwrap()
        .to_owned();
    assert!(policy.contains("script-src 'self';"), "{policy}");
    let cookie = first.headers()["set-cookie"].to_str().unwrap().to_owned();
    assert!(
        cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"),
        "{cookie}"
    );
    let pair = cookie.split(';').next().unwrap().to_owned();

    let again = page(HttpRequest::get("/").header("cookie", &pair));
    assert_eq!(send(router.clone(), again).await.status(), StatusCode::OK);
    let without = page(HttpRequest::get("/"));
    assert_eq!(
        send(router.clone(), without).await.status(),
        StatusCode::UNAUTHORIZED
    );

    let mut by_cookie = call(None, "127.0.0.1:8321", None);
    by_cookie
        .headers_mut()
        .insert("cookie", pair.parse().unwrap());
    assert_eq!(
        send(router, by_cookie).await.status(),
        StatusCode::UNAUTHORIZED
    );
}

#[tokio::test]
async fn what_is_not_a_request_is_refused_and_not_run() {
    let (router, token) = door();
    let mut request = call(Some(&token), "127.0.0.1:8321", None);
    *request.body_mut() = Body::from(r#"{"ask":"burn"}"#);
    let response = send(router.clone(), request).await;
    assert!(response.status().is_client_error());
    let missing = HttpRequest::get("/../Cargo.toml")
        .header("host", "127.0.0.1:8321")
        .header("authorization", format!("Bearer {token}"));
    let missing = send(router, missing.body(Body::empty()).unwrap()).await;
    assert_eq!(missing.status(), StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_question_whether_something_can_be_done_is_answered_where_doing_it_is_refused() {
    let (router, token) = door();
    let change = r#"{"do":"leave_out","job":"J1"}"#;
    for (asked, status) in [
        (format!(r#"{{"ask":"what_if","change":{change}}}"#), 200),
        (format!(r#"{{"ask":"change","change":{change}}}"#), 422),
    ] {
        let mut request = call(Some(&token), "127.0.0.1:8321", None);
        *request.body_mut() = Body::from(asked);
        let response = send(router.clone(), request).await;
        assert_eq!(response.status(), status);
        let body = axum::body::to_bytes(response.into_body(), 1 << 20).await;
        let body: serde_json::Value = serde_json::from_slice(&body.unwrap()).unwrap();
        assert!(body["text"].as_str().is_some_and(|text| !text.is_empty()));
        assert!(body["findings"].is_array() && body["is"].is_null());
    }
}
