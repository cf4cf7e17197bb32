//! When a closure stands: from the first stage's signing to the last one's clearing.

use chrono::{NaiveDateTime, TimeDelta};
use gangday_model::{GangId, JobId, JobWork, Stage, Visit, WaitKind};

/// The times of one job's closure.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Times {
    pub gang: GangId,
    /// From when to when somebody works there, signing and hold included.
    pub worked: Option<(NaiveDateTime, NaiveDateTime)>,
    pub start: NaiveDateTime,
    pub hold_from: NaiveDateTime,
    pub end: NaiveDateTime,
    /// Whether no visit takes the signing away, so that the end is reckoned.
    pub is_reckoned: bool,
}

/// The times that a job's visits give; nothing where it has none.
///
/// A closure whose works end in a hold has it from the last work's finish. Where no visit reopens
/// the street, the end is that finish and the hold.
pub(crate) fn times(visits: &[(&GangId, &Visit)], work: Option<&JobWork>) -> Option<Times> {
    let (gang, first) = visits
        .iter()
        .min_by_key(|(_, visit)| (visit.start, visit.stage))?;
    let reopened = visits
        .iter()
        .filter(|(_, visit)| visit.stage == Stage::Reopen);
    let reopened = reopened.map(|(_, visit)| visit.finish).max();
    let worked = visits
        .iter()
        .filter(|(_, visit)| visit.stage != Stage::Reopen);
    let last = worked
        .map(|(_, visit)| *visit)
        .max_by_key(|visit| (visit.finish, visit.stage));
    let finish = last.map_or(first.finish, |visit| visit.finish);
    let hold = last.and_then(|visit| hold_after(work?, visit.stage));
    let end = reopened
        .unwrap_or(finish + hold.unwrap_or_default())
        .max(finish);
    Some(Times {
        gang: (*gang).clone(),
        worked: Some((first.start, end)),
        start: first.start,
        hold_from: if hold.is_some() { finish } else { end },
        end,
        is_reckoned: reopened.is_none(),
    })
}

/// A closure that is there beyond what a plan works there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beyond {
    /// The job.
    pub job: JobId,
    /// It stands already from then on.
    pub from: Option<NaiveDateTime>,
    /// It still stands until then.
    pub until: Option<NaiveDateTime>,
}

/// The times with those that it stands beyond them; where nobody works there, those alone.
pub(crate) fn stood(worked: Option<Times>, beyond: Option<&Beyond>) -> Option<Times> {
    let Some(beyond) = beyond else {
        return worked;
    };
    let Some(mut times) = worked else {
        let (start, end) = beyond.from.zip(beyond.until)?;
        return Some(Times {
            gang: GangId::new(""),
            worked: None,
            start,
            hold_from: end,
            end,
            is_reckoned: false,
        });
    };
    times.start = beyond
        .from
        .map_or(times.start, |from| from.min(times.start));
    if let Some(until) = beyond.until {
        (times.hold_from, times.end) = (until, until);
    }
    Some(times)
}

/// The hold that follows a stage, if one does.
fn hold_after(work: &JobWork, stage: Stage) -> Option<TimeDelta> {
    let stage = work.stages.iter().find(|known| known.stage == stage)?;
    let wait = stage.then.filter(|wait| wait.kind == WaitKind::Hold)?;
    TimeDelta::try_seconds(wait.time.seconds())
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;
    use gangday_model::{Seconds, StageWork, Wait};

    use super::*;

    fn at(day: u32, hour: u32, minute: u32) -> NaiveDateTime {
        let day = NaiveDate::from_ymd_opt(2027, 3, day).unwrap();
        day.and_hms_opt(hour, minute, 0).unwrap()
    }

    fn visit(stage: Stage, start: NaiveDateTime, finish: NaiveDateTime) -> Visit {
        Visit {
            job: "J1".into(),
            stage,
            arrive: start - TimeDelta::minutes(5),
            start,
            finish,
            status: None,
        }
    }

    fn work(hold: Option<i64>) -> JobWork {
        let hold = hold.map(|minutes| Wait {
            kind: WaitKind::Hold,
            time: Seconds::from_minutes(minutes),
        });
        let stage = |stage, then| StageWork {
            stage,
            work: Seconds::from_minutes(30),
            then,
        };
        let stages = vec![stage(Stage::Dig, None), stage(Stage::Surface, hold)];
        JobWork {
            job: "J1".into(),
            parted: Vec::new(),
            stages,
        }
    }

    fn of(visits: &[Visit], work: &JobWork) -> Times {
        let gang = GangId::new("G1");
        let pairs: Vec<_> = visits.iter().map(|visit| (&gang, visit)).collect();
        times(&pairs, Some(work)).unwrap()
    }

    fn worked() -> [Visit; 2] {
        [
            visit(Stage::Surface, at(2, 10, 0), at(2, 10, 30)),
            visit(Stage::Dig, at(1, 8, 0), at(1, 9, 0)),
        ]
    }

    #[test]
    fn from_the_first_start_over_the_night_to_the_signing_away() {
        let [surface, dig] = worked();
        let reopen = visit(Stage::Reopen, at(2, 11, 45), at(2, 12, 0));
        let found = of(&[surface, reopen, dig], &work(Some(60)));
        assert_eq!((found.start, found.end), (at(1, 8, 0), at(2, 12, 0)));
        assert_eq!((found.hold_from, found.is_reckoned), (at(2, 10, 30), false));
    }

    #[test]
    fn with_no_visit_to_reopen_the_hold_is_added() {
        let found = of(&worked(), &work(Some(60)));
        assert_eq!((found.hold_from, found.end), (at(2, 10, 30), at(2, 11, 30)));
        assert!(found.is_reckoned);
    }

    #[test]
    fn with_no_hold_the_work_lasts_to_the_end() {
        let [surface, dig] = worked();
        let reopen = visit(Stage::Reopen, at(2, 10, 30), at(2, 10, 45));
        let found = of(&[surface, dig, reopen], &work(None));
        assert_eq!((found.hold_from, found.end), (at(2, 10, 45), at(2, 10, 45)));
        assert_eq!(of(&worked(), &work(None)).end, at(2, 10, 30));
    }

    #[test]
    fn no_visit_is_no_closure() {
        assert_eq!(times(&[], None), None);
    }

    /// Begun before, it is there until it is finished; left open, to the end; and where nobody works at it all the time.
    #[test]
    fn a_closure_stands_as_long_as_its_works_are_open() {
        let visits = [
            visit(Stage::Dig, at(3, 9, 0), at(3, 10, 0)),
            visit(Stage::Reopen, at(3, 12, 0), at(3, 12, 20)),
        ];
        let worked = of(&visits, &work(None));
        let (begins, ends) = (at(1, 0, 0), at(6, 0, 0));
        let standing = |worked: Option<&Times>, from, until| {
            let job = "J1".into();
            stood(worked.cloned(), Some(&Beyond { job, from, until }))
        };
        let times = |times: Option<Times>| times.map(|own| (own.start, own.hold_from, own.end));
        let (first, last) = (at(3, 9, 0), at(3, 12, 20));
        let own = Some(&worked);
        assert_eq!(
            times(standing(own, Some(begins), None)),
            Some((begins, last, last))
        );
        assert_eq!(
            times(standing(own, None, Some(ends))),
            Some((first, ends, ends))
        );
        let alone = standing(None, Some(begins), Some(ends)).unwrap();
        assert_eq!((alone.start, alone.end, alone.worked), (begins, ends, None));
        assert_eq!(standing(None, Some(begins), None), None);
        // Whatever it stands, what is worked is the same.
        for (from, until) in [(Some(begins), None), (Some(begins), Some(ends))] {
            let stood = standing(own, from, until).unwrap();
            assert_eq!(stood.worked, Some((first, last)));
        }
    }
}
