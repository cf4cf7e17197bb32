//! The addresses of a network in few bytes.

use std::collections::HashMap;

use gangday_model::{Address, LonLat};
use serde::{Deserialize, Serialize};

use super::{place, steps};

/// Streets, and the addresses in order.
#[derive(Serialize, Deserialize)]
pub(super) struct Book {
    streets: Vec<String>,
    rows: Vec<Row>,
}

/// Street, counted from 1; number; steps east and north from the address before.
#[derive(Serialize, Deserialize)]
struct Row(usize, String, i64, i64);

/// What is written of addresses; nothing where there are none.
pub(super) fn written(addresses: &[Address]) -> Option<Book> {
    let mut numbers: HashMap<&str, usize> = HashMap::new();
    let mut streets = Vec::new();
    let (mut lon, mut lat) = (0, 0);
    let mut rows = Vec::with_capacity(addresses.len());
    for address in addresses {
        let street = address.street.as_deref().map_or(0, |street| {
            *numbers.entry(street).or_insert_with(|| {
                streets.push(street.to_owned());
                streets.len()
            })
        });
        let [east, north] = steps(address.at).map(i64::from);
        rows.push(Row(street, address.number.clone(), east - lon, north - lat));
        (lon, lat) = (east, north);
    }
    (!rows.is_empty()).then_some(Book { streets, rows })
}

/// The addresses; none where a number leads to nothing, or off the globe.
pub(super) fn read(book: Book) -> Option<Vec<Address>> {
    let (mut lon, mut lat) = (0_i64, 0_i64);
    let mut addresses = Vec::with_capacity(book.rows.len());
    for Row(street, number, east, north) in book.rows {
        lon = lon.checked_add(east)?;
        lat = lat.checked_add(north)?;
        let at: LonLat = place(i32::try_from(lon).ok()?, i32::try_from(lat).ok()?)?;
        let street = match street {
            0 => None,
            stated => Some(book.streets.get(stated - 1)?.clone()),
        };
        addresses.push(Address { at, number, street });
    }
    Some(addresses)
}
