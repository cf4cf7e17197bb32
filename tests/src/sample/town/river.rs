//! The river and the green places: what is drawn quietly under the streets.

use super::super::curve::{length, smooth};
use super::super::plane::Point;
use super::ground;

/// The river, by places from where it enters to where it leaves, in metres.
const RIVER: &[(i32, i32)] = &[
    (-1560, 2700),
    (-1440, 2250),
    (-1080, 1860),
    (-1010, 1520),
    (-790, 1240),
    (-600, 980),
    (-430, 740),
    (-400, 420),
    (-335, 130),
    (-180, -160),
    (-200, -460),
    (-60, -730),
    (250, -850),
    (470, -1060),
    (480, -1390),
    (700, -1700),
    (1020, -1880),
    (1160, -2200),
    (1260, -2700),
];

/// Parks and other green, by places round their edges.
const GREENS: &[(&str, &[(i32, i32)])] = &[
    (
        "Ings Park",
        &[
            (-470, 60),
            (-400, 20),
            (-250, -190),
            (-270, -440),
            (-180, -680),
            (-330, -700),
            (-420, -560),
            (-390, -380),
            (-330, -240),
            (-420, -100),
        ],
    ),
    (
        "Town Fields",
        &[
            (690, 1010),
            (890, 1000),
            (905, 1180),
            (940, 1390),
            (760, 1440),
            (720, 1250),
        ],
    ),
    (
        "Circle Green",
        &[(1840, 600), (1756, 682), (1675, 600), (1756, 518)],
    ),
    (
        "Abbey Garth",
        &[
            (-180, 560),
            (-60, 545),
            (60, 540),
            (55, 640),
            (-60, 670),
            (-190, 650),
        ],
    ),
    (
        "Weir Meadow",
        &[
            (560, -1250),
            (650, -1230),
            (780, -1240),
            (790, -1350),
            (650, -1350),
            (550, -1340),
        ],
    ),
    (
        "Betony Green",
        &[
            (-560, -970),
            (-420, -950),
            (-340, -1010),
            (-340, -1090),
            (-440, -1150),
            (-570, -1120),
        ],
    ),
    (
        "Orchard Field",
        &[
            (-1090, 420),
            (-1000, 330),
            (-900, 400),
            (-900, 540),
            (-1050, 580),
        ],
    ),
    (
        "Common",
        &[
            (1170, -40),
            (1440, -60),
            (1440, -300),
            (1300, -370),
            (1150, -330),
        ],
    ),
];

/// A pond by places round its edge.
const POND: &[(i32, i32)] = &[
    (1250, -150),
    (1300, -120),
    (1350, -150),
    (1340, -210),
    (1280, -220),
];

/// A patch of the backdrop.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    /// `water` or `green`.
    pub kind: &'static str,
    /// Its name.
    pub name: String,
    /// A closed ring, anticlockwise.
    pub ring: Vec<Point>,
}

/// The river, the pond and the green places of the town.
#[must_use]
pub fn backdrop() -> Vec<Patch> {
    let mut patches: Vec<Patch> = GREENS
        .iter()
        .map(|(name, edge)| patch("green", name, edge))
        .collect();
    patches.push(patch("water", "Common Pond", POND));
    patches.push(Patch {
        kind: "water",
        name: "River Sallow".to_owned(),
        ring: banks(),
    });
    patches
}

fn patch(kind: &'static str, name: &str, edge: &[(i32, i32)]) -> Patch {
    let mut round: Vec<Point> = edge.iter().copied().map(ground).collect();
    round.push(round[0]);
    Patch {
        kind,
        name: name.to_owned(),
        ring: anticlockwise(smooth(&round)),
    }
}

/// The ring between both banks of the river.
fn banks() -> Vec<Point> {
    let through: Vec<Point> = RIVER.iter().copied().map(ground).collect();
    let run = smooth(&through);
    let total = length(&run);
    let bank = |side: f64| -> Vec<Point> {
        let mut gone = 0.0;
        (0..run.len())
            .map(|n| {
                let (before, after) = (run[n.saturating_sub(1)], run[(n + 1).min(run.len() - 1)]);
                gone += before.to(run[n]);
                let width = 24.0 + 30.0 * gone / total;
                run[n] + (after - before).unit().left() * (side * width / 2.0)
            })
            .collect()
    };
    let mut ring = bank(1.0);
    ring.extend(bank(-1.0).into_iter().rev());
    ring.push(ring[0]);
    anticlockwise(ring)
}

fn anticlockwise(mut ring: Vec<Point>) -> Vec<Point> {
    let twice: f64 = ring
        .windows(2)
        .map(|pair| pair[0].x * pair[1].y - pair[1].x * pair[0].y)
        .sum();
    if twice < 0.0 {
        ring.reverse();
    }
    ring
}
