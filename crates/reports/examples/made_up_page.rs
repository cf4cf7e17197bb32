//! Prints a client page of a made-up week: `cargo run --example made_up_page [WORKS] > page.html`.

#[path = "../tests/common/mod.rs"]
mod common;

fn main() {
    let works = std::env::args()
        .nth(1)
        .and_then(|works| works.parse().ok())
        .unwrap_or(24);
    print!(
        "{}",
        gangday_reports::client_page(&common::made_up_page(works))
    );
}
