//! The two weeks of the town that come with the program: which streets the client's list names.

use serde_json::Value;

use super::chance::Chance;
use super::crew;
use super::job::{Hindrance, Job, draw, hinder};
use super::plane::{Point, at};
use super::street::Street;

/// Which week.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TownWeek {
    /// 12 jobs, 2 gangs.
    Small,
    /// 72 jobs, 5 gangs.
    Full,
}

/// Street, number of jobs there.
type Cluster = (&'static str, usize);

const SMALL: &[Cluster] = &[
    ("Ada Street", 2),
    ("Florence Street", 2),
    ("Northgate", 1),
    ("Waterside", 2),
    ("Ropewalk", 1),
    ("Coronation Circle", 2),
    ("Harrier Way", 1),
    ("Swallow Drive", 1),
];

const FULL: &[Cluster] = &[
    ("Ada Street", 3),
    ("Florence Street", 3),
    ("Maud Street", 2),
    ("Cobden Street", 2),
    ("Alma Road", 3),
    ("Barley Street", 2),
    ("Institute Road", 1),
    ("Coronation Circle", 3),
    ("Chestnut Avenue", 2),
    ("Laburnum Crescent", 2),
    ("Harrier Way", 3),
    ("Anvil Way", 3),
    ("Foundry Road", 2),
    ("Cooper Street", 2),
    ("Common Road", 1),
    ("Waterside", 3),
    ("High Street", 2),
    ("Fullers Row", 1),
    ("Northgate", 2),
    ("Minster Road", 1),
    ("Chapter Drive", 2),
    ("Bridge Road", 3),
    ("Skylark Road", 3),
    ("Plover Drive", 3),
    ("Swallow Drive", 2),
    ("Meadowsweet Way", 3),
    ("Betony Crescent", 2),
    ("Orchard Road", 2),
    ("Pippin Way", 2),
    ("Larkfield Way", 3),
    ("Beck Lane", 1),
    ("Hagg Road", 2),
    ("Carr Road", 1),
];

/// Jobs that can't be planned, by their place in the list.
const HINDERED_SMALL: &[(usize, Hindrance)] = &[(8, Hindrance::Ticket)];
const HINDERED_FULL: &[(usize, Hindrance)] = &[
    (4, Hindrance::Ticket),
    (17, Hindrance::TooEarly),
    (27, Hindrance::Hours),
    (38, Hindrance::TooLate),
    (51, Hindrance::TooEarly),
    (58, Hindrance::Ticket),
];

/// Jobs in a verge, out of everybody's way, that may be left over a night.
const LEFT_OVER_A_NIGHT: &[usize] = &[30, 59];

impl TownWeek {
    /// The jobs of the week on these streets.
    #[must_use]
    pub fn jobs(self, streets: &[Street]) -> Vec<Job> {
        let (clusters, hindered, seed) = match self {
            Self::Small => (SMALL, HINDERED_SMALL, 12),
            Self::Full => (FULL, HINDERED_FULL, 72),
        };
        let mut chance = Chance::new(seed, 0);
        let mut jobs = Vec::new();
        for (name, count) in clusters {
            let Some(street) = streets.iter().find(|street| street.name == *name) else {
                continue;
            };
            for part in spread(*count, &mut chance) {
                let id = format!("J{:03}", jobs.len() + 1);
                jobs.push(draw(id, street, part, &mut chance));
            }
        }
        for (n, hindrance) in hindered {
            hinder(&mut jobs[*n], *hindrance);
        }
        if self == Self::Full {
            for n in LEFT_OVER_A_NIGHT {
                jobs[*n].state("nights", 1);
            }
        }
        jobs
    }

    /// The gangs of the week: the first, third and fifth from the north yard.
    #[must_use]
    pub fn gangs(self) -> Vec<Value> {
        let count = match self {
            Self::Small => 2,
            Self::Full => 5,
        };
        (0..count).map(|n| crew::gang(n, YARDS[n % 2])).collect()
    }
}

/// Parts of a street where a few jobs lie, near one another as a client's list has them.
pub fn spread(count: usize, chance: &mut Chance) -> Vec<f64> {
    let mut part = chance.between(0.06, 0.45);
    (0..count)
        .map(|_| {
            let here = part;
            part += chance.between(0.08, 0.22);
            here.min(0.97)
        })
        .collect()
}

/// The north yard, by the ring, and the kiln yard in the works estate.
const YARDS: [Point; 2] = [at(1120.0, 1545.0), at(1172.0, -560.0)];

/// The tips: an old quarry by Ridge Lane and one on Fen Lane.
#[must_use]
pub fn tips() -> Vec<Value> {
    vec![
        crew::tip(0, "Ridge quarry tip", at(-2080.0, 1230.0)),
        crew::tip(1, "Fen Lane tip", at(2420.0, -1130.0)),
    ]
}
