//! Reads a map extract by the program's own reader and prints its `Network` as serde writes it, for
//! the road benches and the reference beside them:
//!
//! ```text
//! cargo run --release -p gangday-files --example network_of -- area.osm.pbf > network.json
//! ```

use std::error::Error;
use std::fs::File;
use std::io::{BufWriter, Write as _};

use gangday_files::read_osm;

fn main() -> Result<(), Box<dyn Error>> {
    let file = std::env::args().nth(1).ok_or("name a map extract")?;
    let intake = read_osm(&file, &mut File::open(&file)?, &mut |_| {});
    let network = intake.network.ok_or("nothing of it can be used")?;
    let mut out = BufWriter::new(std::io::stdout().lock());
    serde_json::to_writer(&mut out, &network)?;
    out.flush()?;
    Ok(())
}
