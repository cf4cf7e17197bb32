//! The first thing a client looks for: which road is closed when.

use gangday_model::ClosureKind;

use crate::client_page::{ClientPage, WorkEntry};
use crate::html::Html;
use crate::svg::{has_place, hours_words, swatch};

/// Writes the table of closed roads: streets down, days across.
pub(crate) fn write_closed_roads(html: &mut Html, page: &ClientPage) {
    html.open(
        "section",
        &[("class", "closed"), ("aria-labelledby", "closed-title")],
    );
    html.open("h2", &[("id", "closed-title")]);
    swatch(html, ClosureKind::Road);
    html.text(" Roads closed").close().line();
    let streets = closed_streets(page);
    if streets.is_empty() {
        html.words("p", &[], "No road is closed in this week.");
    } else {
        write_table(html, page, &streets);
    }
    html.words(
        "p",
        &[("class", "small")],
        "Lanes and footways taken are in the schedule. The hours hold until traffic may run again.",
    );
    html.close().line();
}

/// Streets with a closed road, in the order of their first closure.
fn closed_streets(page: &ClientPage) -> Vec<&str> {
    let mut streets: Vec<&str> = Vec::new();
    for (_, work) in closures(page) {
        if !streets.contains(&work.street.as_str()) {
            streets.push(&work.street);
        }
    }
    streets
}

fn closures(page: &ClientPage) -> impl Iterator<Item = (usize, &WorkEntry)> {
    page.works
        .iter()
        .enumerate()
        .filter(|(_, work)| work.closure == ClosureKind::Road)
}

fn write_table(html: &mut Html, page: &ClientPage, streets: &[&str]) {
    html.open("div", &[("class", "wide")])
        .open("table", &[])
        .open("thead", &[])
        .open("tr", &[]);
    html.words("th", &[("scope", "col")], "Street");
    for (day, words) in page.days.iter().enumerate() {
        html.words(
            "th",
            &[("scope", "col"), ("data-day", &*day.to_string())],
            &words.label,
        );
    }
    html.close().close().open("tbody", &[]).line();
    for street in streets {
        write_street(html, page, street);
    }
    html.close().close().close().line();
}

fn write_street(html: &mut Html, page: &ClientPage, street: &str) {
    let on_street = |(_, work): &(usize, &WorkEntry)| work.street == street;
    let days: Vec<String> = closures(page)
        .filter(on_street)
        .map(|(_, work)| work.days())
        .collect();
    html.open("tr", &[("data-day", &days.join(" "))]);
    let name = if street.is_empty() {
        "street not known"
    } else {
        street
    };
    html.words("th", &[("scope", "row")], name);
    for day in 0..page.days.len() {
        html.open("td", &[("data-day", &day.to_string())]);
        for (index, work) in closures(page)
            .filter(on_street)
            .filter(|(_, work)| work.is_on(day))
        {
            write_closure(html, index, work, day);
        }
        html.close();
    }
    html.close().line();
}

/// The hours of a closure; on a day after its first, until when.
fn write_closure(html: &mut Html, index: usize, work: &WorkEntry, day: usize) {
    let count = (index + 1).to_string();
    html.open("div", &[("class", "closure"), ("data-work", &count)]);
    if has_place(work) {
        let label = format!("{count}, show on the map");
        html.words(
            "a",
            &[("href", &format!("#mark-{count}")), ("aria-label", &label)],
            &count,
        );
    } else {
        html.words("b", &[], &count);
    }
    let hours = match work.day < day {
        true => format!("to {}", work.to),
        false => hours_words(work),
    };
    html.text(" ")
        .words("span", &[("class", "hours")], &hours)
        .close();
}
