//! What reading had to refuse, shown as it stands in its file, put right or taken out of it.

use gangday_files::{GANGS, JOBS, KeptFile, STREETS};
use gangday_model::{Finding, JobId};
use gangday_store::{Change, FileChange};
use serde_json::{Map, Value, json};

use crate::changes::{State, apply};
use crate::edits::Edited;
use crate::opened::Opened;
use crate::saving;
use crate::tables::{list_mut, put, written};
use crate::view::{Aside, AsideRow, Properties, Refusal};

/// So many signs of what stands in the file are shown.
const SHOWN: usize = 2_000;

/// What reading had to refuse in a file and a finding is about, by what its place says after the file.
#[must_use]
pub fn aside(opened: &Opened, file: &str, place: &str) -> Vec<AsideRow> {
    let Some(kept) = kept(opened, file) else {
        return Vec::new();
    };
    let lists = kept.set_aside.iter();
    let all = lists.flat_map(|(list, values)| {
        let names = kept.called.get(list).into_iter().flatten();
        let rows = values.iter().zip(names).enumerate();
        rows.map(move |(nth, (value, name))| (list, nth, value, name))
    });
    // A name may hold what stands between the parts of a place.
    let is_of = |name: &String| {
        let rest = place.strip_prefix(name.as_str());
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(", "))
    };
    let own = all.filter(|(.., name)| is_of(name));
    own.map(|(list, nth, value, name)| AsideRow {
        aside: Aside {
            file: file.to_owned(),
            list: list.clone(),
            nth: u32::try_from(nth).unwrap_or(u32::MAX),
            called: name.clone(),
        },
        members: members_of(file, value)
            .into_iter()
            .map(|(name, value)| (cut(name), shown(value)))
            .collect(),
        written: in_short(value),
    })
    .collect()
}

fn kept<'a>(opened: &'a Opened, file: &str) -> Option<&'a KeptFile> {
    match file {
        JOBS => Some(&opened.kept.jobs),
        STREETS => Some(&opened.kept.streets),
        GANGS => Some(&opened.kept.gangs),
        _ => None,
    }
}

/// Whether a file holds features, whose members are their properties.
fn is_features(file: &str) -> bool {
    [JOBS, STREETS].contains(&file)
}

fn members_of(file: &str, value: &Value) -> Properties {
    if !is_features(file) {
        return value.as_object().cloned().unwrap_or_default();
    }
    let mut members = Map::new();
    if let Some(id) = value.get("id") {
        members.insert("id".to_owned(), id.clone());
    }
    let properties = value["properties"].as_object().cloned();
    for (name, value) in properties.unwrap_or_default() {
        members.entry(name).or_insert(value);
    }
    members
}

fn in_short(value: &Value) -> String {
    cut(serde_json::to_string_pretty(value).unwrap_or_default())
}

/// A value to be looked at: of one that is far too long only its beginning.
fn shown(value: Value) -> Value {
    let text = match &value {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    };
    if text.chars().nth(SHOWN).is_none() {
        return value;
    }
    Value::String(cut(text))
}

fn cut(text: String) -> String {
    match text.char_indices().nth(SHOWN) {
        Some((end, _)) => format!("{} …", &text[..end]),
        None => text,
    }
}

/// Puts members of something refused right; it counts from then on if nothing else is wrong with it.
///
/// # Errors
/// Where it is not there any more, is nothing that has members, or more would be at fault than was.
pub fn mend(
    state: &State,
    aside: &Aside,
    members: &Properties,
    at: Option<[f64; 2]>,
) -> Result<Edited, Refusal> {
    let what = format!("mend {}", aside.called);
    let members: Properties = members
        .iter()
        .map(|(name, value)| (name.clone(), as_member(name, value)))
        .collect();
    changed(state, aside, what, |found| {
        if !found.is_object() {
            let text = format!("{} is nothing that can be mended.", aside.called);
            return Err(Refusal::plain(&format!(
                "{text} Remove it, and add it anew."
            )));
        }
        if is_features(&aside.file) {
            put_feature(found, members);
        } else {
            put(found, &members);
        }
        if let Some(at) = at.filter(|_| aside.file == JOBS) {
            found["geometry"] = json!({"type": "Point", "coordinates": at});
        }
        Ok(true)
    })
}

/// An id is a text, whatever it looks like.
fn as_member(name: &str, value: &Value) -> Value {
    match value {
        Value::Number(number) if name == "id" => Value::String(number.to_string()),
        other => other.clone(),
    }
}

fn put_feature(feature: &mut Value, mut members: Properties) {
    let id = members.shift_remove("id");
    put(&mut feature["properties"], &members);
    if let Some(id) = id {
        let of_properties = Map::from_iter([("id".to_owned(), Value::Null)]);
        put(&mut feature["properties"], &of_properties);
        put(feature, &Map::from_iter([("id".to_owned(), id)]));
    }
    feature["type"] = json!("Feature");
}

/// Takes something refused out of its file.
///
/// # Errors
/// Where it is not there any more.
pub fn take_out(state: &State, aside: &Aside) -> Result<Edited, Refusal> {
    changed(state, aside, format!("remove {}", aside.called), |_| {
        Ok(false)
    })
}

/// Has the file hold what `change` makes of one in it, or without it where it says so.
fn changed(
    state: &State,
    aside: &Aside,
    what: String,
    change: impl FnOnce(&mut Value) -> Result<bool, Refusal>,
) -> Result<Edited, Refusal> {
    let gone = || {
        let text = format!(
            "{} in {} is not at fault any more.",
            aside.called, aside.file
        );
        Refusal::coded("D-AGAIN", &format!("{text} Nothing was changed."))
    };
    let nth = aside.nth as usize;
    let kept = kept(&state.opened, &aside.file).ok_or_else(gone)?;
    let called = kept.called.get(&aside.list).and_then(|all| all.get(nth));
    called
        .filter(|name| **name == aside.called)
        .ok_or_else(gone)?;
    let value = kept.set_aside.get(&aside.list).and_then(|all| all.get(nth));
    let value = value.ok_or_else(gone)?;
    let before = saving::bytes_of(&state.opened, &aside.file);
    let mut file: Value = before
        .as_deref()
        .and_then(|bytes| serde_json::from_slice(bytes).ok())
        .ok_or_else(gone)?;
    let rows = list_mut(&mut file, &aside.list).ok_or_else(gone)?;
    // Of several that are alike the last is refused.
    let at = rows.iter().rposition(|row| row == value).ok_or_else(gone)?;
    let mut row = rows.remove(at);
    if change(&mut row)? {
        rows.insert(at, row);
    }
    put_in_place(state, what, &aside.file, (before, written(&file)))
}

fn put_in_place(
    state: &State,
    what: String,
    file: &str,
    (before, after): (Option<Vec<u8>>, Vec<u8>),
) -> Result<Edited, Refusal> {
    let change = Change {
        what: what.clone(),
        features: Vec::new(),
        files: vec![FileChange {
            name: file.to_owned(),
            before,
            after: Some(after),
        }],
    };
    let next = apply(state, &change)?;
    refuse_more_faults(&state.opened, &next.opened, file)?;
    let jobs = fresh_jobs(&state.opened, &next.opened);
    Ok(Edited {
        what,
        state: next,
        jobs,
    })
}

/// What is at fault may stay so, for it is mended member by member; nothing more may come to it. Places
/// may be called otherwise after it, so faults are counted.
fn refuse_more_faults(before: &Opened, after: &Opened, file: &str) -> Result<(), Refusal> {
    let faults = |opened: &Opened| -> Vec<Finding> {
        let all = opened.intake.iter().filter(|one| one.is_fault());
        all.filter(|one| one.place.file.as_deref() == Some(file))
            .cloned()
            .collect()
    };
    let (old, new) = (faults(before), faults(after));
    if new.len() <= old.len() {
        return Ok(());
    }
    let fresh: Vec<Finding> = new.into_iter().filter(|one| !old.contains(one)).collect();
    let text = "Nothing was changed, since it would put more at fault.";
    Err(Refusal::because(text, &fresh))
}

/// The jobs that count now and did not before.
fn fresh_jobs(before: &Opened, after: &Opened) -> Vec<String> {
    let known = |id: &JobId| before.prepared.index_of(id).is_some();
    let jobs = after.prepared.programme.jobs.iter().map(|job| &job.id);
    jobs.filter(|id| !known(id))
        .map(ToString::to_string)
        .collect()
}
