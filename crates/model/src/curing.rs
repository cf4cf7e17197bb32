//! When what is placed on a day is ready, along that day's temperatures.

/// Longer than any day: not ready on it at all.
pub const NOT_THAT_DAY: u32 = 100_000_000;

/// For one material on one day, by the time at which it has been placed: when it is ready, and when
/// it is too cold for it.
///
/// # Units
/// Seconds of the day.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CureTimes {
    ready: Vec<u32>,
    cold: Vec<(u32, u32)>,
}

impl CureTimes {
    /// When it is ready if it has been placed by each minute of the day, and the stretches that are
    /// too cold, in order and apart. What is placed later is never ready earlier.
    #[must_use]
    pub fn new(mut ready: Vec<u32>, cold: Vec<(u32, u32)>) -> Self {
        let mut latest = 0;
        for time in &mut ready {
            latest = latest.max(*time);
            *time = latest;
        }
        Self { ready, cold }
    }

    /// When it is ready if it has been placed by `end`, the begun minute counted.
    ///
    /// ```
    /// use gangday_model::CureTimes;
    /// // Twenty minutes at midnight, ten a minute later: still not ready before the other.
    /// let cure = CureTimes::new(vec![1_200, 660], Vec::new());
    /// assert_eq!((cure.ready(0), cure.ready(1), cure.ready(60)), (1_200, 1_200, 1_200));
    /// ```
    #[must_use]
    pub fn ready(&self, end: u32) -> u32 {
        let minute = end.div_ceil(60) as usize;
        self.ready.get(minute).copied().unwrap_or(NOT_THAT_DAY)
    }

    /// The latest end after which it is ready by `time`; nothing where there is none.
    #[must_use]
    pub fn latest_end(&self, time: u32) -> Option<u32> {
        let minutes = self.ready.partition_point(|ready| *ready <= time);
        Some(u32::try_from(minutes.checked_sub(1)?).ok()? * 60)
    }

    /// The same for something that no cold harms.
    #[must_use]
    pub fn at_any_cold(&self) -> Self {
        Self {
            ready: self.ready.clone(),
            cold: Vec::new(),
        }
    }

    /// The least time from an end to being ready.
    #[must_use]
    pub fn shortest(&self) -> u32 {
        let waits = self.ready.iter().zip(0_u32..);
        let waits = waits.map(|(ready, minute)| ready.saturating_sub(minute * 60));
        waits.min().unwrap_or(0)
    }

    /// The first end from this one on for which it is warm enough all the while: from `placing`
    /// seconds before it until it is ready. [`NOT_THAT_DAY`] where there is none.
    #[must_use]
    pub fn warm_end(&self, end: u32, placing: u32) -> u32 {
        let mut end = end;
        for (from, until) in &self.cold {
            if end >= NOT_THAT_DAY || self.ready(end) <= *from {
                break;
            }
            if end.saturating_sub(placing) < *until {
                end = end.max(until + placing);
            }
        }
        if self.ready(end) >= NOT_THAT_DAY {
            return NOT_THAT_DAY;
        }
        end
    }

    /// The last such end up to this one, if there is any.
    #[must_use]
    pub fn last_warm_end(&self, end: u32, placing: u32) -> Option<u32> {
        let mut end = end;
        for (from, until) in self.cold.iter().rev() {
            if end >= until + placing {
                break;
            }
            if self.ready(end) > *from {
                end = end.min(self.latest_end(*from)?);
            }
        }
        (end >= placing).then_some(end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten minutes after each end, and too cold until 01:00 and from 02:00 to 02:15.
    fn cure() -> CureTimes {
        let ready = (0..1_440).map(|minute| minute * 60 + 600).collect();
        CureTimes::new(ready, vec![(0, 3_600), (7_200, 8_100)])
    }

    #[test]
    fn what_is_placed_in_the_cold_is_put_off_until_it_is_warm() {
        let cure = cure();
        // Five minutes of placing from 01:00 on; ready at 01:15.
        assert_eq!(cure.warm_end(0, 300), 3_900);
        assert_eq!(cure.warm_end(3_900, 300), 3_900);
        // Done at 01:51 it would be ready at 02:01: placed from 02:15 on instead.
        assert_eq!(cure.warm_end(6_600, 300), 6_600);
        assert_eq!(cure.warm_end(6_660, 300), 8_400);
        assert_eq!(cure.last_warm_end(8_399, 300), Some(6_600));
        assert_eq!(cure.last_warm_end(8_400, 300), Some(8_400));
        assert_eq!(cure.last_warm_end(3_899, 300), None);
    }

    #[test]
    fn the_latest_end_is_the_last_that_is_ready_in_time() {
        let cure = cure();
        assert_eq!(cure.latest_end(4_200), Some(3_600));
        assert_eq!(cure.latest_end(4_199), Some(3_540));
        assert_eq!(cure.latest_end(10), None);
        assert_eq!(cure.shortest(), 600);
        assert_eq!(cure.ready(1_440 * 60), NOT_THAT_DAY);
    }
}
