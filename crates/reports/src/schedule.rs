//! The schedule: every work, numbered as on the map, under its day.

use gangday_model::ClosureKind;

use crate::client_page::{ClientPage, WorkEntry};
use crate::html::Html;
use crate::svg::{has_place, hours_words, kind_class, swatch};

/// Writes the schedule.
pub(crate) fn write_schedule(html: &mut Html, page: &ClientPage) {
    html.open(
        "section",
        &[("class", "schedule"), ("aria-labelledby", "schedule-title")],
    );
    html.words(
        "h2",
        &[("id", "schedule-title")],
        "Works and closures by day",
    )
    .line();
    html.open("table", &[("id", "schedule")]).line();
    write_head(html, page);
    for day in 0..page.days.len() {
        write_day(html, page, day);
    }
    write_dayless(html, page);
    html.close().line();
    write_unplanned(html, page.unplanned);
    html.close().line();
}

fn write_head(html: &mut Html, page: &ClientPage) {
    html.open("thead", &[]).open("tr", &[("class", "running")]);
    let running = [&page.programme, &page.week, &page.issue]
        .map(String::as_str)
        .join(" · ");
    html.words("td", &[("colspan", "5")], &running)
        .close()
        .open("tr", &[]);
    for (class, words) in [
        ("count", "No."),
        ("street", "Street and work"),
        ("hours", "Hours"),
        ("taken", "Closed"),
        ("gang", "Gang"),
    ] {
        html.words("th", &[("scope", "col"), ("class", class)], words);
    }
    html.close().close().line();
}

fn write_day(html: &mut Html, page: &ClientPage, day: usize) {
    let Some(words) = page.days.get(day) else {
        return;
    };
    let index = day.to_string();
    html.open("tbody", &[("data-day", &index)])
        .open("tr", &[("class", "day-line")]);
    html.open("th", &[("colspan", "5"), ("scope", "rowgroup")]);
    html.words("span", &[("class", "date")], &words.date)
        .text(" ");
    html.words("span", &[("class", "closed-line")], &closed_line(page, day));
    html.close().close().line();
    let works = page
        .works
        .iter()
        .enumerate()
        .filter(|(_, work)| work.is_on(day));
    for (number, work) in works {
        let since = (work.day < day).then(|| page.days[work.day].label.as_str());
        write_work(html, number, work, since);
    }
    html.close().line();
}

/// Which roads are closed on a day, in one line.
fn closed_line(page: &ClientPage, day: usize) -> String {
    let mut streets: Vec<&str> = Vec::new();
    let mut works = false;
    for work in page.works.iter().filter(|work| work.is_on(day)) {
        works = true;
        let street = street_words(work);
        if work.closure == ClosureKind::Road && !streets.contains(&street) {
            streets.push(street);
        }
    }
    match (works, streets.is_empty()) {
        (false, _) => "No works".to_owned(),
        (true, true) => "No road closed".to_owned(),
        (true, false) => format!("Road closed: {}", streets.join(", ")),
    }
}

fn street_words(work: &WorkEntry) -> &str {
    if work.street.is_empty() {
        "street not known"
    } else {
        &work.street
    }
}

/// Works whose day is none of the page's.
fn write_dayless(html: &mut Html, page: &ClientPage) {
    let dayless = |work: &WorkEntry| work.day >= page.days.len();
    if !page.works.iter().any(dayless) {
        return;
    }
    html.open("tbody", &[]).open("tr", &[("class", "day-line")]);
    html.words(
        "th",
        &[("colspan", "5"), ("scope", "rowgroup")],
        "Day not stated",
    )
    .close()
    .line();
    for (number, work) in page
        .works
        .iter()
        .enumerate()
        .filter(|(_, work)| dayless(work))
    {
        write_work(html, number, work, None);
    }
    html.close().line();
}

/// A row; of what takes something since an earlier day the label of that day.
fn write_work(html: &mut Html, index: usize, work: &WorkEntry, since: Option<&str>) {
    let count = (index + 1).to_string();
    let class = format!("work {}", kind_class(work.closure));
    let row = format!("row-{count}");
    let named = [("id", row.as_str())];
    // It is told of under its first day; what leads there leads to that.
    let own = named.iter().filter(|_| since.is_none());
    let attributes = own
        .copied()
        .chain([("class", class.as_str()), ("data-work", count.as_str())]);
    html.open("tr", &attributes.collect::<Vec<_>>());
    html.open("td", &[("class", "count")]);
    if has_place(work) {
        let label = format!("{count}, show on the map");
        html.words(
            "a",
            &[("href", &format!("#mark-{count}")), ("aria-label", &label)],
            &count,
        );
    } else {
        html.text(&count)
            .words("span", &[("class", "small")], "not on map");
    }
    html.close().open("td", &[("class", "street")]);
    html.words("span", &[("class", "name")], street_words(work));
    let said = [&work.called, &work.title, &work.job];
    let said: Vec<&str> = said
        .into_iter()
        .map(String::as_str)
        .filter(|words| !words.is_empty())
        .collect();
    html.words("span", &[("class", "small")], &said.join(" · "))
        .close();
    write_hours(html, work, since);
    html.open("td", &[("class", "taken")]);
    swatch(html, work.closure);
    html.words("span", &[("class", "name")], &work.closure_words);
    html.words("span", &[("class", "small")], &work.because)
        .close();
    html.open("td", &[("class", "gang")]);
    if !work.gang_mark.is_empty() {
        html.words("b", &[], &work.gang_mark);
    }
    html.words("span", &[("class", "small")], &work.gang)
        .close()
        .close()
        .line();
}

fn write_hours(html: &mut Html, work: &WorkEntry, since: Option<&str>) {
    html.open("td", &[("class", "hours")]);
    match since.filter(|_| !work.from.is_empty()) {
        Some(day) => html.text(&format!("since {day}, to {}", work.to)),
        None if work.from.is_empty() => html.text(&hours_words(work)),
        None => html
            .words("span", &[("class", "time")], &work.from)
            .text("–")
            .words("span", &[("class", "time")], &work.to),
    };
    html.close();
}

fn write_unplanned(html: &mut Html, unplanned: usize) {
    let words = match unplanned {
        0 => return,
        1 => "1 job of the programme is not in this week.".to_owned(),
        many => format!("{many} jobs of the programme are not in this week."),
    };
    html.words("p", &[("class", "unplanned")], &words).line();
}
