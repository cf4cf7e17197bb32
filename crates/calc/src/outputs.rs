//! What a gang gets done in an hour and how long it takes over a thing, read once.

use std::collections::BTreeMap;

use gangday_model::{ClosureKind, Finding, Job, ParameterTable};

use crate::chamber::POSITIONS;
use crate::figures::Figures;

/// The ground of a job that states none: common practice, no source.
const USUAL_GROUND: &str = "soil";

/// Where the outputs of excavation stand.
const GROUND: &str = "output.excavate.";

/// One figure with the key that it is traced by.
#[derive(Clone, Debug)]
pub(crate) struct Rate {
    pub(crate) key: String,
    pub(crate) value: f64,
}

/// Every output and time that stages are made of.
#[derive(Clone, Debug)]
pub(crate) struct Outputs {
    grounds: BTreeMap<String, Rate>,
    pub(crate) break_out: [Rate; 4],
    set_out: [Rate; 4],
    reopen: [Rate; 4],
    pub(crate) concrete: Rate,
    pub(crate) type1: Rate,
    pub(crate) topsoil: Rate,
    pub(crate) surfacing: Rate,
    pub(crate) seal: Rate,
    pub(crate) service_check: Rate,
    pub(crate) formation_check: Rate,
    pub(crate) level_first_section: Rate,
    pub(crate) section: Rate,
    pub(crate) remove_section: Rate,
    pub(crate) lift_ironwork: Rate,
    pub(crate) bed_ironwork: Rate,
    pub(crate) batch: Rate,
    pub(crate) clear: Rate,
    people: f64,
    most_useful: f64,
}

/// All kinds of closure, as keys spell them.
const CLOSURES: [&str; 4] = ["none", "footway", "lane", "road"];

const fn place(closure: ClosureKind) -> usize {
    match closure {
        ClosureKind::None => 0,
        ClosureKind::Footway => 1,
        ClosureKind::Lane => 2,
        ClosureKind::Road => 3,
    }
}

impl Outputs {
    pub(crate) fn read(method: &ParameterTable) -> Result<Self, Vec<Finding>> {
        let mut read = Figures::method(method);
        let mut per_hour = |key: String| {
            let value = read.rate(&key);
            Rate { key, value }
        };
        let grounds = method.under(GROUND).map(|row| {
            let ground = row.key[GROUND.len()..].to_owned();
            (ground, per_hour(row.key.clone()))
        });
        let grounds = grounds.collect();
        let break_out = POSITIONS.map(|(_, key)| per_hour(format!("output.break_out.{key}")));
        let [concrete, type1, topsoil, surfacing, seal] =
            ["concrete", "type1", "topsoil", "surfacing", "seal"]
                .map(|what| per_hour(format!("output.{what}")));
        let mut time = |what: &str| {
            let key = format!("stage.{what}");
            let value = read.number(&key);
            Rate { key, value }
        };
        let outputs = Self {
            grounds,
            break_out,
            set_out: CLOSURES.map(|kind| time(&format!("set_out.{kind}"))),
            reopen: CLOSURES.map(|kind| time(&format!("reopen.{kind}"))),
            concrete,
            type1,
            topsoil,
            surfacing,
            seal,
            service_check: time("service_check"),
            formation_check: time("formation_check"),
            level_first_section: time("level_first_section"),
            section: time("section"),
            remove_section: time("remove_section"),
            lift_ironwork: time("lift_ironwork"),
            bed_ironwork: time("bed_ironwork"),
            batch: time("batch"),
            clear: time("clear"),
            people: read.rate("gang.people"),
            most_useful: read.rate("gang.most_useful"),
        };
        let faults = read.into_faults();
        if faults.is_empty() {
            Ok(outputs)
        } else {
            Err(faults)
        }
    }

    /// How much longer a gang of so many takes than the one that the outputs stand for.
    ///
    /// # Errors
    /// A gang of nobody.
    pub(crate) fn slower(&self, people: Option<u32>) -> Result<f64, Vec<Finding>> {
        match people {
            None => Ok(1.0),
            Some(0) => Err(vec![nobody()]),
            Some(people) => Ok(self.people / f64::from(people).min(self.most_useful)),
        }
    }

    pub(crate) fn set_out(&self, closure: ClosureKind) -> &Rate {
        &self.set_out[place(closure)]
    }

    pub(crate) fn reopen(&self, closure: ClosureKind) -> &Rate {
        &self.reopen[place(closure)]
    }

    /// The output in the job's ground, which may be named with or without its prefix.
    ///
    /// # Errors
    /// Ground that the table has no output for.
    pub(crate) fn excavate(&self, job: &Job) -> Result<&Rate, Vec<Finding>> {
        let stated = job.ground.as_deref().unwrap_or(USUAL_GROUND);
        let ground = stated.strip_prefix(GROUND).unwrap_or(stated);
        self.grounds.get(ground).ok_or_else(|| {
            let known: Vec<_> = self.grounds.keys().map(String::as_str).collect();
            let fault = Finding::fault(
                "C-GROUND",
                format!("no output is known for ground \"{ground}\""),
                format!(
                    "Choose one of {}, or add a row {GROUND}{ground} in m3/h.",
                    known.join(", ")
                ),
            );
            vec![
                fault
                    .in_file("jobs.geojson")
                    .of("ground")
                    .at(job.id.as_str()),
            ]
        })
    }
}

fn nobody() -> Finding {
    Finding::fault(
        "C-GANG",
        "a gang of nobody does no work",
        "State how many people are in the gang.",
    )
    .in_file("gangs.json")
    .of("people")
}
