//! The whole client page.

use std::fmt::Write;

use crate::client_page::ClientPage;
use crate::closed::write_closed_roads;
use crate::html::{Html, number};
use crate::notes::{PLANNING_ONLY, write_cautions, write_key, write_notes, write_title_block};
use crate::policy::content_security_policy;
use crate::schedule::write_schedule;
use crate::svg::{WIDEST_M, units_per_metre, write_hatches, write_map};

const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = include_str!("script.js");

/// Prints the client page: map, works and closures by day, in one HTML file.
///
/// The file needs no network and opens from a folder in any browser; with scripts off, everything
/// can still be read and the day switches still work. Works are printed in the order given.
/// Places that are no finite numbers are left off the map, and their line says so. The same page
/// gives the same bytes.
///
/// # Units
/// Places in metres on one plane.
///
/// ```
/// use gangday_reports::{ClientPage, client_page};
///
/// let page = ClientPage { programme: "Ashmere <north>".into(), ..ClientPage::default() };
/// let html = client_page(&page);
/// assert!(html.starts_with("<!doctype html>"));
/// assert!(html.contains("Ashmere &lt;north&gt;"));
/// ```
#[must_use]
pub fn client_page(page: &ClientPage) -> String {
    let mut html = Html::default();
    html.open("html", &[("lang", "en-GB")]).line();
    write_head(&mut html, page);
    html.open("body", &[]).line();
    write_header(&mut html, page);
    write_hatches(&mut html);
    html.open("main", &[]).line();
    html.open("section", &[("class", "sheet"), ("aria-label", "Map")])
        .line();
    html.open("div", &[("class", "frame")]);
    write_map(&mut html, page);
    write_tools(&mut html);
    html.close().line();
    write_key(&mut html, page);
    write_title_block(&mut html, page);
    html.close().line();
    html.open("div", &[("class", "lists")]).line();
    write_closed_roads(&mut html, page);
    write_schedule(&mut html, page);
    write_cautions(&mut html, page);
    write_notes(&mut html, page);
    html.close().close().line();
    html.code("script", &script());
    html.finish()
}

fn write_head(html: &mut Html, page: &ClientPage) {
    let style = style(page);
    let policy = content_security_policy(&style, &script());
    html.open("head", &[]).line();
    html.void("meta", &[("charset", "utf-8")]).line();
    html.void(
        "meta",
        &[
            ("http-equiv", "Content-Security-Policy"),
            ("content", &policy),
        ],
    )
    .line();
    html.void(
        "meta",
        &[
            ("name", "viewport"),
            ("content", "width=device-width, initial-scale=1"),
        ],
    );
    html.line()
        .void("meta", &[("name", "referrer"), ("content", "no-referrer")])
        .line();
    html.void(
        "meta",
        &[("name", "color-scheme"), ("content", "light dark")],
    )
    .line();
    html.words("title", &[], &format!("{} – {}", page.programme, page.week))
        .line();
    html.code("style", &style);
    html.close().line();
}

fn write_header(html: &mut Html, page: &ClientPage) {
    html.open("header", &[]).line();
    html.open("div", &[("class", "titles")])
        .words("h1", &[], &page.programme);
    html.open("p", &[])
        .words("b", &[], &page.week)
        .text(" · ")
        .text(&page.issue);
    html.text(" · ").text(PLANNING_ONLY).close().close().line();
    if page.invented {
        html.words(
            "p",
            &[("class", "invented")],
            "Invented for a demonstration: no real place, street, client or works.",
        );
    }
    write_day_switches(html, page);
    html.close().line();
}

/// Radio buttons: they work by style alone.
fn write_day_switches(html: &mut Html, page: &ClientPage) {
    html.open("fieldset", &[("class", "days")])
        .words("legend", &[], "Days shown")
        .line();
    let all = [
        ("type", "radio"),
        ("name", "day"),
        ("id", "day-all"),
        ("checked", ""),
    ];
    html.void("input", &all)
        .words("label", &[("for", "day-all")], "All days")
        .line();
    for (day, words) in page.days.iter().enumerate() {
        let id = format!("day-{day}");
        let input = [
            ("type", "radio"),
            ("name", "day"),
            ("class", "one-day"),
            ("id", &*id),
        ];
        html.void("input", &input);
        html.words(
            "label",
            &[("for", &id), ("title", &words.date)],
            &words.label,
        )
        .line();
    }
    html.close().line();
}

/// Buttons for the map; shown only where the script runs.
fn write_tools(html: &mut Html) {
    html.open("div", &[("class", "tools")]);
    for (id, label, words) in [
        ("closer", "Closer", "+"),
        ("farther", "Farther", "−"),
        ("whole", "Whole map", "Whole"),
    ] {
        html.words(
            "button",
            &[("type", "button"), ("id", id), ("aria-label", label)],
            words,
        );
    }
    html.close().line();
}

/// The style with the rules that depend on how many days there are and how large the ground is.
fn style(page: &ClientPage) -> String {
    let mut style = unix_lines(STYLE);
    for day in 0..page.days.len() {
        let shown = format!("body:has(#day-{day}:checked) [data-day]:not([data-day~=\"{day}\"])");
        // Writing to a String can't fail.
        let _ = writeln!(style, "{shown}{{display:none}}");
    }
    let scale = units_per_metre(page).unwrap_or(1.0);
    for metres in 2..=WIDEST_M {
        let width = number(f64::from(metres) * scale);
        let _ = writeln!(style, ".w{metres}{{--true:{width}px}}");
    }
    style
}

fn script() -> String {
    unix_lines(SCRIPT)
}

/// A parser turns every line end into one character before the hash is taken.
fn unix_lines(code: &str) -> String {
    code.replace("\r\n", "\n")
}
