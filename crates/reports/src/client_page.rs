//! What the client page is made from: plain words and places, already worked out elsewhere.

use gangday_model::ClosureKind;

/// A closed ring on the working plane; the last point may repeat the first.
///
/// # Units
/// Metres east and north.
pub type PlaneRing = Vec<(f64, f64)>;

/// Everything that the client page shows.
///
/// The page computes nothing from it: dates and hours come as the words to be printed, places as
/// metres on one plane.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ClientPage {
    /// The programme's name.
    pub programme: String,
    /// Whose law and code apply.
    pub nation: String,
    /// The week in words, for example `Week of Monday 1 March 2027`.
    pub week: String,
    /// The issue's label with its date, for example `Issue 2, Wed 24 Feb 2027`, or that it is a draft.
    pub issue: String,
    /// The date of issue in words; of a draft, the day that it was printed on.
    pub issued_on: String,
    /// Who prepared it, as a whole line.
    pub prepared_by: String,
    /// Whether place, streets, client and works are invented for a demonstration.
    pub invented: bool,
    /// Remarks on how the page was made: projection, travel.
    pub notes: Vec<String>,
    /// Who is to be named for the data, a line each.
    pub attributions: Vec<String>,
    /// The streets.
    pub streets: Vec<StreetLine>,
    /// Water and green behind them.
    pub backdrop: Vec<Backdrop>,
    /// The days of the week, in order.
    pub days: Vec<Day>,
    /// The works, in the order of their numbers on the page.
    pub works: Vec<WorkEntry>,
    /// How many jobs of the programme are in no day.
    pub unplanned: usize,
    /// What every reader must see.
    pub cautions: Vec<Caution>,
}

/// A street as it is drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StreetLine {
    /// Its name; empty where it has none.
    pub name: String,
    /// 0 to 4, where its authority gives it.
    pub road_type: Option<u8>,
    /// Its width.
    ///
    /// # Units
    /// Metres; drawn to scale from close by, and never thinner than legible.
    pub width_m: Option<f64>,
    /// Its lines, metres east and north.
    pub lines: Vec<Vec<(f64, f64)>>,
}

/// What a backdrop shape is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BackdropKind {
    /// River, pond, dock.
    Water,
    /// Park, wood, playing field.
    Green,
}

/// A shape behind the streets.
#[derive(Clone, Debug, PartialEq)]
pub struct Backdrop {
    /// What it is.
    pub kind: BackdropKind,
    /// Its outer ring, then its holes.
    pub rings: Vec<PlaneRing>,
}

/// A day of the week.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Day {
    /// The whole date in words, for example `Monday 1 March 2027`.
    pub date: String,
    /// A short name for switches and the map, for example `Mon 1`.
    pub label: String,
}

/// One work on one day, with what it takes from the public.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkEntry {
    /// The job's id.
    pub job: String,
    /// What is done, in words.
    pub title: String,
    /// The street's name; empty where none is known.
    pub street: String,
    /// What people call the place; empty where nobody has said so.
    pub called: String,
    /// The first of [`ClientPage::days`] on which it takes something, from 0.
    pub day: usize,
    /// The last of them; never before the first.
    pub last_day: usize,
    /// The gang's letter.
    pub gang_mark: String,
    /// The gang's name.
    pub gang: String,
    /// Signing goes out, in words, for example `09:30`; empty where it is out from before the week.
    pub from: String,
    /// Signing is away, in words.
    pub to: String,
    /// What is taken; it picks the hatch.
    pub closure: ClosureKind,
    /// What is taken, in words.
    pub closure_words: String,
    /// Why that much is taken.
    pub because: String,
    /// The ground taken, where it is known.
    pub footprint: PlaneRing,
    /// Where the work is, metres east and north.
    pub at: (f64, f64),
}

impl WorkEntry {
    /// Whether it takes something on a day.
    pub(crate) fn is_on(&self, day: usize) -> bool {
        (self.day..=self.last_day.max(self.day)).contains(&day)
    }

    /// Its days in one attribute.
    pub(crate) fn days(&self) -> String {
        let days = self.day..=self.last_day.max(self.day);
        days.map(|day| day.to_string())
            .collect::<Vec<_>>()
            .join(" ")
    }
}

/// A caution with where it is written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Caution {
    /// A few words.
    pub title: String,
    /// The caution.
    pub text: String,
    /// Document and clause.
    pub source: String,
}
