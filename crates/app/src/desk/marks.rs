//! By what one sheet is told from another, without keeping either.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::hash::{DefaultHasher, Hasher as _};
use std::io::{BufWriter, Write};
use std::mem::take;

use serde::Serialize;
use serde_json::{Map, Value};

use crate::view::{
    ClosureView, Column, DeadlinesView, JobView, ListPatch, PutRow, Sheet, SheetPatch,
};

/// A row of a list, by its key and by what stands in it.
type Mark = (String, u64);

/// By what one sheet is told from another: members, members of its plan, and rows.
#[derive(Clone, Debug, Default)]
pub struct Marks {
    members: BTreeMap<String, u64>,
    plan: BTreeMap<String, u64>,
    lists: BTreeMap<&'static str, Vec<Mark>>,
}

/// A row that can be told apart.
pub trait Row: Serialize {
    /// The list that it stands in.
    const LIST: &'static str;
    /// The member that tells it from the others.
    const KEY: &'static str;
    /// That member.
    fn key(&self) -> &str;
}

macro_rules! rows {
    ($($row:ident in $list:literal by $key:ident),+) => {
        $(impl Row for $row {
            const LIST: &'static str = $list;
            const KEY: &'static str = stringify!($key);
            fn key(&self) -> &str {
                &self.$key
            }
        })+
    };
}

rows!(
    JobView in "jobs" by id,
    Column in "plan.columns" by key,
    ClosureView in "plan.closures" by job,
    DeadlinesView in "plan.deadlines" by job
);

/// Hashes what is written, and keeps none of it.
struct Hashed(DefaultHasher);

impl Write for Hashed {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.write(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

fn mark(value: &impl Serialize) -> u64 {
    let mut hashed = BufWriter::new(Hashed(DefaultHasher::new()));
    // Nothing fails on its way to a hash.
    let _ = serde_json::to_writer(&mut hashed, value);
    let _ = hashed.flush();
    hashed.get_ref().0.finish()
}

fn value(row: &impl Serialize) -> Value {
    serde_json::to_value(row).unwrap_or_default()
}

fn number(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

/// Members of a sheet that are long and seldom change: they are told apart without being taken apart.
const LONG: [&str; 2] = ["streets", "findings"];

fn long_mark(sheet: &Sheet, name: &str) -> u64 {
    match name {
        "streets" => mark(&sheet.streets),
        _ => mark(&sheet.findings),
    }
}

fn long_value(sheet: &Sheet, name: &str) -> Value {
    match name {
        "streets" => value(&sheet.streets),
        _ => value(&sheet.findings),
    }
}

/// The rest of a sheet, without its long lists, as members of it and of its plan.
fn members(sheet: &mut Sheet) -> (Map<String, Value>, Map<String, Value>) {
    let jobs = take(&mut sheet.jobs);
    let (streets, findings) = (take(&mut sheet.streets), take(&mut sheet.findings));
    let lists = sheet.plan.as_mut().map(|plan| {
        (
            take(&mut plan.columns),
            take(&mut plan.closures),
            take(&mut plan.deadlines),
        )
    });
    let object = |value: Value| match value {
        Value::Object(members) => members,
        _ => Map::new(),
    };
    let mut members = object(value(sheet));
    let mut plan = object(members.shift_remove("plan").unwrap_or_default());
    for name in ["jobs", "edition"].into_iter().chain(LONG) {
        members.shift_remove(name);
    }
    for list in ["columns", "closures", "deadlines"] {
        plan.shift_remove(list);
    }
    (sheet.jobs, sheet.streets, sheet.findings) = (jobs, streets, findings);
    if let (Some(plan), Some(lists)) = (&mut sheet.plan, lists) {
        (plan.columns, plan.closures, plan.deadlines) = lists;
    }
    (members, plan)
}

impl Marks {
    /// Of a sheet; it is the same after.
    pub fn of(sheet: &mut Sheet) -> Self {
        let (members, plan) = members(sheet);
        let marks = |members: Map<String, Value>| {
            let all = members.into_iter();
            all.map(|(name, value)| (name, mark(&value))).collect()
        };
        let mut all = Self {
            members: marks(members),
            plan: marks(plan),
            lists: BTreeMap::new(),
        };
        for name in LONG {
            all.members.insert(name.to_owned(), long_mark(sheet, name));
        }
        all.add(&sheet.jobs);
        if let Some(plan) = &sheet.plan {
            all.add(&plan.columns);
            all.add(&plan.closures);
            all.add(&plan.deadlines);
        }
        all
    }

    fn add<T: Row>(&mut self, rows: &[T]) {
        let rows = rows.iter().map(|row| (row.key().to_owned(), mark(row)));
        self.lists.insert(T::LIST, rows.collect());
    }

    /// Takes over members of the sheet, and tells those that are others now.
    pub fn fill(&mut self, members: Vec<(&'static str, Value)>) -> Vec<(&'static str, Value)> {
        let mut is_other = |(name, value): &(&'static str, Value)| {
            let mark = mark(value);
            self.members.insert((*name).to_owned(), mark) != Some(mark)
        };
        members.into_iter().filter(|one| is_other(one)).collect()
    }

    /// What leads from a sheet with other marks to this one.
    pub fn since(&self, before: &Self, sheet: &mut Sheet, from: u32) -> SheetPatch {
        let mut patch = SheetPatch {
            from,
            edition: sheet.edition,
            settled: true,
            ..SheetPatch::default()
        };
        if before.members.is_empty() {
            return patch;
        }
        let (members, plan) = members(sheet);
        let other = |old: &BTreeMap<String, u64>, new: &BTreeMap<String, u64>, name: &str| {
            old.get(name) != new.get(name)
        };
        patch.sheet = members
            .into_iter()
            .filter(|(name, _)| other(&before.members, &self.members, name))
            .collect();
        for name in LONG {
            if other(&before.members, &self.members, name) {
                patch.sheet.insert(name.to_owned(), long_value(sheet, name));
            }
        }
        patch.plan = plan
            .into_iter()
            .filter(|(name, _)| other(&before.plan, &self.plan, name))
            .collect();
        patch
            .sheet
            .insert("edition".to_owned(), sheet.edition.into());
        let mut lists = vec![self.list(before, &sheet.jobs)];
        if let Some(plan) = &sheet.plan {
            lists.push(self.list(before, &plan.columns));
            lists.push(self.list(before, &plan.closures));
            lists.push(self.list(before, &plan.deadlines));
        }
        patch.lists = lists.into_iter().flatten().collect();
        patch
    }

    /// What has changed of one list, if anything has.
    fn list<T: Row>(&self, before: &Self, rows: &[T]) -> Option<ListPatch> {
        let none = Vec::new();
        let old = before.lists.get(T::LIST).unwrap_or(&none);
        let new = self.lists.get(T::LIST).unwrap_or(&none);
        if old == new {
            return None;
        }
        let was: HashMap<&str, u64> = old
            .iter()
            .map(|(key, mark)| (key.as_str(), *mark))
            .collect();
        let is: HashSet<&str> = new.iter().map(|(key, _)| key.as_str()).collect();
        let stays = |from: &[Mark], there: &dyn Fn(&str) -> bool| -> Vec<String> {
            let keys = from.iter().map(|(key, _)| key.clone());
            keys.filter(|key| there(key)).collect()
        };
        let in_order =
            stays(old, &|key| is.contains(key)) == stays(new, &|key| was.contains_key(key));
        let gone = stays(old, &|key| !in_order || !is.contains(key));
        let other =
            |(_, (key, mark)): &(usize, &Mark)| !in_order || was.get(key.as_str()) != Some(mark);
        let put = new.iter().enumerate().filter(other).map(|(at, _)| PutRow {
            at: number(at),
            row: value(&rows[at]),
        });
        Some(ListPatch {
            list: T::LIST.to_owned(),
            key: T::KEY.to_owned(),
            gone,
            put: put.collect(),
        })
    }

    /// Puts rows in and takes some out, as a door does it; false where the list is then not in the
    /// order of `keys`.
    pub fn change<T: Row>(
        &mut self,
        gone: Vec<String>,
        put: &[(usize, T)],
        keys: impl Iterator<Item = impl AsRef<str>>,
    ) -> Option<ListPatch> {
        let marks = self.lists.entry(T::LIST).or_default();
        let out: HashSet<&str> = gone.iter().map(String::as_str).collect();
        marks.retain(|(key, _)| !out.contains(key.as_str()));
        let mut fresh: HashMap<&str, (usize, &T)> = put
            .iter()
            .map(|(at, row)| (row.key(), (*at, row)))
            .collect();
        for (key, own) in marks.iter_mut() {
            if let Some((_, row)) = fresh.remove(key.as_str()) {
                *own = mark(row);
            }
        }
        let mut fresh: Vec<(usize, &T)> = fresh.into_values().collect();
        fresh.sort_by_key(|(at, _)| *at);
        for (at, row) in fresh {
            marks.insert(at.min(marks.len()), (row.key().to_owned(), mark(row)));
        }
        let mut rows = marks.iter();
        let in_order = keys
            .into_iter()
            .all(|key| rows.next().is_some_and(|(own, _)| own == key.as_ref()));
        (in_order && rows.next().is_none()).then(|| ListPatch {
            list: T::LIST.to_owned(),
            key: T::KEY.to_owned(),
            gone,
            put: put
                .iter()
                .map(|(at, row)| PutRow {
                    at: number(*at),
                    row: value(row),
                })
                .collect(),
        })
    }
}
