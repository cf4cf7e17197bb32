//! Lists whose places are eastings and northings of the British National Grid.

use gangday_files::{List, PointMapping};
use gangday_ground::Plane;
use gangday_model::{Finding, PlanePoint};

/// What the columns are called that hold degrees worked out from eastings and northings.
const FROM_GRID: [&str; 2] = [
    "longitude of the grid reference",
    "latitude of the grid reference",
];

/// The list with degrees in place of eastings and northings, if its mapping names those.
pub fn by_degrees(
    bytes: &[u8],
    list: Option<&List>,
    mapping: &PointMapping,
) -> (Vec<u8>, PointMapping) {
    let columns = list.zip(mapping.easting.as_deref().zip(mapping.northing.as_deref()));
    let columns = columns.and_then(|(list, (easting, northing))| {
        Some((list, list.column(easting)?, list.column(northing)?))
    });
    let Some((list, easting, northing)) = columns else {
        return (bytes.to_vec(), mapping.clone());
    };
    let mut list = list.clone();
    let grid = Plane::national_grid();
    list.columns.extend(FROM_GRID.map(str::to_owned));
    for row in &mut list.rows {
        let metres = |at: usize| {
            row.get(at)?
                .trim()
                .replace(',', "")
                .parse::<f64>()
                .ok()
                .filter(|metres| metres.is_finite())
        };
        let pair = metres(easting).zip(metres(northing));
        let place =
            pair.and_then(|(east, north)| grid.to_lonlat(PlanePoint::from_metres(east, north)));
        // What is no grid reference stays as it is, for the reader to say so of the cell that is none.
        let as_read = |at: usize| metres(at).map_or_else(|| row[at].clone(), |own| own.to_string());
        let cells = place.map_or_else(
            || [easting, northing].map(as_read),
            |place| [place.lon().to_string(), place.lat().to_string()],
        );
        row.extend(cells);
    }
    let mut mapping = mapping.clone();
    [mapping.lon, mapping.lat] = FROM_GRID.map(|name| Some(name.to_owned()));
    (list.to_csv(), mapping)
}

/// A finding about a list that is read by this mapping: where its degrees were worked out of eastings and northings,
/// in those columns and in metres.
pub fn in_metres(mut finding: Finding, mapping: &PointMapping) -> Finding {
    if mapping.lon.as_deref() != Some(FROM_GRID[0]) {
        return finding;
    }
    let own = [&mapping.easting, &mapping.northing].map(Option::as_deref);
    for (worked_out, own) in FROM_GRID.into_iter().zip(own) {
        let Some(own) = own.filter(|_| finding.place.property.as_deref() == Some(worked_out))
        else {
            continue;
        };
        if let Some(said) = finding.text.strip_suffix("of degrees.") {
            finding.text = format!("{}of metres.", said.replacen(worked_out, own, 1));
        }
        finding.place.property = Some(own.to_owned());
        "Write metres of the British National Grid, as in 430000.".clone_into(&mut finding.remedy);
    }
    if let ("J-GLOBE", [Some(_), Some(_)]) = (finding.code.as_str(), own) {
        finding.text = finding
            .text
            .replace("on the globe", "on the British National Grid");
        "Write eastings and northings in full, in metres, as in 430000 and 433000."
            .clone_into(&mut finding.remedy);
    }
    finding
}
