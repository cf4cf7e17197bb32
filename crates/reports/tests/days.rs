//! What takes a street for more than one day is told of on each of them.

mod common;

use gangday_model::ClosureKind;
use gangday_reports::client_page;
use scraper::{ElementRef, Html, Selector};

fn all<'a>(page: &'a Html, selector: &str) -> Vec<ElementRef<'a>> {
    page.select(&Selector::parse(selector).expect("the selector is sound"))
        .collect()
}

fn words(one: &ElementRef<'_>) -> String {
    one.text().collect::<String>()
}

#[test]
fn a_closed_road_of_two_days_is_under_both() {
    let mut made = common::made_up_page(5);
    for work in &mut made.works {
        work.closure = ClosureKind::Footway;
    }
    let work = &mut made.works[2];
    (work.day, work.last_day, work.closure) = (1, 2, ClosureKind::Road);
    (work.from, work.to) = ("08:30".to_owned(), "Wed 15:00".to_owned());
    let street = work.street.clone();
    let page = Html::parse_document(&client_page(&made));
    let rows = |day: usize| {
        all(
            &page,
            &format!("#schedule tbody[data-day=\"{day}\"] tr[data-work=\"3\"]"),
        )
    };
    let counts: Vec<usize> = (0..made.days.len()).map(|day| rows(day).len()).collect();
    assert_eq!(counts, [0, 1, 1, 0, 0]);
    assert!(words(&rows(1)[0]).contains("08:30–Wed 15:00"));
    let since = format!("since {}, to Wed 15:00", made.days[1].label);
    assert!(
        words(&rows(2)[0]).contains(&since),
        "{}",
        words(&rows(2)[0])
    );
    let closed = |day: usize| {
        words(
            &all(
                &page,
                &format!("#schedule tbody[data-day=\"{day}\"] .closed-line"),
            )[0],
        )
    };
    for day in [1, 2] {
        assert_eq!(closed(day), format!("Road closed: {street}"));
        let cells = all(
            &page,
            &format!(".closed td[data-day=\"{day}\"] [data-work=\"3\"]"),
        );
        assert_eq!(cells.len(), 1);
    }
    // Shown with each of its days, by one name.
    assert_eq!(all(&page, "#row-3").len(), 1);
    assert!(!all(&page, "#map [data-work=\"3\"]").is_empty());
    for mark in all(&page, "#map [data-work=\"3\"][data-day]") {
        assert_eq!(mark.value().attr("data-day"), Some("1 2"));
    }
}

#[test]
fn what_stands_open_all_week_is_under_every_day() {
    let mut made = common::made_up_page(3);
    let days = made.days.len();
    let work = &mut made.works[0];
    (work.day, work.last_day) = (0, days - 1);
    (work.from, work.to) = (String::new(), "the week’s end".to_owned());
    (work.gang_mark, work.gang) = (String::new(), "Nobody in this week".to_owned());
    let page = Html::parse_document(&client_page(&made));
    let rows = all(&page, "#schedule tr[data-work=\"1\"]");
    assert_eq!(rows.len(), days);
    for row in rows {
        let said = words(&row);
        assert!(
            said.contains("to the week’s end") && said.contains("Nobody in this week"),
            "{said}"
        );
    }
    let titles = all(&page, "#map #mark-1 title");
    assert!(
        words(&titles[0]).ends_with("to the week’s end, Nobody in this week"),
        "{}",
        words(&titles[0])
    );
}
