//! Editions of the law on notices, as data.

use std::sync::LazyLock;

use gangday_model::Nation;
use serde::Deserialize;

/// Which days a duration counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Counted {
    Working,
    Calendar,
}

/// One edition of one nation's law.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Edition {
    /// Stable name, as a programme states it: `england-2020`.
    pub id: String,
    /// Whose law.
    pub nation: Nation,
    /// What it is called.
    pub name: String,
    /// Whether it serves where the programme names none.
    pub usual: bool,
    pub(super) days: Counted,
    /// Whether works in an annual operating programme are major.
    pub(super) annual_programme: bool,
    /// The instrument and its clause, or "from memory".
    pub source: String,
}

static SHIPPED: LazyLock<Vec<Edition>> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../../defaults/editions.json"))
        .expect("the shipped editions are tested")
});

/// Every edition that is known.
#[must_use]
pub fn editions() -> &'static [Edition] {
    &SHIPPED
}

/// The edition of this name, where it is this nation's.
pub(super) fn named(id: &str, nation: Nation) -> Option<&'static Edition> {
    let mut all = editions().iter();
    all.find(|edition| edition.id == id && edition.nation == nation)
}

/// The edition that serves a nation where none is named.
pub(super) fn usual(nation: Nation) -> &'static Edition {
    let mut all = editions().iter();
    all.find(|edition| edition.usual && edition.nation == nation)
        .expect("every nation has a usual edition, which is tested")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_nation_has_one_usual_edition_and_every_edition_a_source() {
        use Nation::{England, NorthernIreland, Scotland, Wales};
        for nation in [England, Wales, Scotland, NorthernIreland] {
            let usual = editions().iter();
            let usual = usual.filter(|edition| edition.usual && edition.nation == nation);
            assert_eq!(usual.count(), 1, "{nation:?}");
        }
        assert!(editions().iter().all(|edition| !edition.source.is_empty()));
    }
}
