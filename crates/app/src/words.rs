//! Figures and times in the site's own words.

use chrono::{Days, NaiveDate, NaiveDateTime, NaiveTime, Timelike as _};
pub use gangday_files::thousands;
use gangday_model::{Closure, ClosureKind, Hours, LonLat, Position, Stage, WaitKind, Work};

/// Minutes since midnight; a time on a later day counts on past 1,440.
#[must_use]
pub fn minutes_of(time: NaiveDateTime, day: NaiveDate) -> u32 {
    let since = time - day.and_time(NaiveTime::MIN);
    u32::try_from(since.num_minutes()).unwrap_or(0)
}

/// Minutes since midnight of a time of day.
#[must_use]
pub fn minutes_of_day(time: NaiveTime) -> u32 {
    time.hour() * 60 + time.minute()
}

/// `07:45`: the time of day, of whatever day.
#[must_use]
pub fn clock(minutes: u32) -> String {
    let rest = minutes % 1_440;
    format!("{:02}:{:02}", rest / 60, rest % 60)
}

/// `07:45` on the day itself; on a later one with its name, `Tue 07:45`.
#[must_use]
pub fn clock_on(day: NaiveDate, minutes: u32) -> String {
    match minutes / 1_440 {
        0 => clock(minutes),
        later => {
            let then = day + Days::new(u64::from(later));
            format!("{} {}", then.format("%a"), clock(minutes))
        }
    }
}

/// `45 min`, `2 h`, `2 h 05 min`.
#[must_use]
pub fn lasting(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes:02} min"),
    }
}

/// `Mon 1 Mar`.
#[must_use]
pub fn day(date: NaiveDate) -> String {
    gangday_model::day_in_words(date)
}

/// `Mon 1 Mar 2027`.
#[must_use]
pub fn day_of_year(date: NaiveDate) -> String {
    gangday_model::date_in_words(date)
}

/// `1 March 2027`.
#[must_use]
pub fn long_date(date: NaiveDate) -> String {
    date.format("%-d %B %Y").to_string()
}

/// `£1,240.50`, from pence.
#[must_use]
pub fn money(pence: i64) -> String {
    let sign = if pence < 0 { "−" } else { "" };
    let pounds = thousands(pence.unsigned_abs() / 100);
    format!("{sign}£{pounds}.{:02}", pence.unsigned_abs() % 100)
}

/// A figure rounded as a foreman would write it in this unit.
#[must_use]
pub fn rounded(value: f64, unit: &str) -> String {
    match unit {
        "t" | "kN" => format!("{value:.1}"),
        "m3" if value > 0.0 && value < 0.01 => format!("{value:.3}"),
        "m3" | "m2" | "m" => format!("{value:.2}"),
        "mm" | "min" | "bags" | "no." | "kg" => format!("{value:.0}"),
        _ if (value - value.round()).abs() < 1e-9 => format!("{value:.0}"),
        _ => format!("{value:.2}"),
    }
}

/// A figure to as many as six decimals, without those that say nothing.
#[must_use]
pub fn tidy(value: f64) -> String {
    let text = format!("{value:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A unit as it is written on an order: `m³`, `m²/l`, `m/s²`.
#[must_use]
pub fn unit(unit: &str) -> String {
    let raised = [("m3", "m³"), ("m2", "m²"), ("/s2", "/s²")];
    raised
        .iter()
        .fold(unit.to_owned(), |unit, (plain, raised)| {
            unit.replace(plain, raised)
        })
}

/// What is done, as a heading.
#[must_use]
pub const fn work(work: Work) -> &'static str {
    match work {
        Work::New => "New chamber",
        Work::Replace => "Replace chamber",
        Work::Adjust => "Adjust ironwork",
    }
}

/// Where in the street, with its article.
#[must_use]
pub const fn position(position: Position) -> &'static str {
    match position {
        Position::Verge => "in the verge",
        Position::Footway => "in the footway",
        Position::CycleTrack => "in the cycle track",
        Position::Carriageway => "in the carriageway",
    }
}

/// The stage as an order to the gang.
#[must_use]
pub const fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Dig => "Dig",
        Stage::Base => "Pour base",
        Stage::Build => "Build up",
        Stage::Surround => "Surround",
        Stage::Surface => "Surface",
        Stage::Reopen => "Reopen",
    }
}

/// The key of a stage in files and views.
#[must_use]
pub const fn stage_key(stage: Stage) -> &'static str {
    match stage {
        Stage::Dig => "dig",
        Stage::Base => "base",
        Stage::Build => "build",
        Stage::Surround => "surround",
        Stage::Surface => "surface",
        Stage::Reopen => "reopen",
    }
}

/// What chemistry or the public waits for, up to a time.
#[must_use]
pub const fn wait(kind: WaitKind) -> &'static str {
    match kind {
        WaitKind::BaseCure => "Base cures",
        WaitKind::MortarSet => "Mortar sets",
        WaitKind::InitialSet => "Surround sets",
        WaitKind::Hold => "No traffic",
    }
}

/// The stage that places it.
#[must_use]
pub const fn placing(kind: WaitKind) -> Stage {
    match kind {
        WaitKind::BaseCure => Stage::Base,
        WaitKind::MortarSet => Stage::Build,
        WaitKind::InitialSet => Stage::Surround,
        WaitKind::Hold => Stage::Surface,
    }
}

/// What is placed before a wait.
#[must_use]
pub const fn placed(kind: WaitKind) -> &'static str {
    match kind {
        WaitKind::BaseCure => "base concrete",
        WaitKind::MortarSet => "bedding mortar",
        WaitKind::InitialSet => "surround concrete",
        WaitKind::Hold => "bituminous surfacing",
    }
}

/// The key of a wait in views.
#[must_use]
pub const fn wait_key(kind: WaitKind) -> &'static str {
    match kind {
        WaitKind::BaseCure => "base_cure",
        WaitKind::MortarSet => "mortar_set",
        WaitKind::InitialSet => "initial_set",
        WaitKind::Hold => "hold",
    }
}

/// The key of a work in files and views.
#[must_use]
pub const fn work_key(work: Work) -> &'static str {
    match work {
        Work::New => "new",
        Work::Replace => "replace",
        Work::Adjust => "adjust",
    }
}

/// The key of a position in files and views.
#[must_use]
pub const fn position_key(position: Position) -> &'static str {
    match position {
        Position::Verge => "verge",
        Position::Footway => "footway",
        Position::CycleTrack => "cycle_track",
        Position::Carriageway => "carriageway",
    }
}

/// The key of a closure in files and views.
#[must_use]
pub const fn closure_key(kind: ClosureKind) -> &'static str {
    match kind {
        ClosureKind::None => "none",
        ClosureKind::Footway => "footway",
        ClosureKind::Lane => "lane",
        ClosureKind::Road => "road",
    }
}

/// What the public finds shut at a closure: a lane closure that nothing is led past shuts the road.
#[must_use]
pub const fn closed(closure: &Closure) -> &'static str {
    if closure.closes_road {
        return self::closure(ClosureKind::Road);
    }
    self::closure(closure.kind)
}

/// From when to when a closure is there, the first nothing where it is there from before the week.
#[must_use]
pub fn there(closure: &Closure) -> (Option<String>, String) {
    let date = closure.start.date();
    let on = |time: NaiveDateTime| clock_on(date, minutes_of(time, date));
    let worked = closure.worked;
    let from = worked.filter(|(first, _)| *first == closure.start);
    let until = worked.filter(|(_, last)| *last == closure.end);
    (
        from.map(|(first, _)| on(first)),
        until.map_or_else(|| "the week’s end".to_owned(), |(_, last)| on(last)),
    )
}

/// `09:30–15:30`, `to Tue 15:30`, `to the week’s end`.
#[must_use]
pub fn stands(closure: &Closure) -> String {
    match there(closure) {
        (Some(from), until) => format!("{from}–{until}"),
        (None, until) => format!("to {until}"),
    }
}

/// What the public finds shut.
#[must_use]
pub const fn closure(kind: ClosureKind) -> &'static str {
    match kind {
        ClosureKind::None => "Works guarded",
        ClosureKind::Footway => "Footway closed",
        ClosureKind::Lane => "Lane closed",
        ClosureKind::Road => "Road closed",
    }
}

/// `09:30–15:30`.
#[must_use]
pub fn hours(hours: &Hours) -> String {
    let (from, until) = (minutes_of_day(hours.from), minutes_of_day(hours.until));
    format!("{}–{}", clock(from), clock(until))
}

/// The same words as a sentence of their own.
#[must_use]
pub fn sentence(words: &str) -> String {
    let mut letters = words.trim().chars();
    let first = letters.next().map(char::to_uppercase);
    let stop = if words.trim_end().ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    first
        .into_iter()
        .flatten()
        .chain(letters)
        .collect::<String>()
        + stop
}

/// `1 job`, `2 jobs`.
#[must_use]
pub fn count(number: usize, one: &str, many: &str) -> String {
    let word = if number == 1 { one } else { many };
    format!("{} {word}", thousands(number as u64))
}

/// A line to draw on the map, to a decimetre, as steps in millionths of a degree: the first from
/// longitude and latitude 0, each other from the place before.
#[must_use]
pub fn steps(line: &[LonLat]) -> Vec<[i32; 2]> {
    let mut before = [0, 0];
    let step = |at: &LonLat| {
        // A degree has a million of them, and the globe 360 degrees: they fit.
        let here = [at.lon(), at.lat()].map(|degrees| (degrees * 1e6).round() as i32);
        let step = [here[0] - before[0], here[1] - before[1]];
        before = here;
        step
    };
    line.iter().map(step).collect()
}

/// A place to draw on the map, to a centimetre.
#[must_use]
pub fn place(at: LonLat) -> [f64; 2] {
    rounded_place(at, 1e7)
}

/// A corner of a dig to draw on the map, to a millimetre.
#[must_use]
pub fn place_of_dig(at: LonLat) -> [f64; 2] {
    rounded_place(at, 1e8)
}

/// Of a degree, which is at most 112 km on the ground, so many parts.
fn rounded_place(at: LonLat, parts: f64) -> [f64; 2] {
    [at.lon(), at.lat()].map(|degrees| (degrees * parts).round() / parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_written_as_on_site() {
        assert_eq!(tidy(15.850_999_999_999_999), "15.851");
        assert_eq!(tidy(100.0), "100");
        assert_eq!(clock(462), "07:42");
        let monday = NaiveDate::from_ymd_opt(2027, 3, 1).unwrap();
        assert_eq!(clock_on(monday, 1_439), "23:59");
        assert_eq!(clock_on(monday, 1_440), "Tue 00:00");
        assert_eq!(clock_on(monday, 7 * 1_440 + 689), "Mon 11:29");
        assert_eq!(lasting(45), "45 min");
        assert_eq!(lasting(125), "2 h 05 min");
        assert_eq!(money(124_050), "£1,240.50");
        assert_eq!(money(-5), "−£0.05");
        assert_eq!(thousands(1_234_567), "1,234,567");
        assert_eq!(rounded(1.26, "t"), "1.3");
        assert_eq!(count(1, "job", "jobs"), "1 job");
        assert_eq!(sentence("wait for a warmer day"), "Wait for a warmer day.");
        assert_eq!(sentence("State one."), "State one.");
    }

    #[test]
    fn a_line_is_told_in_steps_that_never_add_up_to_an_error() {
        let line = [
            (-1.5, 53.0),
            (-1.500_000_4, 53.000_000_4),
            (-1.499_999_2, 53.000_001),
        ];
        let line = line.map(|(lon, lat)| LonLat::new(lon, lat));
        assert_eq!(steps(&line), [[-1_500_000, 53_000_000], [0, 0], [1, 1]]);
        assert!(steps(&[]).is_empty());
    }

    #[test]
    fn a_time_past_midnight_counts_on() {
        let day = NaiveDate::from_ymd_opt(2027, 3, 1).unwrap();
        let late = day.and_hms_opt(0, 30, 0).unwrap() + Days::new(1);
        assert_eq!(minutes_of(late, day), 1470);
    }
}
