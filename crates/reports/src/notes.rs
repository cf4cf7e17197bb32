//! The small print: key, cautions, remarks, sources and the title block.

use gangday_model::ClosureKind;

use crate::client_page::ClientPage;
use crate::html::Html;
use crate::svg::swatch;

/// What stands on every sheet, because a plan on paper is not the street.
pub(crate) const PLANNING_ONLY: &str = "For planning only; check on site.";

/// Writes what the hatches and letters mean.
pub(crate) fn write_key(html: &mut Html, page: &ClientPage) {
    html.open(
        "div",
        &[("class", "key"), ("aria-label", "Key"), ("role", "group")],
    );
    for (kind, words) in [
        (ClosureKind::Road, "Road closed"),
        (ClosureKind::Lane, "Lane closed"),
        (
            ClosureKind::Footway,
            "Footway closed, a way past to be kept",
        ),
        (ClosureKind::None, "Guarded works only"),
    ] {
        html.open("span", &[("class", "key-item")]);
        swatch(html, kind);
        html.text(words).close();
    }
    let mut gangs: Vec<(&str, &str)> = Vec::new();
    for work in page.works.iter().filter(|work| !work.gang_mark.is_empty()) {
        let gang = (work.gang_mark.as_str(), work.gang.as_str());
        if !gangs.contains(&gang) {
            gangs.push(gang);
        }
    }
    gangs.sort_unstable();
    for (mark, name) in gangs {
        html.open("span", &[("class", "key-item")])
            .words("b", &[("class", "gang-mark")], mark);
        html.text(name).close();
    }
    html.words(
        "span",
        &[("class", "key-item remark")],
        "Bars are symbols along the street; from close by, the closed ground is drawn to scale.",
    );
    html.close().line();
}

/// Writes the cautions.
pub(crate) fn write_cautions(html: &mut Html, page: &ClientPage) {
    html.open(
        "section",
        &[("class", "cautions"), ("aria-labelledby", "cautions-title")],
    );
    html.words("h2", &[("id", "cautions-title")], "Cautions")
        .line();
    html.open("ul", &[]);
    for caution in &page.cautions {
        html.open("li", &[])
            .words("b", &[], &caution.title)
            .text(" ")
            .text(&caution.text);
        if !caution.source.is_empty() {
            html.words("span", &[("class", "small")], &caution.source);
        }
        html.close().line();
    }
    html.open("li", &[]).words("b", &[], "Local codes prevail.").text(
        " This page proposes; a competent person decides on site, under the local codes and the licences held.",
    );
    html.close().close().close().line();
}

/// Writes the remarks and whom to name for the data.
pub(crate) fn write_notes(html: &mut Html, page: &ClientPage) {
    if page.notes.is_empty() && page.attributions.is_empty() {
        return;
    }
    html.open(
        "section",
        &[("class", "notes"), ("aria-labelledby", "notes-title")],
    );
    html.words("h2", &[("id", "notes-title")], "Notes").line();
    html.open("ul", &[]);
    for note in page.notes.iter().chain(&page.attributions) {
        html.words("li", &[], note).line();
    }
    html.close().close().line();
}

/// Writes the title block.
pub(crate) fn write_title_block(html: &mut Html, page: &ClientPage) {
    html.open("dl", &[("class", "title-block")]).line();
    for (class, name, words) in [
        ("programme", "Programme", page.programme.as_str()),
        ("week", "Week", &page.week),
        ("issue", "Issue", &page.issue),
        ("issued", "Dated", &page.issued_on),
        ("nation", "Law and code of", &page.nation),
        ("prepared", "Prepared by", &page.prepared_by),
    ] {
        html.open("div", &[("class", class)])
            .words("dt", &[], name)
            .words("dd", &[], words);
        html.close().line();
    }
    html.open("div", &[("class", "shown")])
        .words("dt", &[], "Shown")
        .open("dd", &[]);
    html.words("span", &[("class", "in-all")], "All days");
    for (day, words) in page.days.iter().enumerate() {
        let attributes = [("class", "in-day"), ("data-day", &*day.to_string())];
        html.words("span", &attributes, &words.date);
    }
    html.close().close().line();
    html.open("div", &[("class", "planning")])
        .words("dt", &[], "Use");
    html.words("dd", &[], PLANNING_ONLY).close().line();
    html.close().line();
}
