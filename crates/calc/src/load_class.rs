//! Which load class a position usually asks for.

use gangday_model::{LoadClass, Position};

/// The least load class that EN 124 groups with this position, and the group in words.
///
/// A verge is taken as a place for people on foot only; where vehicles overrun it, a stronger
/// class is right, as in any doubt.
///
/// # Source
/// EN 124-1 groups of places of installation, from memory, high confidence.
///
/// ```
/// use gangday_model::{LoadClass, Position};
/// assert_eq!(gangday_calc::usual_load_class(Position::Carriageway).0, LoadClass::D400);
/// ```
#[must_use]
pub fn usual_load_class(position: Position) -> (LoadClass, &'static str) {
    match position {
        Position::Verge | Position::CycleTrack => (
            LoadClass::A15,
            "EN 124 group 1, people on foot and on pedal cycles only: A15",
        ),
        Position::Footway => (
            LoadClass::B125,
            "EN 124 group 2, footways and car parks: B125",
        ),
        Position::Carriageway => (
            LoadClass::D400,
            "EN 124 group 4, carriageways and hard shoulders: D400",
        ),
    }
}
