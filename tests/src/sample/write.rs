//! Writes programme folders, feature by feature, so that size costs time and no memory.

use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::Path;

use serde_json::{Value, json};

use super::chance::Chance;
use super::crew;
use super::job::{Hindrance, Job, draw, hinder};
use super::neighbourhood::{JOBS, Patchwork};
use super::plane::{Point, at, lon_lat};
use super::rows;
use super::street::{Kind, Street};
use super::town::{self, Patch};
use super::week::{TownWeek, spread, tips};

/// What was written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Written {
    /// Jobs.
    pub jobs: usize,
    /// Streets.
    pub streets: usize,
    /// Gangs.
    pub gangs: usize,
}

/// The most jobs that the open sea has room for.
pub const MOST_JOBS: usize = 100_000;

/// Writes a week of the town into a folder, which is made if it is missing.
///
/// # Errors
/// Where the folder or a file in it can't be written.
pub fn write_town(folder: &Path, week: TownWeek) -> io::Result<Written> {
    let streets = town::streets();
    let jobs = week.jobs(&streets);
    let gangs = week.gangs();
    let written = Written {
        jobs: jobs.len(),
        streets: streets.len(),
        gangs: gangs.len(),
    };
    let mut files = Files::create(folder)?;
    for street in &streets {
        files.streets.add(&street_feature(street))?;
    }
    for job in &jobs {
        files.jobs.add(&job.feature())?;
    }
    for patch in town::backdrop() {
        files.backdrop.add(&patch_feature(&patch))?;
    }
    files.close()?;
    tables(folder, &gangs, &tips())?;
    Ok(written)
}

/// Writes a programme of up to `MOST_JOBS` jobs into a folder, which is made if it is missing.
///
/// # Errors
/// Where the folder or a file in it can't be written.
pub fn write_patchwork(folder: &Path, jobs: usize, seed: u64) -> io::Result<Written> {
    let all = Patchwork::of(jobs, seed);
    let mut written = Written::default();
    let (mut gangs, mut tips) = (Vec::new(), Vec::new());
    let mut files = Files::create(folder)?;
    for tile in 0..all.tiles() {
        let streets = all.streets(tile);
        for street in &streets {
            files.streets.add(&street_feature(street))?;
        }
        let wanted = JOBS.min(jobs - written.jobs);
        for job in tile_jobs(&streets, written.jobs, wanted, seed) {
            files.jobs.add(&job.feature())?;
        }
        written.jobs += wanted;
        written.streets += streets.len();
        let middle = all.middle(tile);
        for n in 0..(wanted * 5).div_ceil(JOBS) {
            let yard = middle + at(if n.is_multiple_of(2) { 190.0 } else { -210.0 }, 130.0);
            gangs.push(crew::gang(gangs.len(), yard));
        }
        tips.push(crew::tip(
            tile,
            &format!("Tip {}", tile + 1),
            middle + at(-150.0, -320.0),
        ));
        files.backdrop.add(&patch_feature(&green(tile, middle)))?;
    }
    files.close()?;
    written.gangs = gangs.len();
    tables(folder, &gangs, &tips)?;
    Ok(written)
}

/// The jobs of one tile: a few on one street after another, one in sixteen hindered.
fn tile_jobs(streets: &[Street], before: usize, wanted: usize, seed: u64) -> Vec<Job> {
    let mut chance = Chance::new(seed, 7_000_000_000 + before as u64);
    let mut jobs = Vec::new();
    while jobs.len() < wanted {
        let street = &streets[chance.below(streets.len())];
        let count = if street.kind == Kind::Close {
            1
        } else {
            1 + chance.below(4)
        };
        for part in spread(count.min(wanted - jobs.len()), &mut chance) {
            let number = before + jobs.len() + 1;
            let mut job = draw(format!("J{number:06}"), street, part, &mut chance);
            if number.is_multiple_of(16) {
                hinder(&mut job, chance.pick(&HINDRANCES));
            }
            jobs.push(job);
        }
    }
    jobs
}

const HINDRANCES: [Hindrance; 4] = [
    Hindrance::Ticket,
    Hindrance::Hours,
    Hindrance::TooEarly,
    Hindrance::TooLate,
];

/// A small green in the middle of a tile.
fn green(tile: usize, middle: Point) -> Patch {
    let edge = [
        (60.0, 60.0),
        (150.0, 70.0),
        (160.0, 150.0),
        (70.0, 160.0),
        (60.0, 60.0),
    ];
    let ring = edge.map(|(x, y)| middle + at(x, y)).to_vec();
    Patch {
        kind: "green",
        name: format!("Green {}", tile + 1),
        ring,
    }
}

fn street_feature(street: &Street) -> Value {
    let standing = street.kind.standing();
    let line: Vec<[f64; 2]> = street.line.iter().copied().map(lon_lat).collect();
    let mut properties = json!({
        "name": street.name,
        "road_type": standing.road_type,
        "speed_limit_mph": standing.mph,
        "width_m": standing.width,
        "one_way": street.kind == Kind::OneWay,
        "flow_per_3_min": street.flow(),
        "heavy_per_hour": street.heavy(),
    });
    if let Some(width) = street.kind.footway_width() {
        properties["footway_width_m"] = json!(width);
    }
    if let Some(sight) = street.visibility() {
        properties["visibility_m"] = json!(sight);
    }
    if !street.kind.sensitive().is_empty() {
        properties["traffic_sensitive"] = json!(street.kind.sensitive());
    }
    if let Some(date) = street.restricted_until {
        properties["restricted_until"] = json!(date);
    }
    if street.bridge {
        properties["bridge"] = json!(true);
    }
    json!({
        "type": "Feature",
        "id": street.id,
        "geometry": {"type": "LineString", "coordinates": line},
        "properties": properties,
    })
}

fn patch_feature(patch: &Patch) -> Value {
    let ring: Vec<[f64; 2]> = patch.ring.iter().copied().map(lon_lat).collect();
    json!({
        "type": "Feature",
        "geometry": {"type": "Polygon", "coordinates": [ring]},
        "properties": {"kind": patch.kind, "name": patch.name},
    })
}

/// The three files that grow with the programme.
struct Files {
    jobs: Features,
    streets: Features,
    backdrop: Features,
}

impl Files {
    fn create(folder: &Path) -> io::Result<Self> {
        fs::create_dir_all(folder)?;
        Ok(Self {
            jobs: Features::create(&folder.join("jobs.geojson"))?,
            streets: Features::create(&folder.join("streets.geojson"))?,
            backdrop: Features::create(&folder.join("backdrop.geojson"))?,
        })
    }

    fn close(self) -> io::Result<()> {
        self.jobs.close()?;
        self.streets.close()?;
        self.backdrop.close()
    }
}

/// A feature collection on its way to disk, one feature a line.
struct Features {
    out: BufWriter<File>,
    any: bool,
}

impl Features {
    fn create(path: &Path) -> io::Result<Self> {
        let mut out = BufWriter::new(File::create(path)?);
        out.write_all(b"{\"type\": \"FeatureCollection\", \"features\": [")?;
        Ok(Self { out, any: false })
    }

    fn add(&mut self, feature: &Value) -> io::Result<()> {
        self.out.write_all(if self.any { b",\n" } else { b"\n" })?;
        self.any = true;
        serde_json::to_writer(&mut self.out, feature)?;
        Ok(())
    }

    fn close(mut self) -> io::Result<()> {
        self.out.write_all(b"\n]}\n")?;
        self.out.flush()
    }
}

/// Writes the files that people read and change: laid out in lines.
fn tables(folder: &Path, gangs: &[Value], tips: &[Value]) -> io::Result<()> {
    let gangs = json!({"gangs": gangs, "tips": tips});
    let all = [
        ("gangs.json", gangs),
        ("method.json", rows::method()),
        ("materials.json", rows::materials()),
        ("week.json", rows::week()),
    ];
    for (name, value) in all {
        let mut out = BufWriter::new(File::create(folder.join(name))?);
        serde_json::to_writer_pretty(&mut out, &value)?;
        out.write_all(b"\n")?;
        out.flush()?;
    }
    Ok(())
}
