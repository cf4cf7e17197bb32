//! What reading had to refuse, shown as it stands in its file, put right or taken out of it.

use gangday_files::{GANGS, JOBS, KeptFile, STREETS, takes_text};
use gangday_model::Finding;
use serde_json::{Map, Value, json};

use crate::changes::{State, apply};
use crate::edits::{Edited, put_at};
use crate::opened::Opened;
use crate::saving;
use crate::tables::{list_mut, of_file, put, without_mark, written};
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
    own.map(|(list, nth, value, name)| {
        let aside = Aside {
            file: file.to_owned(),
            list: list.clone(),
            nth: u32::try_from(nth).unwrap_or(u32::MAX),
            called: name.clone(),
        };
        row(aside, value)
    })
    .collect()
}

/// Something refused as it is shown: of what is far too long only its beginning.
fn row(aside: Aside, value: &Value) -> AsideRow {
    let (mut members, mut too_long) = (Map::new(), Vec::new());
    for (name, member) in members_of(&aside.file, value) {
        let (short, seen) = (cut(&name), shown(&member));
        if short.is_some() || seen.is_some() {
            too_long.push(short.clone().unwrap_or_else(|| name.clone()));
        }
        members.insert(short.unwrap_or(name), seen.unwrap_or(member));
    }
    let written = serde_json::to_string_pretty(value).unwrap_or_default();
    AsideRow {
        aside,
        members,
        too_long,
        written: cut(&written).unwrap_or(written),
    }
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

/// The beginning of a value that is far too long to be shown; none of any other.
fn shown(value: &Value) -> Option<Value> {
    let begins = match value {
        Value::String(text) => cut(text),
        other => cut(&other.to_string()),
    };
    begins.map(Value::String)
}

/// The beginning of a text that is far too long to be shown; none of any other.
fn cut(text: &str) -> Option<String> {
    let (end, _) = text.char_indices().nth(SHOWN)?;
    Some(format!("{} …", &text[..end]))
}

/// Puts members of something refused right, each as it is or as it was typed; it counts from then on if nothing else is wrong with it.
///
/// # Errors
/// Where it is not there any more, is nothing that has members, or more would be at fault than was.
pub fn mend(
    state: &State,
    aside: &Aside,
    stated: &Properties,
    at: Option<[f64; 2]>,
) -> Result<Edited, Refusal> {
    let what = format!("mend {}", aside.called);
    let was = value_of(state, aside).map(|value| members_of(&aside.file, value));
    let was = was.unwrap_or_default();
    let members: Properties = stated
        .iter()
        .map(|(name, value)| {
            let name = whole_name(&was, name);
            let member = as_member(&aside.file, name, value, was.get(name));
            (name.to_owned(), member)
        })
        .collect();
    let id = members.get("id").and_then(Value::as_str);
    if let Some(id) = id.filter(|id| aside.file == JOBS && state.opened.has_job(id)) {
        let text = format!("{id} is the id of another job. Give it an id that no other has.");
        return Err(Refusal::coded("D-NAMED", &text));
    }
    let at = at.filter(|_| aside.file == JOBS);
    let mut names: Vec<String> = members.keys().cloned().collect();
    // So the faults of a place call it.
    names.extend(at.map(|_| "geometry".to_owned()));
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    changed(state, aside, (what, &names), |found| {
        if !found.is_object() {
            let text = format!("{} is nothing that can be mended.", aside.called);
            return Err(Refusal::coded(
                "F-FEATURE",
                &format!("{text} Remove it, and add it anew."),
            ));
        }
        if is_features(&aside.file) {
            put_feature(found, members);
        } else {
            put(found, &members);
        }
        if let Some((at, feature)) = at.zip(found.as_object_mut()) {
            put_at(feature, at);
        }
        Ok(true)
    })
}

/// The name of a member of which the beginning may be all that is shown.
fn whole_name<'a>(members: &'a Properties, shown: &'a str) -> &'a str {
    let is_shown_so = |name: &&String| cut(name).is_some_and(|short| short == shown);
    let own = members.keys().find(is_shown_so);
    own.filter(|_| !members.contains_key(shown))
        .map_or(shown, String::as_str)
}

/// What was written for a member, as it stands in the file: what is a text by its member stays one,
/// whatever it looks like; of anything else a figure, a truth or a list is one.
fn as_member(file: &str, name: &str, value: &Value, was: Option<&Value>) -> Value {
    let known = match name {
        "title" | "notes" => Some(true),
        _ => takes_text(file, name),
    };
    let is_text = known.unwrap_or_else(|| was.is_some_and(Value::is_string));
    match value {
        Value::Number(number) if is_text => Value::String(number.to_string()),
        Value::String(typed) if !is_text => {
            let meant = serde_json::from_str(typed).ok();
            let meant = meant.filter(|meant| known.is_some() || is_as_typed(meant, typed));
            meant.unwrap_or_else(|| value.clone())
        }
        other => other.clone(),
    }
}

/// Whether nothing of what was typed is lost where it is a figure: not the zero of 1.10, nor a digit.
fn is_as_typed(meant: &Value, typed: &str) -> bool {
    let written = meant.to_string();
    !meant.is_number() || written == typed.trim()
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
    let what = format!("remove {}", aside.called);
    changed(state, aside, (what, &[]), |_| Ok(false))
}

/// Has the file hold what `change` makes of one in it, or without it where it says so.
fn changed(
    state: &State,
    aside: &Aside,
    (what, members): (String, &[&str]),
    change: impl FnOnce(&mut Value) -> Result<bool, Refusal>,
) -> Result<Edited, Refusal> {
    let gone = || {
        let text = format!(
            "{} in {} is not at fault any more.",
            aside.called, aside.file
        );
        Refusal::coded("D-AGAIN", &format!("{text} Nothing was changed."))
    };
    let value = value_of(state, aside).ok_or_else(gone)?;
    let before = saving::bytes_of(&state.opened, &aside.file);
    let mut file: Value = before
        .as_deref()
        .and_then(|bytes| serde_json::from_slice(without_mark(bytes)).ok())
        .ok_or_else(gone)?;
    let rows = list_mut(&mut file, &aside.list).ok_or_else(gone)?;
    // Of several that are alike the last is refused.
    let at = rows.iter().rposition(|row| row == value).ok_or_else(gone)?;
    let mut row = rows.remove(at);
    if change(&mut row)? {
        if row == *value {
            let text = format!("{} states that already. Nothing was changed.", aside.called);
            return Err(Refusal::coded("D-NOTHING", &text));
        }
        rows.insert(at, row);
    }
    put_in_place(
        state,
        what,
        (&aside.file, members),
        (before, written(&file)),
    )
}

/// What stands aside there; none if it is called otherwise by now.
fn value_of<'a>(state: &'a State, aside: &Aside) -> Option<&'a Value> {
    let kept = kept(&state.opened, &aside.file)?;
    let nth = aside.nth as usize;
    let called = kept.called.get(&aside.list)?.get(nth)?;
    (*called == aside.called).then(|| kept.set_aside.get(&aside.list)?.get(nth))?
}

fn put_in_place(
    state: &State,
    what: String,
    (file, written): (&str, &[&str]),
    (before, after): (Option<Vec<u8>>, Vec<u8>),
) -> Result<Edited, Refusal> {
    let change = of_file(&what, file, (before, after));
    let next = apply(state, &change)?;
    refuse_more_faults(&state.opened, &next.opened, (file, written))?;
    let jobs = fresh_jobs(&state.opened, &next.opened);
    Ok(Edited {
        what,
        state: next,
        jobs,
    })
}

/// What is at fault may stay so, for it is mended member by member, and one fault may have hidden others;
/// but what is written must be right, and nothing more may be left out for it.
fn refuse_more_faults(
    before: &Opened,
    after: &Opened,
    (file, written): (&str, &[&str]),
) -> Result<(), Refusal> {
    let faults = |opened: &Opened| -> Vec<Finding> {
        let all = opened.intake.iter().filter(|one| one.is_fault());
        all.filter(|one| one.place.file.as_deref() == Some(file))
            .cloned()
            .collect()
    };
    let old = faults(before);
    let mut fresh = faults(after);
    fresh.retain(|one| !old.contains(one));
    if set_aside(after, file) <= set_aside(before, file) {
        let is_written = |name: &String| written.contains(&name.as_str());
        fresh.retain(|one| one.place.property.as_ref().is_some_and(is_written));
        if fresh.is_empty() {
            return Ok(());
        }
    }
    let text = "Nothing was changed, since it would put more at fault.";
    Err(Refusal::because(text, &fresh))
}

/// How many of a file are left out.
fn set_aside(opened: &Opened, file: &str) -> usize {
    let lists = kept(opened, file).map(|kept| kept.set_aside.values());
    lists.into_iter().flatten().map(Vec::len).sum()
}

/// The jobs that count now and did not before.
fn fresh_jobs(before: &Opened, after: &Opened) -> Vec<String> {
    let jobs = after.prepared.programme.jobs.iter();
    let fresh = jobs.filter(|job| !before.has_job(job.id.as_str()));
    fresh.map(|job| job.id.to_string()).collect()
}
