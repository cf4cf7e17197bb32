//! Site hours less the hours in which the street's authority bars works, and those that have a price.

use chrono::{NaiveTime, Timelike as _};
use gangday_model::Hours;

/// The last time of a day that a window can name.
const LAST_TIME: NaiveTime = NaiveTime::from_hms_opt(23, 59, 0).expect("it is a time of day");

/// Site hours with the barred ones taken out; none at all, where nothing is barred, means any hour.
pub fn outside(site: &[Hours], barred: &[Hours]) -> Vec<Hours> {
    if barred.is_empty() {
        return site.to_vec();
    }
    let whole_day = Hours {
        from: NaiveTime::MIN,
        until: LAST_TIME,
    };
    let mut left = if site.is_empty() {
        vec![whole_day]
    } else {
        site.to_vec()
    };
    for bar in barred {
        let cut = |hours: Hours| {
            [
                (hours.from, hours.until.min(bar.from)),
                (hours.from.max(bar.until), hours.until),
            ]
        };
        left = left
            .into_iter()
            .flat_map(cut)
            .filter(|(from, until)| from < until)
            .map(|(from, until)| Hours { from, until })
            .collect();
    }
    if left.is_empty() {
        // A window that no work fits: the job is left out, with its hours as the reason.
        left.push(Hours {
            from: NaiveTime::MIN,
            until: NaiveTime::MIN,
        });
    }
    left
}

/// Hours as seconds of the day, none of which meet: those that do are one.
pub fn apart(hours: &[Hours]) -> Vec<(u32, u32)> {
    let seconds = |time: NaiveTime| time.num_seconds_from_midnight();
    let mut all: Vec<(u32, u32)> = hours
        .iter()
        .map(|hours| (seconds(hours.from), seconds(hours.until)))
        .collect();
    all.sort_unstable();
    let mut apart: Vec<(u32, u32)> = Vec::new();
    for (from, until) in all {
        match apart.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(until),
            _ => apart.push((from, until)),
        }
    }
    apart
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hours(from: u32, until: u32) -> Hours {
        let time = |hour| NaiveTime::from_hms_opt(hour, 0, 0).unwrap();
        Hours {
            from: time(from),
            until: time(until),
        }
    }

    #[test]
    fn hours_that_meet_are_one() {
        let hour = 3_600;
        let found = apart(&[hours(16, 18), hours(7, 9), hours(8, 10)]);
        assert_eq!(found, [(7 * hour, 10 * hour), (16 * hour, 18 * hour)]);
    }

    #[test]
    fn barred_hours_are_cut_out_of_site_hours() {
        assert_eq!(outside(&[hours(8, 16)], &[]), [hours(8, 16)]);
        let cut = outside(&[hours(8, 18)], &[hours(7, 9), hours(16, 17)]);
        assert_eq!(cut, [hours(9, 16), hours(17, 18)]);
        let any = outside(&[], &[hours(7, 9)]);
        assert_eq!((any[0], any[1].from), (hours(0, 7), hours(9, 10).from));
        assert_eq!(outside(&[hours(8, 9)], &[hours(7, 10)]), [hours(0, 0)]);
    }
}
