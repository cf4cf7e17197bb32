//! Gangs and tips, from `gangs.json`.

use gangday_model::{Finding, Gang, GangId, Hours, LonLat, Mass, Seconds, Tip, TipId};
use serde_json::{Map, Value};

use crate::area::Area;
use crate::codes::{self, GANG, NounCodes, TIP};
use crate::features::id_text;
use crate::fields::{Fields, Span};
use crate::ids::Ids;
use crate::jobs::placed;
use crate::kept::{FileState, KeptFile};
use crate::ledger::Ledger;
use crate::tree;
use crate::words::{NearNames, describe, shorten};

pub(crate) const GANG_NAMES: &[&str] = &[
    "id",
    "name",
    "depot",
    "people",
    "tickets",
    "payload_kg",
    "volume_m3",
    "shift",
    "overtime_min",
    "days",
];

pub(crate) const TIP_NAMES: &[&str] = &["id", "name", "at"];

/// Gangs and tips of a file.
#[derive(Default)]
pub(crate) struct GangsRead {
    pub(crate) gangs: Vec<Gang>,
    pub(crate) tips: Vec<Tip>,
    pub(crate) kept: KeptFile,
    pub(crate) findings: Vec<Finding>,
}

/// Reads `gangs.json`; depots are judged by the area of the jobs.
pub(crate) fn read(bytes: &[u8], jobs: &Area) -> GangsRead {
    let mut ledger = Ledger::of(crate::GANGS);
    let Some(mut members) = object(bytes, &mut ledger) else {
        return GangsRead {
            gangs: Vec::new(),
            tips: Vec::new(),
            kept: KeptFile::in_state(FileState::Unreadable),
            findings: ledger.close(),
        };
    };
    let mut kept = KeptFile::in_state(FileState::Read);
    let list = list(&mut members, "gangs", &mut ledger);
    let gang_count = list.len();
    let mut all = Things {
        area: jobs,
        ledger: &mut ledger,
        kept: &mut kept,
        offset: 0,
    };
    let gangs = all.read("gangs", list, &GANG, &mut NearNames::to(GANG_NAMES), gang);
    all.offset = gang_count;
    let list = self::list(&mut members, "tips", all.ledger);
    let tips = all.read("tips", list, &TIP, &mut NearNames::to(TIP_NAMES), tip);
    kept.members = members;
    if gangs.is_empty() {
        let remedy = "Add a gang with an id, a depot and a shift under `gangs`.";
        ledger
            .enter(Finding::fault(codes::GANG_NONE, "There is no sound gang.", remedy).of("gangs"));
    }
    GangsRead {
        gangs,
        tips,
        kept,
        findings: ledger.close(),
    }
}

/// The outermost object of a file.
pub(crate) fn object(bytes: &[u8], ledger: &mut Ledger) -> Option<Map<String, Value>> {
    match tree::parse(bytes, ledger)? {
        Value::Object(members) => Some(members),
        other => {
            let text = format!("The file is {}, not an object.", describe(&other));
            ledger.enter(Finding::fault(
                codes::SHAPE,
                text,
                "Put what it holds between { and }.",
            ));
            None
        }
    }
}

fn list(members: &mut Map<String, Value>, name: &str, ledger: &mut Ledger) -> Vec<Value> {
    match members.shift_remove(name) {
        Some(Value::Array(items)) => items,
        None | Some(Value::Null) => Vec::new(),
        Some(other) => {
            let text = format!("`{name}` is {}, not a list.", describe(&other));
            ledger.enter(
                Finding::fault(
                    codes::SHAPE,
                    text,
                    format!("Write `{name}` as a list between [ and ]."),
                )
                .of(name),
            );
            Vec::new()
        }
    }
}

/// What findings call a gang or a tip: its id, or where it stands in its list, from 1.
fn called(item: &Value, index: usize, noun: &str) -> String {
    let id = item.get("id").and_then(id_text).map(|(id, _)| id);
    id.as_deref()
        .map_or_else(|| format!("{noun} {}", index + 1), shorten)
}

struct Things<'l> {
    area: &'l Area,
    ledger: &'l mut Ledger,
    kept: &'l mut KeptFile,
    offset: usize,
}

impl Things<'_> {
    fn read<T>(
        &mut self,
        list: &str,
        items: Vec<Value>,
        codes: &'static NounCodes,
        names: &mut NearNames,
        thing: fn(&mut Fields<'_>, String, &Area, &mut NearNames) -> T,
    ) -> Vec<T> {
        let mut ids = Ids::default();
        let mut things = Vec::new();
        for (index, item) in items.into_iter().enumerate() {
            let (read, findings) = self.one(&item, index, codes, &mut ids, names, thing);
            self.ledger.enter_all(self.offset + index, findings);
            match read {
                Some(read) => things.push(read),
                None => {
                    let called = called(&item, index, codes.noun);
                    self.kept.put_aside_called(list, called, item);
                }
            }
        }
        ids.note_numbers(codes.number_id, self.ledger);
        things
    }

    fn one<T>(
        &self,
        item: &Value,
        index: usize,
        codes: &'static NounCodes,
        ids: &mut Ids,
        names: &mut NearNames,
        thing: fn(&mut Fields<'_>, String, &Area, &mut NearNames) -> T,
    ) -> (Option<T>, Vec<Finding>) {
        let noun = codes.noun;
        let stated = item.get("id").and_then(id_text);
        let (id, number) = stated.map_or((None, false), |(id, number)| (Some(id), number));
        let label = called(item, index, noun);
        let Some(map) = item.as_object() else {
            let text = format!("{} stands where a {noun} belongs.", describe(item));
            let finding = Finding::fault(codes.kind, text, "Write an object between { and }.");
            return (None, vec![finding.at(label)]);
        };
        let mut fields = Fields::of(map, codes, label);
        let id = ids.claim(id, number, &mut fields);
        let read = thing(&mut fields, id.unwrap_or_default(), self.area, names);
        (fields.sound().then_some(read), fields.close())
    }
}

fn gang(fields: &mut Fields<'_>, id: String, area: &Area, names: &mut NearNames) -> Gang {
    let depot = place(fields, "depot", area);
    fields.need("people", "State how many people are in the gang.");
    let people = whole(fields, "people", 1, 100, " people").and_then(|n| u32::try_from(n).ok());
    fields.need("shift", "State the shift, as in [\"07:30\", \"16:30\"].");
    let payload = fields
        .number("payload_kg", &(0.0..=100_000.0), " kg")
        .map(Mass::from_kg);
    let minutes = fields
        .number("overtime_min", &(0.0..=1440.0), " min")
        .unwrap_or(0.0);
    Gang {
        name: fields.text("name").unwrap_or_else(|| id.clone()),
        id: GangId::new(id),
        depot,
        people: people.unwrap_or(1),
        tickets: fields.texts("tickets"),
        payload,
        volume_m3: fields.number("volume_m3", &(0.0..=1000.0), " m3"),
        shift: fields.hours("shift").unwrap_or(NO_HOURS),
        overtime: Seconds::from_seconds((minutes * 60.0).round() as i64),
        days: fields.dates("days"),
        extra: fields.rest(names),
    }
}

/// Stands for a shift with a fault, in a gang that is then set aside.
const NO_HOURS: Hours = Hours {
    from: chrono::NaiveTime::MIN,
    until: chrono::NaiveTime::MIN,
};

fn whole(
    fields: &mut Fields<'_>,
    name: &str,
    least: i64,
    most: i64,
    unit: &'static str,
) -> Option<i64> {
    fields.whole(name, &Span { least, most, unit })
}

fn tip(fields: &mut Fields<'_>, id: String, area: &Area, names: &mut NearNames) -> Tip {
    Tip {
        name: fields.text("name").unwrap_or_else(|| id.clone()),
        id: TipId::new(id),
        at: place(fields, "at", area),
        extra: fields.rest(names),
    }
}

fn place(fields: &mut Fields<'_>, name: &str, area: &Area) -> LonLat {
    fields.need(name, "State it as [longitude, latitude] in degrees.");
    let Some(value) = fields.get(name) else {
        return LonLat::new(0.0, 0.0);
    };
    let numbers: Option<Vec<f64>> = value
        .as_array()
        .map(|pair| pair.iter().filter_map(Value::as_f64).collect());
    let pair = match numbers.as_deref() {
        Some([x, y]) if value.as_array().is_some_and(|pair| pair.len() == 2) => Ok([*x, *y]),
        _ => {
            let text = format!("`{name}` is {}, not a pair of numbers.", describe(value));
            let remedy = "Write [longitude, latitude] in degrees.";
            Err(Box::new(
                Finding::fault(fields.codes().geometry, text, remedy).of(name),
            ))
        }
    };
    placed(pair, area, name, fields)
}
