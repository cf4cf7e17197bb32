//! Rows of a list that the user gave a place on the map.

use gangday_files::{List, PointMapping};
use gangday_ground::Plane;
use gangday_model::LonLat;

use crate::view::RowPlace;

/// What the columns are called that such places are put in where the list has none.
const ADDED: [&str; 2] = ["Longitude", "Latitude"];

/// The list with these places in the columns that state places: eastings and northings to a
/// centimetre, or degrees. A list without such columns gets them, and its mapping names them.
pub fn with_places(
    mut list: List,
    mut mapping: PointMapping,
    places: &[RowPlace],
) -> (List, PointMapping) {
    if places.is_empty() {
        return (list, mapping);
    }
    let pair = |list: &List, names: [&Option<String>; 2]| {
        let [x, y] = names.map(|name| name.as_deref().and_then(|name| list.column(name)));
        x.zip(y)
    };
    let grid = pair(&list, [&mapping.easting, &mapping.northing]);
    let degrees = pair(&list, [&mapping.lon, &mapping.lat]);
    let (x, y) = grid.or(degrees).unwrap_or_else(|| {
        [mapping.lon, mapping.lat] = add_columns(&mut list).map(Some);
        (list.columns.len() - 2, list.columns.len() - 1)
    });
    for place in places {
        let Some(cells) = cells(place, grid.is_some()) else {
            continue;
        };
        let Some(row) = list.rows.get_mut(place.row as usize) else {
            continue;
        };
        for (at, cell) in [x, y].into_iter().zip(cells) {
            if let Some(there) = row.get_mut(at) {
                *there = cell;
            }
        }
    }
    (list, mapping)
}

/// Two more columns, empty but for their names, which no other column has.
fn add_columns(list: &mut List) -> [String; 2] {
    let names = ADDED.map(|name| {
        let mut name = name.to_owned();
        while list.column(&name).is_some() {
            name.push_str(" on the map");
        }
        name
    });
    for row in &mut list.rows {
        row.resize(list.columns.len(), String::new());
        row.extend([String::new(), String::new()]);
    }
    list.columns.extend(names.clone());
    names
}

/// A place as two cells state it; none where it is nowhere, or off the grid that the list is on.
fn cells(place: &RowPlace, on_grid: bool) -> Option<[String; 2]> {
    let [lon, lat] = place.at;
    let at = LonLat::checked(lon, lat)?;
    if !on_grid {
        return Some([format!("{lon:.7}"), format!("{lat:.7}")]);
    }
    let metres = Plane::national_grid().to_plane(at)?;
    Some([
        format!("{:.2}", metres.east_m()),
        format!("{:.2}", metres.north_m()),
    ])
}

#[cfg(test)]
mod tests {
    use super::{List, PointMapping, RowPlace, with_places};

    fn list(columns: [&str; 3]) -> List {
        List {
            columns: columns.map(str::to_owned).to_vec(),
            rows: vec![
                ["A", "1", "2"].map(str::to_owned).to_vec(),
                ["B", "", ""].map(str::to_owned).to_vec(),
            ],
            above: 0,
        }
    }

    fn places(row: u32, at: [f64; 2]) -> [RowPlace; 1] {
        [RowPlace { row, at }]
    }

    #[test]
    fn a_place_is_put_in_the_columns_of_degrees() {
        let mapping = PointMapping {
            lon: Some("Long".to_owned()),
            lat: Some("Lat".to_owned()),
            ..PointMapping::default()
        };
        let found = with_places(
            list(["Id", "Long", "Lat"]),
            mapping,
            &places(1, [-1.549_1, 53.800_8]),
        );
        assert_eq!(found.0.rows[1], ["B", "-1.5491000", "53.8008000"]);
        assert_eq!(found.0.rows[0], ["A", "1", "2"]);
    }

    /// # Source
    /// Ordnance Survey's OSTN15 test point TP16: 53.34480280 N, 2.64049321 W is 357455.843,
    /// 383290.436.
    #[test]
    fn a_place_is_put_on_the_grid_where_the_list_is_on_it() {
        let mapping = PointMapping {
            easting: Some("E".to_owned()),
            northing: Some("N".to_owned()),
            ..PointMapping::default()
        };
        let at = [-2.640_493_21, 53.344_802_80];
        let (list, _) = with_places(list(["Id", "E", "N"]), mapping, &places(1, at));
        assert_eq!(list.rows[1], ["B", "357455.84", "383290.44"]);
    }

    #[test]
    fn a_list_without_such_columns_gets_them() {
        let (list, mapping) = with_places(
            list(["Id", "Longitude", "What"]),
            PointMapping::default(),
            &places(0, [-1.5, 53.8]),
        );
        assert_eq!(list.columns[3..], ["Longitude on the map", "Latitude"]);
        assert_eq!(list.rows[0][3..], ["-1.5000000", "53.8000000"]);
        assert_eq!(list.rows[1][3..], ["", ""]);
        assert_eq!(mapping.lon.as_deref(), Some("Longitude on the map"));
    }

    #[test]
    fn what_is_nowhere_or_beyond_the_list_changes_nothing() {
        let before = list(["Id", "Long", "Lat"]);
        let mapping = PointMapping {
            lon: Some("Long".to_owned()),
            lat: Some("Lat".to_owned()),
            ..PointMapping::default()
        };
        for places in [places(7, [-1.5, 53.8]), places(0, [f64::NAN, 53.8])] {
            let (after, _) = with_places(before.clone(), mapping.clone(), &places);
            assert_eq!(after, before);
        }
    }
}
