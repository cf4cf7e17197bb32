//! A map extract brings a programme its streets and its road network.

use std::fs::File;
use std::io::{Read, Seek};
use std::path::Path;
use std::sync::Arc;

use gangday_files::{
    GANGS, JOBS, MATERIALS, METHOD, NETWORK, OsmIntake, Parts, STREETS, StreetsMerged, WEEK,
    is_osm_pbf, merge_streets, read_osm, write_network,
};
use gangday_model::{Finding, Network};
use gangday_store::Home;
use schemars::JsonSchema;
use serde::Serialize;

use crate::opened::{Opened, PREPARED, RoadFiles, refused};
use crate::refusal::views;
use crate::view::{FindingView, ProgressView, Refusal};
use crate::watching::Watch;
use crate::{saving, words};

/// What the import of a map extract did.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ExtractReport {
    /// Whether the extract could be used; what was left out of it is in the findings.
    pub sound: bool,
    /// One line.
    pub summary: String,
    /// Streets that are new.
    pub streets_added: usize,
    /// Streets of an earlier import that have changed.
    pub streets_updated: usize,
    /// Streets of an earlier import that are as they were.
    pub streets_unchanged: usize,
    /// Junctions of the road network.
    pub junctions: usize,
    /// Stretches of road and path between them.
    pub links: usize,
    /// Turns that are forbidden or ordered, barriers among them.
    pub turns: usize,
    /// Addresses, by which what a closure cuts off is named.
    pub addresses: usize,
    /// Who is to be named wherever the data is shown.
    pub attribution: String,
    /// What somebody should know of it.
    pub findings: Vec<FindingView>,
}

/// Whether a file is a map extract: it begins like one, or is called like one.
#[must_use]
pub fn is_extract(file: &Path) -> bool {
    let mut start = Vec::new();
    let read = File::open(file).and_then(|open| open.take(64).read_to_end(&mut start));
    let is_called = file
        .extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("pbf"));
    is_called || (read.is_ok() && is_osm_pbf(&start))
}

/// Brings the streets and the road network of a map extract into a programme folder, both or
/// neither. `watch` hears how much of the extract is read.
///
/// # Errors
/// Where nothing of it can be used, the folder's own streets can't be read, or a file can't be read
/// or written; the folder is then as it was.
pub fn import_extract(
    file: &Path,
    into: &Path,
    watch: &mut dyn FnMut(&ProgressView),
) -> Result<ExtractReport, Refusal> {
    let mut source = File::open(file).map_err(|error| {
        let path = file.display();
        Refusal::coded(
            "F-READ",
            &format!("{path} can't be read: {error}. Check the path and its permissions."),
        )
    })?;
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let extract = read(&name, &mut source, &mut |part| watch(&progress(part)))?;
    let mut home = Home::create(into).map_err(|error| refused(&error))?;
    let merged = merge(home.get(STREETS), &extract)?;
    let files = [
        (STREETS, merged.bytes.clone()),
        (NETWORK, write_network(&extract.network)),
    ];
    home.save(&files).map_err(|error| refused(&error))?;
    if let Some(kept) = Opened::from_path(into)?.prepared.kept_roads() {
        let kept = [(PREPARED, kept)];
        home.save(&kept).map_err(|error| refused(&error))?;
    }
    Ok(report(&name, &extract, &merged))
}

/// The programme with the streets and the network of a map extract, and what came of it in a few
/// words; findings go with it. `watch` hears how far it is, and may stop it between its steps; while the
/// extract is read, by the source that can be read no further.
///
/// # Errors
/// Where nothing of it can be used, the programme's own streets can't be read, or it was stopped.
pub fn into_watched<R: Read + Seek>(
    opened: &Opened,
    name: &str,
    source: &mut R,
    watch: Watch<'_>,
) -> Result<(Opened, String), Refusal> {
    let reading = watch.part(0.0, 0.6);
    let extract = read(name, source, &mut |part| {
        // Whoever stops it lets the source be read no further.
        reading.at(part, READING).ok();
    })?;
    watch.at(0.6, "Putting its streets beside your own")?;
    let files = saving::programme_files(opened);
    let get = |name: &str| {
        let file = files.iter().find(|(known, _)| *known == name)?;
        Some(file.1.as_slice())
    };
    let merged = merge(get(STREETS), &extract)?;
    watch.at(0.65, "Writing its roads down")?;
    let network = write_network(&extract.network);
    let parts = Parts {
        jobs: get(JOBS),
        gangs: get(GANGS),
        streets: Some(&merged.bytes),
        method: get(METHOD),
        materials: get(MATERIALS),
        week: get(WEEK),
    };
    let programme = &opened.prepared.programme;
    let backdrop = opened.backdrop.as_deref().map(str::as_bytes);
    let roads = RoadFiles {
        network: Some(&network),
        prepared: None,
        before: None,
    };
    watch.at(0.7, "Making the roads ready")?;
    let mut brought = Opened::on_roads(&programme.name, &parts, backdrop, roads);
    brought.carry_over(opened);
    let intake = Arc::make_mut(&mut brought.intake);
    intake.extend(extract.findings.iter().chain(&merged.findings).cloned());
    watch.at(0.95, "Putting it into the programme")?;
    Ok((brought, report(name, &extract, &merged).summary))
}

/// An extract of which something can be used.
struct Extract {
    network: Network,
    streets: Vec<gangday_model::Street>,
    findings: Vec<Finding>,
}

fn read<R: Read + Seek>(
    name: &str,
    source: &mut R,
    watch: &mut dyn FnMut(f64),
) -> Result<Extract, Refusal> {
    let OsmIntake {
        network,
        streets,
        findings,
        ..
    } = read_osm(name, source, watch);
    let Some(network) = network else {
        let text = format!("Nothing of {name} can be used.");
        return Err(Refusal::because(&text, &findings));
    };
    Ok(Extract {
        network,
        streets,
        findings,
    })
}

/// What is said while an extract is read.
const READING: &str = "Reading the map extract";

/// How much of an extract is read.
pub fn progress(fraction: f64) -> ProgressView {
    ProgressView {
        running: true,
        reading: true,
        title: "Adding streets".to_owned(),
        fraction,
        words: READING.to_owned(),
        trace: Vec::new(),
        planned: 0,
        of: 0,
    }
}

fn merge(existing: Option<&[u8]>, extract: &Extract) -> Result<StreetsMerged, Refusal> {
    merge_streets(existing, &extract.streets).map_err(|faults| {
        let text = "The programme's own streets can't be read; mend them before adding others.";
        Refusal::because(text, &faults)
    })
}

fn report(name: &str, extract: &Extract, merged: &StreetsMerged) -> ExtractReport {
    let network = &extract.network;
    let findings: Vec<Finding> = extract
        .findings
        .iter()
        .chain(&merged.findings)
        .cloned()
        .collect();
    let added = words::count(merged.added, "street", "streets");
    ExtractReport {
        sound: true,
        summary: format!(
            "{added} added from {name}, {} changed, {} as before; {} between {}, {}. {}",
            merged.updated,
            merged.unchanged,
            words::count(
                network.links.len(),
                "stretch of road or path",
                "stretches of road and path"
            ),
            words::count(network.junctions.len(), "junction", "junctions"),
            words::count(network.addresses.len(), "address", "addresses"),
            gangday_files::ATTRIBUTION,
        ),
        streets_added: merged.added,
        streets_updated: merged.updated,
        streets_unchanged: merged.unchanged,
        junctions: network.junctions.len(),
        links: network.links.len(),
        turns: network.turns.len(),
        addresses: network.addresses.len(),
        attribution: gangday_files::ATTRIBUTION.to_owned(),
        findings: views(&findings),
    }
}

#[cfg(test)]
mod tests;
