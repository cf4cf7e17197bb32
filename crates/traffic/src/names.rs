//! What streets are called in words.

use std::collections::HashMap;

use gangday_model::{Street, StreetId};

/// What a street without a name is called, where no named one is joined to it.
pub const UNNAMED: &str = "an unnamed road";

/// A place on the map, exactly.
type Spot = [u64; 2];

/// What each street is called: by its name, else by the named street that it leads off.
#[derive(Clone, Debug, Default)]
pub struct StreetNames {
    words: HashMap<StreetId, String>,
}

impl StreetNames {
    /// The names of streets. One without a name is called after the named street that is fewest
    /// streets away, over places that their lines share; of several, after the one met first along
    /// its line.
    ///
    /// ```
    /// use gangday_model::{LonLat, Street};
    /// use gangday_traffic::StreetNames;
    /// let street = |id: &str, name: Option<&str>, line: [f64; 2]| Street {
    ///     id: id.into(), name: name.map(ToOwned::to_owned), road_type: None, speed_limit_mph: None,
    ///     width_m: None, one_way: false, flow_per_3_min: None, traffic_sensitive: Vec::new(),
    ///     restricted_until: None, extra: serde_json::Map::new(),
    ///     lines: vec![line.map(|lon| LonLat::new(lon, 53.0)).to_vec()],
    /// };
    /// let streets = [
    ///     street("osm-w1", Some("Oak Lane"), [0.0, 0.1]),
    ///     street("osm-w2", None, [0.1, 0.2]),
    /// ];
    /// let names = StreetNames::of(&streets);
    /// assert_eq!(names.word(&"osm-w2".into()), "an unnamed road off Oak Lane");
    /// ```
    #[must_use]
    pub fn of(streets: &[Street]) -> Self {
        let mut called: Vec<Option<&str>> = streets
            .iter()
            .map(|street| street.name.as_deref())
            .collect();
        let unnamed: Vec<usize> = (0..streets.len())
            .filter(|at| called[*at].is_none())
            .collect();
        let met = meetings(streets, &unnamed);
        let mut left = unnamed.clone();
        while !left.is_empty() {
            let off = |at: &usize| {
                let mut others = spots(&streets[*at]).flat_map(|spot| &met[&spot]);
                others.find_map(|other| Some((*at, called[*other]?)))
            };
            let found: Vec<(usize, &str)> = left.iter().filter_map(off).collect();
            if found.is_empty() {
                break;
            }
            found.iter().for_each(|(at, name)| called[*at] = Some(name));
            left.retain(|at| called[*at].is_none());
        }
        let words = streets.iter().zip(&called).map(|(street, called)| {
            let word = match (&street.name, called) {
                (Some(name), _) => name.clone(),
                (None, Some(off)) => format!("{UNNAMED} off {off}"),
                (None, None) => UNNAMED.to_owned(),
            };
            (street.id.clone(), word)
        });
        Self {
            words: words.collect(),
        }
    }

    /// What a street is called; one that is not there is an unnamed road.
    #[must_use]
    pub fn word(&self, street: &StreetId) -> &str {
        self.words.get(street).map_or(UNNAMED, String::as_str)
    }
}

/// The streets that come to each place of the unnamed ones, in order.
fn meetings(streets: &[Street], unnamed: &[usize]) -> HashMap<Spot, Vec<usize>> {
    let places = unnamed.iter().flat_map(|at| spots(&streets[*at]));
    let mut met: HashMap<Spot, Vec<usize>> = places.map(|spot| (spot, Vec::new())).collect();
    if !met.is_empty() {
        for (number, street) in streets.iter().enumerate() {
            for spot in spots(street) {
                if let Some(there) = met.get_mut(&spot) {
                    there.push(number);
                }
            }
        }
    }
    met
}

fn spots(street: &Street) -> impl Iterator<Item = Spot> + '_ {
    let places = street.lines.iter().flatten();
    places.map(|at| [at.lon().to_bits(), at.lat().to_bits()])
}
