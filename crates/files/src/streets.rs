//! Streets, from the features of `streets.geojson`.

use gangday_model::{Finding, LonLat, Street, StreetId};

use crate::area::{self, Area, Verdict};
use crate::codes::{self, STREET};
use crate::features::{self, Feature};
use crate::fields::{Fields, Span};
use crate::ids::Ids;
use crate::kept::KeptFile;
use crate::ledger::Ledger;
use crate::words::NearNames;

pub(crate) const NAMES: &[&str] = &[
    "name",
    "road_type",
    "speed_limit_mph",
    "width_m",
    "one_way",
    "flow_per_3_min",
    "traffic_sensitive",
    "restricted_until",
];

type Lines = Vec<Vec<[f64; 2]>>;

/// The streets of a file.
#[derive(Default)]
pub(crate) struct StreetsRead {
    pub(crate) streets: Vec<Street>,
    pub(crate) kept: KeptFile,
    pub(crate) findings: Vec<Finding>,
}

impl StreetsRead {
    /// Streets, what is kept and what was found.
    pub(crate) fn apart(self) -> (Vec<Street>, KeptFile, Vec<Finding>) {
        (self.streets, self.kept, self.findings)
    }
}

/// Reads `streets.geojson`.
pub(crate) fn read(bytes: &[u8]) -> StreetsRead {
    let mut ledger = Ledger::of(crate::STREETS);
    let features::Collection { features, mut kept } = features::collection(bytes, &mut ledger);
    let parsed: Vec<_> = features.iter().map(with_lines).collect();
    let sound = parsed
        .iter()
        .filter_map(|street| street.as_ref().ok()?.1.as_ref().ok());
    let area = Area::of(sound.filter_map(|lines| lines.first()?.first().copied()));

    let (mut ids, mut names) = (Ids::default(), NearNames::to(NAMES));
    let mut streets = Vec::new();
    let mut aside = Vec::new();
    for (index, street) in parsed.into_iter().enumerate() {
        let (street, findings) = match street {
            Ok((feature, lines)) => read_feature(
                &feature, index, lines, &area, &mut ids, &mut names, &mut kept,
            ),
            Err(finding) => (None, vec![finding.at(features::label(None, index))]),
        };
        ledger.enter_all(index, findings);
        match street {
            Some(street) => streets.push(street),
            None => aside.push(index),
        }
    }
    ids.note_numbers(STREET.number_id, &mut ledger);
    features::put_aside(features, &aside, &mut kept);
    StreetsRead {
        streets,
        kept,
        findings: ledger.close(),
    }
}

type WithLines<'a> = (Feature<'a>, Result<Lines, Box<Finding>>);

fn with_lines(value: &serde_json::Value) -> Result<WithLines<'_>, Box<Finding>> {
    let feature = features::feature(value)?;
    let lines = feature.lines(&STREET);
    Ok((feature, lines))
}

fn read_feature(
    feature: &Feature<'_>,
    index: usize,
    lines: Result<Lines, Box<Finding>>,
    area: &Area,
    ids: &mut Ids,
    names: &mut NearNames,
    kept: &mut KeptFile,
) -> (Option<Street>, Vec<Finding>) {
    let label = features::label(feature.id.as_deref(), index);
    let mut fields = Fields::of(feature.properties, &STREET, label);
    let id = ids.claim(feature.id.clone(), feature.number_id, &mut fields);
    let lines = placed(lines, area, &mut fields);
    let street = street(&mut fields, id.unwrap_or_default(), lines, names);
    if !fields.sound() {
        return (None, fields.close());
    }
    if !feature.beside.is_empty() {
        kept.beside
            .insert(street.id.as_str().to_owned(), feature.beside.clone());
    }
    (Some(street), fields.close())
}

fn street(
    fields: &mut Fields<'_>,
    id: String,
    lines: Vec<Vec<LonLat>>,
    names: &mut NearNames,
) -> Street {
    Street {
        id: StreetId::new(id),
        name: fields.text("name"),
        road_type: whole(fields, "road_type", 0, 4, "").and_then(|kind| u8::try_from(kind).ok()),
        speed_limit_mph: whole(fields, "speed_limit_mph", 5, 100, " mph"),
        width_m: fields.number("width_m", &(0.5..=60.0), " m"),
        one_way: fields.flag("one_way").unwrap_or(false),
        flow_per_3_min: fields.number("flow_per_3_min", &(0.0..=1000.0), " vehicles"),
        traffic_sensitive: fields.hours_list("traffic_sensitive"),
        restricted_until: fields.date("restricted_until"),
        lines,
        extra: fields.rest(names),
    }
}

fn whole(
    fields: &mut Fields<'_>,
    name: &str,
    least: i64,
    most: i64,
    unit: &'static str,
) -> Option<u32> {
    let number = fields.whole(name, &Span { least, most, unit })?;
    u32::try_from(number).ok()
}

fn placed(
    lines: Result<Lines, Box<Finding>>,
    area: &Area,
    fields: &mut Fields<'_>,
) -> Vec<Vec<LonLat>> {
    let lines = match lines {
        Ok(lines) => lines,
        Err(finding) => {
            fields.enter(*finding);
            return Vec::new();
        }
    };
    if lines.is_empty() || lines.iter().any(|line| line.len() < 2) {
        let text = "A line of the street has fewer than two points.".to_owned();
        fields.fault(
            codes::STREET_LINE,
            "geometry",
            text,
            "Draw the line again, or remove the street.",
        );
        return Vec::new();
    }
    judge(&lines, area, fields);
    let place = |pair: &[f64; 2]| LonLat::new(pair[0], pair[1]);
    lines
        .iter()
        .map(|line| line.iter().map(place).collect())
        .collect()
}

/// One finding for the first point that can't be right; a street that is merely far is kept.
fn judge(lines: &Lines, area: &Area, fields: &mut Fields<'_>) {
    let mut points = lines
        .iter()
        .flatten()
        .map(|pair| (area.judge(*pair), *pair));
    let Some((verdict, pair)) = points.find(|(verdict, _)| !matches!(verdict, Verdict::Fine(_)))
    else {
        return;
    };
    let Some(found) = area::finding(verdict, pair, &STREET) else {
        return;
    };
    let found = match verdict {
        Verdict::Far(_) => Finding::warning(&found.code, found.text, found.remedy),
        _ => found,
    };
    fields.enter(found.of("geometry"));
}
