//! Who is to be named wherever a programme's data is shown.

use std::collections::BTreeSet;

use crate::prepared::Prepared;

/// Everybody whom the road network, streets or jobs name, each once.
#[must_use]
pub fn attributions(prepared: &Prepared) -> Vec<String> {
    let programme = &prepared.programme;
    let streets = programme.streets.iter().map(|street| &street.extra);
    let jobs = programme.jobs.iter().map(|job| &job.extra);
    let stated = streets
        .chain(jobs)
        .filter_map(|extra| extra.get("attribution")?.as_str())
        .map(ToOwned::to_owned);
    let network = prepared.network.as_ref();
    let source = network.and_then(|network| network.source.as_ref());
    let of_network = source.map(|source| format!("{}, {}", source.attribution, source.licence));
    let all: BTreeSet<String> = stated.chain(of_network).collect();
    all.into_iter().collect()
}

/// The same in one line, to stand in the corner of a map; none where nobody is to be named.
#[must_use]
pub fn in_one_line(prepared: &Prepared) -> Option<String> {
    let all = attributions(prepared);
    (!all.is_empty()).then(|| all.join("; "))
}
