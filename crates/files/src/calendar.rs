//! Deadlines and closures as iCalendar (RFC 5545), for any calendar that the reader uses.

use chrono::{
    DateTime, LocalResult, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, TimeZone, Utc,
};
use chrono_tz::Europe::London;
use gangday_model::LonLat;
use icalendar::{Calendar, Component, Event, EventLike, Property};

/// One entry of a calendar.
#[derive(Clone, Debug, PartialEq)]
pub struct CalendarEntry {
    /// The same for the same thing in every issue, so that a calendar replaces and doesn't repeat.
    pub uid: String,
    /// One line.
    pub summary: String,
    /// More lines.
    pub description: String,
    /// From, local time.
    pub from: NaiveDateTime,
    /// Until, local time; none for a moment.
    pub until: Option<NaiveDateTime>,
    /// Where.
    pub place: Option<LonLat>,
    /// `Closure` or `Deadline`.
    pub category: String,
}

/// A calendar of these entries, in their order.
///
/// Local times in Great Britain and Northern Ireland become moments of universal time, summer time
/// and all, so that every calendar shows them right wherever it is read. The same entries and day
/// give the same bytes.
///
/// `about` is the calendar's description, such as whom its data is from.
///
/// # Units
/// `stamp` is the day on which the entries were made.
///
/// # Source
/// RFC 5545, 3.3.5 form 2, 3.6.1, 3.8.4.7; summer time by the IANA time zone database,
/// Europe/London.
#[must_use]
pub fn write_calendar(
    name: &str,
    about: Option<&str>,
    stamp: NaiveDate,
    entries: &[CalendarEntry],
) -> Vec<u8> {
    let mut calendar = Calendar::empty();
    for (key, value) in [
        ("VERSION", "2.0"),
        ("PRODID", "-//Gangday//Street works//EN"),
        ("CALSCALE", "GREGORIAN"),
        ("METHOD", "PUBLISH"),
        ("X-WR-TIMEZONE", "Europe/London"),
    ] {
        calendar.append_property(Property::new(key, value));
    }
    calendar.append_property(Property::new("X-WR-CALNAME", name));
    if let Some(about) = about {
        calendar.append_property(Property::new("X-WR-CALDESC", about));
    }
    let stamp = moment(stamp.and_time(NaiveTime::MIN));
    for entry in entries {
        calendar.push(event(entry, stamp));
    }
    calendar.to_string().into_bytes()
}

fn event(entry: &CalendarEntry, stamp: DateTime<Utc>) -> Event {
    let mut event = Event::with_uid(&entry.uid);
    event
        .timestamp(stamp)
        .summary(&entry.summary)
        .description(&entry.description)
        .starts(moment(entry.from))
        .add_property("CATEGORIES", &entry.category);
    if let Some(until) = entry.until {
        event.ends(moment(until));
    }
    if let Some(place) = entry.place {
        event.add_property("GEO", format!("{:.6};{:.6}", place.lat(), place.lon()));
    }
    event.done()
}

/// The moment of a local time: of two, when clocks go back, the first; of none, when they go
/// forward, an hour later.
fn moment(local: NaiveDateTime) -> DateTime<Utc> {
    match London.from_local_datetime(&local) {
        LocalResult::Single(time) | LocalResult::Ambiguous(time, _) => time.with_timezone(&Utc),
        LocalResult::None => moment(local + TimeDelta::hours(1)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> NaiveDateTime {
        text.parse().expect("a local time")
    }

    /// IANA time zone database: in 2027 clocks go forward on 28 March at 01:00 and back on 31
    /// October at 02:00.
    #[test]
    fn local_times_follow_summer_time() {
        let utc = |text: &str| moment(at(text)).format("%d %H:%M").to_string();
        assert_eq!(utc("2027-03-26T08:00:00"), "26 08:00");
        assert_eq!(utc("2027-03-29T08:00:00"), "29 07:00");
        assert_eq!(utc("2027-03-28T01:30:00"), "28 01:30");
        assert_eq!(utc("2027-10-31T01:30:00"), "31 00:30");
        assert_eq!(utc("2027-11-01T08:00:00"), "01 08:00");
    }

    fn entry() -> CalendarEntry {
        CalendarEntry {
            uid: "closure-J1@town.gangday".to_owned(),
            summary: "Lane closed; Hill, \"Top\" Street".to_owned(),
            description:
                "Two\nlines, with a comma and a line that is far too long to stand on one \
                          line of a calendar file, so it is folded"
                    .to_owned(),
            from: at("2027-03-29T08:00:00"),
            until: Some(at("2027-03-29T12:00:00")),
            place: Some(LonLat::new(-3.4, 54.0)),
            category: "Closure".to_owned(),
        }
    }

    #[test]
    fn the_same_entries_give_the_same_bytes_in_lines_of_at_most_75_octets() {
        let day = NaiveDate::from_ymd_opt(2027, 3, 1).unwrap();
        let written =
            || write_calendar("Town, week 9", Some("© Those who draw it"), day, &[entry()]);
        let bytes = written();
        assert_eq!(bytes, written());
        let text = String::from_utf8(bytes).unwrap();
        assert!(text.split("\r\n").all(|line| line.len() <= 75));
        assert!(text.contains("DTSTART:20270329T070000Z"));
        assert!(text.contains("X-WR-CALNAME:Town\\, week 9\r\n"), "{text}");
        assert!(
            text.contains("X-WR-CALDESC:© Those who draw it\r\n"),
            "{text}"
        );
        assert!(text.contains("UID:closure-J1@town.gangday"));
        assert!(text.contains("GEO:54.000000;-3.400000"), "{text}");
    }
}
