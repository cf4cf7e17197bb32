//! Where numbers, hours and street names go: more of them the closer one looks.

use gangday_model::ClosureKind;

use crate::client_page::{ClientPage, WorkEntry};

use super::frame::Frame;
use super::furniture::COVERED;
use super::heading::Headings;
use super::hours::{HoursLabel, beside};
use super::names::{NameLabel, NamePlaces};
use super::plate::Plate;
use super::taken::{Patch, Taken};

/// Magnifications at which more words are tried; words keep their size on screen.
pub(super) const LEVELS: [u8; 4] = [1, 2, 4, 8];

/// A plate for each work; nothing for a work without a place.
pub(super) type Plates = Vec<Option<Plate>>;

/// Everything written on the map.
pub(super) struct Labels {
    /// Numbers and hours where all days are shown.
    pub(super) of_all_days: Plates,
    /// Numbers and hours where only the work's own day is shown.
    pub(super) of_its_day: Plates,
    /// Street names.
    pub(super) names: Vec<NameLabel>,
}

/// Places every label of the map.
pub(super) fn place_labels(page: &ClientPage, frame: &Frame) -> Labels {
    let plates = new_plates(page, frame);
    let mut names = NamePlaces::of(page, frame);
    let of_all_days = place_all_days(page, plates.clone(), &mut names);
    let mut of_its_day = plates;
    place_lasting(page, &mut of_its_day, &names);
    for day in 0..page.days.len() {
        place_day(page, &mut of_its_day, &names, day);
    }
    Labels {
        of_all_days,
        of_its_day,
        names: names.into_labels(),
    }
}

fn new_plates(page: &ClientPage, frame: &Frame) -> Plates {
    let headings = Headings::of(page, frame);
    let plate = |(index, work): (usize, &WorkEntry)| {
        let at = frame.place(work.at)?;
        Some(Plate::new(index, work, at, headings.at(work, at, frame)))
    };
    page.works.iter().enumerate().map(plate).collect()
}

/// All days at once: the words of closed roads first, then numbers, then street names; the other
/// hours only from close by.
fn place_all_days(page: &ClientPage, mut plates: Plates, names: &mut NamePlaces<'_>) -> Plates {
    let mut taken = taken_by_bars(page, &plates, 1, |_| true);
    for roads in [true, false] {
        for (work, plate) in chosen(page, &mut plates, |work| is_road(work) == roads) {
            let words = words_of_all_days(page, work);
            plate.settle(roads.then_some(&words), &mut taken);
        }
    }
    names.place(&mut taken, 1);
    for level in LEVELS.into_iter().filter(|&level| level > 1) {
        let mut taken = taken_by_bars(page, &plates, level, |_| true);
        plates
            .iter()
            .flatten()
            .for_each(|plate| taken.take(&plate.patches(level)));
        names.take(&mut taken, level);
        add_hours(chosen(page, &mut plates, is_road), page, &mut taken, level);
        names.place(&mut taken, level);
        add_hours(
            chosen(page, &mut plates, |work| !is_road(work)),
            page,
            &mut taken,
            level,
        );
    }
    plates
}

/// Whether a work takes something on several days.
fn is_lasting(work: &WorkEntry) -> bool {
    work.last_day > work.day
}

/// Works of several days have their numbers where they are clear of the bars of all days.
fn place_lasting(page: &ClientPage, plates: &mut Plates, names: &NamePlaces<'_>) {
    if !page.works.iter().any(is_lasting) {
        return;
    }
    let mut taken = taken_by_bars(page, plates, 1, |_| true);
    names.take(&mut taken, 1);
    for (work, plate) in chosen(page, plates, is_lasting) {
        plate.settle(Some(&beside(work, None)), &mut taken);
    }
}

/// One day: numbers with their hours, closed roads first, clear of the street names and of what stands for several
/// days.
fn place_day(page: &ClientPage, plates: &mut Plates, names: &NamePlaces<'_>, day: usize) {
    let of_day = |work: &WorkEntry| work.is_on(day);
    let mut taken = taken_by_bars(page, plates, 1, of_day);
    names.take(&mut taken, 1);
    chosen(page, plates, |work| of_day(work) && is_lasting(work))
        .for_each(|(_, plate)| taken.take(&plate.patches(1)));
    for roads in [true, false] {
        let own = |work: &WorkEntry| of_day(work) && !is_lasting(work) && is_road(work) == roads;
        for (work, plate) in chosen(page, plates, own) {
            plate.settle(Some(&beside(work, None)), &mut taken);
        }
    }
    for level in LEVELS.into_iter().filter(|&level| level > 1) {
        let mut taken = taken_by_bars(page, plates, level, of_day);
        chosen(page, plates, of_day).for_each(|(_, plate)| taken.take(&plate.patches(level)));
        names.take(&mut taken, level);
        let begins = |work: &WorkEntry| work.day == day;
        for (work, plate) in chosen(page, plates, begins).filter(|(_, plate)| plate.hours.is_none())
        {
            add(plate, &beside(work, None), &mut taken, level);
        }
    }
}

fn add_hours<'a>(
    works: impl Iterator<Item = (&'a WorkEntry, &'a mut Plate)>,
    page: &ClientPage,
    taken: &mut Taken,
    level: u8,
) {
    for (work, plate) in works.filter(|(_, plate)| plate.hours.is_none()) {
        add(plate, &words_of_all_days(page, work), taken, level);
    }
}

fn add(plate: &mut Plate, words: &[String], taken: &mut Taken, level: u8) {
    plate.hours = HoursLabel::fit(words, plate, taken, level);
    if let Some(hours) = &plate.hours {
        taken.take(&[hours.patch(plate, level)]);
    }
}

fn words_of_all_days(page: &ClientPage, work: &WorkEntry) -> Vec<String> {
    beside(work, page.days.get(work.day).map(|day| day.label.as_str()))
}

fn is_road(work: &WorkEntry) -> bool {
    work.closure == ClosureKind::Road
}

/// The placed works that count, with their plates.
fn chosen<'a>(
    page: &'a ClientPage,
    plates: &'a mut Plates,
    counts: impl Fn(&WorkEntry) -> bool,
) -> impl Iterator<Item = (&'a WorkEntry, &'a mut Plate)> {
    let works = page.works.iter().zip(plates);
    works.filter_map(move |(work, plate)| Some((work, plate.as_mut().filter(|_| counts(work))?)))
}

/// What the bars of some works cover at a magnification, and the furniture where all is in view.
fn taken_by_bars(
    page: &ClientPage,
    plates: &Plates,
    level: u8,
    counts: impl Fn(&WorkEntry) -> bool,
) -> Taken {
    let mut taken = Taken::default();
    if level == 1 {
        let patch = |(left, top, right, bottom)| Patch {
            left,
            top,
            right,
            bottom,
        };
        taken.take(&COVERED.map(patch));
    }
    for (work, plate) in page
        .works
        .iter()
        .zip(plates)
        .filter(|(work, _)| counts(work))
    {
        if let Some(plate) = plate {
            taken.take(&plate.bar(work, level));
        }
    }
    taken
}
