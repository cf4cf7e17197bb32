//! What sheets on paper have in common: their head, tables, sections and cautions.

use base64::{Engine, engine::general_purpose::STANDARD};

use crate::html::Html;
use crate::notes::PLANNING_ONLY;
use crate::policy::style_only;

const STYLE: &str = include_str!("paper.css");

/// A cross-section: the drawing, and its dimensions as words.
#[derive(Clone, Debug, Default)]
pub struct SheetSection {
    /// What it is of.
    pub title: String,
    /// The text of an SVG drawn to scale; it is shown as a picture, in which nothing can run.
    pub svg: String,
    /// Name and length of each dimension, millimetres.
    pub dimensions: Vec<(String, String)>,
}

/// What stands at the head of a sheet.
pub(crate) struct Head<'a> {
    pub(crate) title: &'a str,
    pub(crate) programme: &'a str,
    /// Which issue it is of, or that it is a draft.
    pub(crate) issue: &'a str,
    pub(crate) invented: bool,
}

/// A sheet up to its first table; `wide` is printed across the page. Where it is printed on several, each
/// says at its head what it is of.
pub(crate) fn opened(head: &Head<'_>, wide: bool) -> Html {
    let Head {
        title,
        programme,
        issue,
        invented,
    } = *head;
    let mut html = Html::default();
    html.open("html", &[("lang", "en-GB")]).line();
    write_head(&mut html, title);
    let class = if wide { "wide" } else { "upright" };
    html.open("body", &[("class", class)]).line();
    let running = format!("{programme} · {title} · {issue}");
    html.words(
        "div",
        &[("class", "running"), ("aria-hidden", "true")],
        &running,
    )
    .line();
    html.words("h1", &[], title).line();
    html.words("p", &[("class", "issue")], issue).line();
    let about = format!("{programme} · {PLANNING_ONLY}");
    html.words("p", &[], &about).line();
    if invented {
        let words = "Invented for a demonstration: no real place, street, client or works.";
        html.words("p", &[("class", "invented")], words).line();
    }
    html
}

fn write_head(html: &mut Html, title: &str) {
    html.open("head", &[]).line();
    html.void("meta", &[("charset", "utf-8")]).line();
    let policy = style_only(STYLE);
    let policy = [
        ("http-equiv", "Content-Security-Policy"),
        ("content", policy.as_str()),
    ];
    html.void("meta", &policy).line();
    html.words("title", &[], title);
    html.code("style", STYLE);
    html.close().line();
}

/// A table under its heading; nothing where it has no row.
pub(crate) fn write_table(html: &mut Html, title: &str, heads: &[&str], rows: &[Vec<&str>]) {
    if rows.is_empty() {
        return;
    }
    html.words("h2", &[], title).line();
    html.open("table", &[]).open("thead", &[]).open("tr", &[]);
    for head in heads {
        html.words("th", &[("scope", "col")], head);
    }
    html.close().close().open("tbody", &[]).line();
    for row in rows {
        html.open("tr", &[]);
        for words in row {
            html.words("td", &[], words);
        }
        html.close().line();
    }
    html.close().close().line();
}

/// A row of words as it is written.
pub(crate) fn borrowed(row: &[String]) -> Vec<&str> {
    row.iter().map(String::as_str).collect()
}

/// Each section as a picture: a document of its own in which no script runs and nothing is fetched.
pub(crate) fn write_sections(html: &mut Html, title: &str, sections: &[SheetSection]) {
    if sections.is_empty() {
        return;
    }
    html.words("h2", &[], title).line();
    html.open("div", &[("class", "sections")]).line();
    for section in sections {
        let source = format!(
            "data:image/svg+xml;base64,{}",
            STANDARD.encode(&section.svg)
        );
        let said: Vec<String> = section
            .dimensions
            .iter()
            .map(|(name, mm)| format!("{name} {mm} mm"))
            .collect();
        let said = format!("{}: {}", section.title, said.join(", "));
        html.open("figure", &[])
            .words("figcaption", &[], &section.title)
            .void("img", &[("src", &source), ("alt", &said)]);
        html.words("p", &[], &said).close().line();
    }
    html.close().line();
}

/// What is always said.
pub(crate) fn write_cautions(html: &mut Html, cautions: &[String]) {
    html.words("h2", &[], "Cautions").open("ul", &[]).line();
    for caution in cautions {
        html.words("li", &[], caution).line();
    }
    html.close().line();
}
