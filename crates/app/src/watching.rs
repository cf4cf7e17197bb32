//! How far something long is, said now and then, and asked whether to go on.

use crate::view::Refusal;
use crate::words;

/// So many rows are gone through between two looks.
const EVERY: usize = 64;

/// Hears the part and the words, and says whether to go on.
pub type See<'a> = dyn Fn(f64, &str) -> bool + Sync + 'a;

/// Somebody who is told how far something is, as a part of the whole and in words, and says whether to go on.
#[derive(Clone, Copy)]
pub struct Watch<'a> {
    see: Option<&'a See<'a>>,
    from: f64,
    to: f64,
}

/// Somebody wanted it stopped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stopped;

impl From<Stopped> for Refusal {
    fn from(_: Stopped) -> Self {
        Self::plain("It was stopped; nothing was changed.")
    }
}

impl<'a> Watch<'a> {
    /// Nobody.
    pub const NOBODY: Watch<'static> = Watch {
        see: None,
        from: 0.0,
        to: 1.0,
    };

    /// Somebody.
    pub fn new(see: &'a See<'a>) -> Self {
        Self {
            see: Some(see),
            ..Watch::NOBODY
        }
    }

    /// The same for a part of what is done.
    #[must_use]
    pub fn part(self, from: f64, to: f64) -> Self {
        let whole = self.to - self.from;
        Self {
            from: self.from + from * whole,
            to: self.from + to * whole,
            ..self
        }
    }

    /// Says what begins.
    ///
    /// # Errors
    /// It is to be stopped.
    pub fn begin(self, words: &str) -> Result<(), Stopped> {
        self.say(self.from, words)
    }

    /// Says that a fraction of it is done.
    ///
    /// # Errors
    /// It is to be stopped.
    pub fn at(self, fraction: f64, words: &str) -> Result<(), Stopped> {
        self.say(self.from + fraction * (self.to - self.from), words)
    }

    /// Says, now and then, which of so many rows is begun: `Row 320 of 10,000 ` and what is done with it.
    ///
    /// # Errors
    /// It is to be stopped.
    pub fn row(self, (at, of): (usize, usize), what: &str, then: &str) -> Result<(), Stopped> {
        if self.see.is_none() || !at.is_multiple_of(EVERY) {
            return Ok(());
        }
        self.each((at, of), what, then)
    }

    /// The same of every one, where each takes long.
    ///
    /// # Errors
    /// It is to be stopped.
    pub fn each(self, (at, of): (usize, usize), what: &str, then: &str) -> Result<(), Stopped> {
        let part = at as f64 / of.max(1) as f64;
        let words = format!(
            "{what} {} of {} {then}",
            words::thousands(at as u64 + 1),
            words::thousands(of as u64)
        );
        self.say(self.from + part * (self.to - self.from), words.trim_end())
    }

    fn say(self, fraction: f64, words: &str) -> Result<(), Stopped> {
        let goes_on = self.see.is_none_or(|see| see(fraction, words));
        if goes_on { Ok(()) } else { Err(Stopped) }
    }
}
