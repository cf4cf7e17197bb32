//! Whatever is done to a plan, undo and redo lead to the very bytes that were there.

use proptest::prelude::*;

use super::*;
use crate::change::FileChange;

const PLAN: &str = "plan.json";

/// A plan of so many lines, of which one is told apart.
fn text(lines: usize, own: usize) -> Vec<u8> {
    let line = |at: usize| {
        let told = if at == own % lines.max(1) { own } else { 0 };
        format!(
            "{{\"gang\": \"G{at}\", \"visits\": [], \"note\": \"{told} of those that are there\"}},\n"
        )
    };
    (0..lines).map(line).collect::<String>().into_bytes()
}

fn edit(what: usize, before: Option<Vec<u8>>, after: Option<Vec<u8>>) -> Change {
    let name = PLAN.to_owned();
    Change {
        what: format!("edit {what}"),
        features: Vec::new(),
        files: vec![FileChange {
            name,
            before,
            after,
        }],
    }
}

fn plan(file: &ProgrammeFile) -> Option<Vec<u8>> {
    file.files().unwrap().get(PLAN).cloned()
}

fn made(place: &Path, name: &str) -> ProgrammeFile {
    ProgrammeFile::create(
        &place.join(name),
        &[("week.json", b"{}".to_vec())],
        &[],
        None,
    )
    .unwrap()
}

/// What undo and redo lead to: the plans in order, and which of them is there.
struct Model {
    plans: Vec<Option<Vec<u8>>>,
    at: usize,
}

impl Model {
    fn step(&mut self, file: &mut ProgrammeFile, step: Step) {
        let there = match step {
            Step::Undo => self.at.checked_sub(1),
            Step::Redo => Some(self.at + 1).filter(|at| *at < self.plans.len()),
        };
        file.walk(step, &[]).unwrap();
        self.at = there.unwrap_or(self.at);
        assert_eq!(plan(file), self.plans[self.at]);
    }

    fn commit(&mut self, file: &mut ProgrammeFile, after: Option<Vec<u8>>) {
        let before = self.plans[self.at].clone();
        file.commit(&edit(self.at, before, after.clone()), &[])
            .unwrap();
        self.plans.truncate(self.at + 1);
        self.plans.push(after);
        self.at += 1;
    }

    /// Every edit, as the history has to tell it.
    fn edits(&self) -> Vec<(Change, bool)> {
        let pairs = self.plans.windows(2).enumerate();
        let told = |(at, pair): (usize, &[Option<Vec<u8>>])| {
            (edit(at, pair[0].clone(), pair[1].clone()), at >= self.at)
        };
        pairs.map(told).collect()
    }

    /// All the way back and forth again.
    fn there_and_back(&mut self, file: &mut ProgrammeFile) {
        assert_eq!(told(file), self.edits());
        for step in [Step::Undo, Step::Redo] {
            (0..self.plans.len()).for_each(|_| self.step(file, step));
        }
    }
}

/// Every edit that the history tells, where it tells all of them.
fn told(file: &ProgrammeFile) -> Vec<(Change, bool)> {
    let history = file.history();
    assert_eq!(history.lost, []);
    let edits = history.edits.into_iter();
    edits
        .map(|edit| (edit.change.unwrap(), edit.undone))
        .collect()
}

/// A file in which a plan of so many lines was edited so often.
fn edited(place: &Path, times: usize, lines: usize) -> (ProgrammeFile, Model) {
    let mut file = made(place, "week.gpkg");
    let mut model = Model {
        plans: vec![None],
        at: 0,
    };
    for own in 1..=times {
        model.commit(&mut file, Some(text(lines, own)));
    }
    (file, model)
}

/// How many edits are kept by what differs, and how many of those beside the whole.
fn kept(file: &ProgrammeFile) -> (i64, i64) {
    let asked = "SELECT count(lines), sum(lines IS NOT NULL AND after IS NOT NULL) FROM gangday_history_files";
    let row = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get(1)?));
    file.db.query_row(asked, [], row).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn undo_and_redo_lead_to_the_very_bytes(
        deeds in prop::collection::vec((0..6_u8, 1..40_usize, any::<usize>()), 1..25)
    ) {
        let place = tempfile::tempdir().unwrap();
        let mut file = made(place.path(), "week.gpkg");
        let mut model = Model { plans: vec![None], at: 0 };
        for (what, lines, own) in deeds {
            match what {
                0 => model.step(&mut file, Step::Undo),
                1 => model.step(&mut file, Step::Redo),
                2 if model.at % 3 == 2 => model.commit(&mut file, None),
                3 => model.commit(&mut file, Some(text(lines, own))),
                _ => model.commit(&mut file, Some(text(40, own))),
            }
        }
        // Into another file, whose plan is in other words: what is kept there holds by itself.
        let mut files = vec![("week.json", b"{}".to_vec())];
        files.extend(plan(&file).map(|_| (PLAN, b"{\"other\": \"words\"}".to_vec())));
        let path = place.path().join("copy.gpkg");
        let mut copy = ProgrammeFile::create(&path, &files, &[], Some(&file)).unwrap();
        prop_assert_eq!(told(&copy), model.edits());
        let at = model.at;
        for step in [Step::Undo, Step::Redo] {
            (0..model.plans.len()).for_each(|_| {
                let there = copy.next(step).unwrap().is_some();
                if there { model.step(&mut copy, step) }
            });
        }
        model.at = at;
        model.there_and_back(&mut file);
    }
}

#[test]
fn a_small_edit_of_a_large_plan_takes_little_and_the_whole_is_kept_now_and_then() {
    let place = tempfile::tempdir().unwrap();
    let (mut file, mut model) = edited(place.path(), 139, 500);
    // The first has nothing before it and is whole.
    assert_eq!(kept(&file), (138, 2));
    let asked = "SELECT max(length(lines)) FROM gangday_history_files";
    let most: i64 = file.db.query_row(asked, [], |row| row.get(0)).unwrap();
    assert!(most < 400, "{most} bytes");
    model.there_and_back(&mut file);
}

#[test]
fn what_cannot_be_put_together_is_refused_and_nothing_is_changed() {
    let place = tempfile::tempdir().unwrap();
    let (mut file, mut model) = edited(place.path(), 5, 40);
    let spoil = "UPDATE gangday_history_files SET lines = x'00' WHERE rowid = 4";
    file.db.execute_batch(spoil).unwrap();
    model.step(&mut file, Step::Undo);
    let there = plan(&file);
    let error = file.walk(Step::Undo, &[]).unwrap_err();
    assert!(error.to_string().contains("plan.json"), "{error}");
    assert_eq!(plan(&file), there);
    // Edits go on from there.
    model.step(&mut file, Step::Redo);
}

#[test]
fn an_edit_that_cannot_be_read_hides_no_other_and_is_named() {
    let place = tempfile::tempdir().unwrap();
    let (mut file, mut model) = edited(place.path(), 6, 40);
    model.step(&mut file, Step::Undo);
    let spoil = "UPDATE gangday_history_files SET lines = x'00' WHERE rowid = 3";
    file.db.execute_batch(spoil).unwrap();
    let history = file.history();
    let expected = model.edits();
    assert_eq!(history.edits.len(), expected.len());
    for (at, (one, (change, undone))) in history.edits.iter().zip(expected).enumerate() {
        // Those before it are had from the first, which stands by itself; those after it, from what is there.
        let told = if at == 2 { None } else { Some(change) };
        assert_eq!((&one.what, one.undone), (&format!("edit {at}"), undone));
        assert!(one.change == told, "what edit {at} does");
    }
    let [lost] = &history.lost[..] else {
        panic!("{:?}", history.lost)
    };
    let text = "1 edit in the history of week.gpkg can\u{2019}t be read any more (edit 2)";
    assert_eq!(lost.code, "F-LOST");
    assert!(lost.text.starts_with(text), "{}", lost.text);
    drop(file);
    assert_eq!(read_history(&place.path().join("week.gpkg")), history);
}

#[test]
fn a_history_that_cannot_be_read_at_all_is_said_to_be_lost() {
    let place = tempfile::tempdir().unwrap();
    let (file, _) = edited(place.path(), 2, 4);
    file.db
        .execute_batch("UPDATE gangday_history SET what = x'ff'")
        .unwrap();
    let history = file.history();
    let told: Vec<_> = history.lost.iter().map(|one| one.code.as_str()).collect();
    assert_eq!((history.edits.len(), told), (0, vec!["F-LOST"]));
}

#[test]
fn an_edit_whose_features_cannot_be_read_is_refused_and_stays_done() {
    let place = tempfile::tempdir().unwrap();
    let (mut file, _) = edited(place.path(), 2, 4);
    let spoil = "UPDATE gangday_history SET features = x'00', what = 7
                 WHERE seq = (SELECT max(seq) FROM gangday_history)";
    file.db.execute_batch(spoil).unwrap();
    let names = file.edits().unwrap().0;
    assert_eq!(names.last().map(String::as_str), Some("7"));
    file.walk(Step::Undo, &[]).unwrap_err();
    assert_eq!(file.edits().unwrap(), (names, vec![]), "nothing is undone");
    assert_eq!(file.history().lost.len(), 1);
}
