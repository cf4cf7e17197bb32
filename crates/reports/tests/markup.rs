//! The page as a browser's parser sees it, with everyday and with hostile data.

mod common;

use std::collections::BTreeSet;

use base64::{Engine, engine::general_purpose::STANDARD};
use gangday_reports::{ClientPage, client_page};
use proptest::prelude::*;
use scraper::{ElementRef, Html, Selector};
use sha2::{Digest, Sha256};

/// Every element and attribute that the page may hold.
const ELEMENTS: [(&str, &[&str]); 41] = [
    (
        "a",
        &[
            "aria-label",
            "class",
            "data-day",
            "data-work",
            "href",
            "id",
            "transform",
        ],
    ),
    ("b", &["class"]),
    ("body", &[]),
    ("button", &["aria-label", "id", "type"]),
    ("dd", &[]),
    ("defs", &[]),
    ("div", &["aria-label", "class", "data-work", "role"]),
    ("dl", &["class"]),
    ("dt", &[]),
    ("fieldset", &["class"]),
    (
        "g",
        &[
            "aria-hidden",
            "class",
            "data-day",
            "data-longest",
            "data-units-per-metre",
            "data-work",
            "id",
            "transform",
        ],
    ),
    ("h1", &[]),
    ("h2", &["id"]),
    ("head", &[]),
    ("header", &[]),
    ("html", &["lang"]),
    ("input", &["checked", "class", "id", "name", "type"]),
    ("label", &["for", "title"]),
    ("legend", &[]),
    ("li", &[]),
    ("main", &[]),
    ("meta", &["charset", "content", "http-equiv", "name"]),
    ("p", &["class"]),
    (
        "path",
        &["class", "d", "data-day", "data-work", "fill", "fill-rule"],
    ),
    (
        "pattern",
        &[
            "class",
            "height",
            "id",
            "patternTransform",
            "patternUnits",
            "width",
        ],
    ),
    (
        "rect",
        &["class", "fill", "height", "rx", "width", "x", "y"],
    ),
    ("script", &[]),
    ("section", &["aria-label", "aria-labelledby", "class"]),
    ("span", &["class", "data-day"]),
    ("style", &[]),
    (
        "svg",
        &[
            "aria-hidden",
            "aria-label",
            "class",
            "height",
            "id",
            "role",
            "viewBox",
            "width",
        ],
    ),
    ("table", &["id"]),
    ("tbody", &["data-day"]),
    ("td", &["class", "colspan", "data-day"]),
    ("text", &["class", "text-anchor", "transform", "x", "y"]),
    ("th", &["class", "colspan", "data-day", "scope"]),
    ("thead", &[]),
    ("title", &[]),
    ("tr", &["class", "data-day", "data-work", "id"]),
    ("ul", &[]),
    ("use", &["class", "href"]),
];

const HOSTILE: [&str; 14] = [
    "</script><img src=x onerror=alert(1)>",
    "\"><svg onload=alert(1)>",
    "'><svg/onload=alert(1)>",
    "javascript:alert(1)",
    "${alert(1)}",
    "{{constructor.constructor('alert(1)')()}}",
    "\u{202E}teertS reldA\u{202C}",
    "Alder\0Lane",
    "</title><script>alert(1)</script>",
    "</style><style>*{display:none}</style>",
    "<!--",
    "]]><script>alert(1)</script>",
    "&lt;b&gt; &#x3c;script&#x3e;",
    "x\" onmouseover=\"alert(1)\" style=\"position:fixed",
];

/// The same page with every word replaced.
fn reworded(mut page: ClientPage, word: &str) -> ClientPage {
    let own = || word.to_owned();
    page.programme = own();
    page.nation = own();
    page.week = own();
    page.issue = own();
    page.issued_on = own();
    page.prepared_by = own();
    page.notes
        .iter_mut()
        .chain(&mut page.attributions)
        .for_each(|note| *note = own());
    page.streets
        .iter_mut()
        .for_each(|street| street.name = own());
    for day in &mut page.days {
        (day.date, day.label) = (own(), own());
    }
    for work in &mut page.works {
        (work.job, work.title, work.street, work.gang_mark) = (own(), own(), own(), own());
        (work.gang, work.from, work.to) = (own(), own(), own());
        work.called = own();
        (work.closure_words, work.because) = (own(), own());
    }
    for caution in &mut page.cautions {
        (caution.title, caution.text, caution.source) = (own(), own(), own());
    }
    page
}

fn elements(document: &Html) -> Vec<ElementRef<'_>> {
    document.root_element().descendent_elements().collect()
}

fn select<'d>(document: &'d Html, selector: &str) -> Vec<ElementRef<'d>> {
    document
        .select(&Selector::parse(selector).expect("a selector"))
        .collect()
}

/// What is in the page and should not be: unknown elements, unknown attributes, links that leave it.
fn strangers(html: &str) -> Vec<String> {
    let document = Html::parse_document(html);
    let mut strangers = Vec::new();
    for element in elements(&document) {
        let name = element.value().name();
        let known = ELEMENTS.iter().find(|(known, _)| *known == name);
        let Some((_, attributes)) = known else {
            strangers.push(format!("<{name}>"));
            continue;
        };
        for (attribute, value) in element.value().attrs() {
            if !attributes.contains(&attribute) {
                strangers.push(format!("<{name} {attribute}>"));
            }
            if attribute == "href" && !value.starts_with('#') {
                strangers.push(format!("<{name} href={value}>"));
            }
        }
    }
    strangers.extend(wrong_code(&document));
    strangers
}

/// A script or style that is not the one that the policy names.
fn wrong_code(document: &Html) -> Vec<String> {
    let policy = select(document, "meta[http-equiv=Content-Security-Policy]")
        .first()
        .and_then(|meta| meta.attr("content"))
        .unwrap_or_default()
        .to_owned();
    let mut wrong = Vec::new();
    for name in ["script", "style"] {
        let codes: Vec<String> = select(document, name)
            .iter()
            .map(|element| element.text().collect())
            .collect();
        let [code] = codes.as_slice() else {
            wrong.push(format!("{} of {name}", codes.len()));
            continue;
        };
        let hash = STANDARD.encode(Sha256::digest(code.as_bytes()));
        if !policy.contains(&format!("{name}-src 'sha256-{hash}'")) {
            wrong.push(format!("{name} is not that of the policy"));
        }
    }
    wrong
}

#[test]
fn everyday_page_holds_only_what_is_known() {
    assert_eq!(
        strangers(&client_page(&common::made_up_page(24))),
        Vec::<String>::new()
    );
    assert_eq!(
        strangers(&client_page(&ClientPage::default())),
        Vec::<String>::new()
    );
}

#[test]
fn the_check_itself_sees_a_stranger() {
    let page = client_page(&common::made_up_page(3));
    let with = |what: &str| strangers(&page.replacen("<main>", &format!("<main>{what}"), 1));
    assert_eq!(with("<img src=x>"), ["<img>"]);
    assert_eq!(with("<p onclick=x>"), ["<p onclick>"]);
    assert_eq!(
        with("<a href=\"javascript:x\"></a>"),
        ["<a href=javascript:x>"]
    );
    assert_eq!(with("<script></script>"), ["2 of script"]);
    assert_eq!(
        strangers(&page.replacen("'use strict'", "'use sloppy'", 1)),
        ["script is not that of the policy"]
    );
}

#[test]
fn hostile_words_stay_words() {
    for word in HOSTILE {
        let html = client_page(&reworded(common::made_up_page(12), word));
        assert_eq!(strangers(&html), Vec::<String>::new(), "{word:?}");
        assert!(!html.contains(['\0', '\u{202E}', '\u{202C}']), "{word:?}");
        let document = Html::parse_document(&html);
        let seen: String = select(&document, "h1")
            .iter()
            .flat_map(|h1| h1.text())
            .collect();
        let want = word.replace(['\0', '\u{202E}', '\u{202C}'], "\u{FFFD}");
        assert_eq!(seen, want);
    }
}

#[test]
fn policy_allows_nothing_else() {
    let html = client_page(&common::made_up_page(1));
    let document = Html::parse_document(&html);
    let meta = select(&document, "meta[http-equiv=Content-Security-Policy]");
    let policy = meta[0].attr("content").expect("a policy");
    assert!(policy.starts_with("default-src 'none'; "));
    assert!(!policy.contains("unsafe") && !policy.contains('*'));
}

#[test]
fn nothing_is_fetched() {
    let html = client_page(&common::made_up_page(24));
    for sign in [
        "http:",
        "https:",
        "//",
        "@import",
        "url(data",
        "src=",
        "srcset",
        "fetch(",
        "XMLHttpRequest",
        "WebSocket",
    ] {
        assert!(!html.contains(sign), "{sign}");
    }
    let urls = html.matches("url(").count();
    assert_eq!(urls, html.matches("url(#").count());
}

#[test]
fn every_work_is_on_the_map_and_in_the_schedule() {
    let page = common::made_up_page(62);
    let document = Html::parse_document(&client_page(&page));
    for (index, work) in page.works.iter().enumerate() {
        let count = index + 1;
        let mark = select(&document, &format!("svg#map a#mark-{count}"));
        assert_eq!(mark.len(), 1, "{count}");
        assert_eq!(mark[0].attr("href"), Some(&*format!("#row-{count}")));
        assert_eq!(mark[0].attr("data-day"), Some(&*work.day.to_string()));
        let row = select(
            &document,
            &format!("tbody[data-day='{}'] tr#row-{count}", work.day),
        );
        assert_eq!(row.len(), 1, "{count}");
        let words: String = row[0].text().collect();
        for word in [
            &work.street,
            &work.job,
            &work.title,
            &work.from,
            &work.to,
            &work.closure_words,
            &work.because,
            &work.gang,
        ] {
            assert!(words.contains(word), "{count}: {word} is not in {words}");
        }
        assert_eq!(
            select(&document, &format!("path.footprint[data-work='{count}']")).len(),
            1
        );
    }
    let ids: Vec<&str> = elements(&document)
        .iter()
        .filter_map(|element| element.attr("id"))
        .collect();
    assert_eq!(
        ids.len(),
        ids.iter().collect::<BTreeSet<_>>().len(),
        "an id is used twice"
    );
    for link in select(&document, "a[href]") {
        let target = link
            .attr("href")
            .unwrap_or_default()
            .trim_start_matches('#');
        assert!(ids.contains(&target), "{target} leads nowhere");
    }
}

#[test]
fn hours_of_a_day_are_written_on_every_mark() {
    let page = common::made_up_page(62);
    let document = Html::parse_document(&client_page(&page));
    for (index, work) in page.works.iter().enumerate() {
        let marks = select(&document, &format!("a#mark-{} .in-day .hours", index + 1));
        let words: String = marks.iter().flat_map(|hours| hours.text()).collect();
        assert!(
            words.contains(&format!("{}–{}", work.from, work.to)),
            "{}: {words}",
            index + 1
        );
    }
}

#[test]
fn each_day_has_a_switch_and_its_rule() {
    let page = common::made_up_page(10);
    let html = client_page(&page);
    let document = Html::parse_document(&html);
    assert_eq!(
        select(&document, "input[type=radio][name=day]").len(),
        page.days.len() + 1
    );
    assert_eq!(select(&document, "input#day-all[checked]").len(), 1);
    for (index, day) in page.days.iter().enumerate() {
        assert_eq!(
            select(&document, &format!("input.one-day#day-{index}")).len(),
            1
        );
        let label = select(&document, &format!("label[for=day-{index}]"));
        assert_eq!(label[0].text().collect::<String>(), day.label);
        let rule = format!(
            "body:has(#day-{index}:checked) [data-day]:not([data-day~=\"{index}\"]){{display:none}}"
        );
        assert!(html.contains(&rule), "{rule}");
    }
}

#[test]
fn closed_roads_are_listed_with_their_day() {
    let page = common::made_up_page(24);
    let document = Html::parse_document(&client_page(&page));
    let closed: Vec<String> = select(&document, ".closed tbody th")
        .iter()
        .map(|th| th.text().collect())
        .collect();
    assert_eq!(closed, ["Harrow Street", "Gault Street"]);
    let cells = select(
        &document,
        ".closed tbody tr td[data-day='0'] .closure[data-work='5']",
    );
    assert_eq!(cells.len(), 1);
}

#[test]
fn a_place_that_is_none_is_left_off_the_map_and_said_so() {
    let mut page = common::made_up_page(3);
    page.works[1].at = (f64::NAN, 0.0);
    page.works[2].footprint = vec![(f64::INFINITY, 0.0), (0.0, f64::NAN), (1.0, 1.0)];
    page.streets[0].lines[0][3] = (f64::NEG_INFINITY, 1e300);
    page.streets[1].width_m = Some(f64::NAN);
    let html = client_page(&page);
    let document = Html::parse_document(&html);
    assert!(select(&document, "a#mark-2").is_empty());
    let row: String = select(&document, "tr#row-2")
        .iter()
        .flat_map(|row| row.text())
        .collect();
    assert!(row.contains("not on map"));
    assert!(select(&document, "path.footprint[data-work='3']").is_empty());
    for path in select(&document, "path[d]") {
        let d = path.attr("d").unwrap_or_default();
        assert!(!d.contains("NaN") && !d.contains("inf"), "{d}");
    }
}

#[test]
fn a_work_on_no_day_is_still_listed() {
    let mut page = common::made_up_page(3);
    page.works[0].day = 99;
    let document = Html::parse_document(&client_page(&page));
    let row: String = select(&document, "tr#row-1")
        .iter()
        .flat_map(|row| row.text())
        .collect();
    assert!(row.contains(&page.works[0].street));
    assert_eq!(select(&document, "a#mark-1").len(), 1);
}

#[test]
fn the_same_page_gives_the_same_bytes() {
    assert_eq!(
        client_page(&common::made_up_page(40)),
        client_page(&common::made_up_page(40))
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn no_words_and_no_numbers_make_a_stranger(word in any::<String>(), x in any::<f64>(), y in any::<f64>(), day in any::<usize>()) {
        let mut page = reworded(common::made_up_page(4), &word);
        page.works[0].at = (x, y);
        page.works[1].footprint[0] = (y, x);
        page.works[2].day = day;
        page.streets[2].lines[0][1] = (x, y);
        prop_assert_eq!(strangers(&client_page(&page)), Vec::<String>::new());
    }
}
