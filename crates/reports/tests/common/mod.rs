//! A made-up district and week. Every name in it is invented.

use gangday_reports::{
    Backdrop, BackdropKind, Caution, ClientPage, ClosureKind, Day, StreetLine, WorkEntry,
};

/// Name, road type, width in metres, and corners that a smooth line passes.
type Sketch = (&'static str, u8, f64, &'static [(f64, f64)]);

const STREETS: [Sketch; 20] = [
    (
        "Tarnbeck Road",
        1,
        10.0,
        &[
            (-100., 620.),
            (300., 640.),
            (700., 600.),
            (1100., 640.),
            (1700., 700.),
            (2100., 690.),
        ],
    ),
    (
        "Saltern Way",
        2,
        9.0,
        &[
            (820., -100.),
            (840., 300.),
            (820., 610.),
            (860., 900.),
            (840., 1400.),
        ],
    ),
    (
        "Alder Lane",
        3,
        6.0,
        &[
            (120., 632.),
            (150., 850.),
            (260., 1020.),
            (480., 1080.),
            (845., 1050.),
        ],
    ),
    (
        "Quernstone Street",
        3,
        6.5,
        &[(300., 638.), (330., 420.), (320., 200.), (360., -20.)],
    ),
    (
        "Wharf Row",
        4,
        5.5,
        &[(325., 300.), (520., 280.), (700., 310.), (838., 300.)],
    ),
    (
        "Osier Close",
        4,
        5.0,
        &[(520., 280.), (540., 160.), (600., 110.)],
    ),
    (
        "Teasel Avenue",
        4,
        5.5,
        &[(560., 616.), (580., 800.), (560., 1068.)],
    ),
    (
        "Foundry Walk",
        4,
        5.0,
        &[(325., 430.), (500., 450.), (640., 430.), (832., 450.)],
    ),
    (
        "Larkfield Crescent",
        4,
        5.5,
        &[
            (846., 880.),
            (1020., 960.),
            (1200., 940.),
            (1280., 820.),
            (1260., 655.),
        ],
    ),
    (
        "Mill Gate",
        3,
        6.5,
        &[(1100., 640.), (1120., 420.), (1080., 220.), (1140., -60.)],
    ),
    (
        "Harrow Street",
        4,
        5.5,
        &[(838., 200.), (960., 190.), (1085., 230.)],
    ),
    (
        "Copper Beech Drive",
        4,
        5.5,
        &[
            (1118., 440.),
            (1300., 400.),
            (1480., 420.),
            (1620., 540.),
            (1640., 690.),
        ],
    ),
    (
        "Pinfold Lane",
        4,
        4.5,
        &[(1480., 420.), (1500., 260.), (1450., 120.)],
    ),
    (
        "Bracken Rise",
        4,
        5.5,
        &[(1260., 820.), (1450., 860.), (1600., 980.), (1780., 1000.)],
    ),
    (
        "Station Approach",
        3,
        7.0,
        &[(1640., 690.), (1690., 860.), (1780., 1000.), (1800., 1300.)],
    ),
    (
        "Cloth Yard",
        4,
        4.5,
        &[(640., 430.), (650., 520.), (640., 606.)],
    ),
    (
        "Marl Pit Lane",
        4,
        5.0,
        &[(260., 1020.), (200., 1180.), (260., 1320.)],
    ),
    (
        "Oxbow Terrace",
        4,
        5.0,
        &[
            (1450., 860.),
            (1420., 1020.),
            (1300., 1120.),
            (1120., 1120.),
            (855., 1130.),
        ],
    ),
    (
        "Gault Street",
        4,
        5.5,
        &[(960., 190.), (970., 60.), (960., -80.)],
    ),
    (
        "Kiln Bank",
        4,
        5.5,
        &[(-60., 200.), (120., 220.), (320., 240.)],
    ),
];

const KINDS: [(ClosureKind, &str, &str); 4] = [
    (
        ClosureKind::Footway,
        "Footway closed",
        "1.1 m is left for people on foot: kept open past the works",
    ),
    (
        ClosureKind::Lane,
        "Lane closed, stop and go boards",
        "3.2 m is left: one lane both ways in turn",
    ),
    (
        ClosureKind::None,
        "Guarded works",
        "Verge only: nobody's way is narrowed",
    ),
    (
        ClosureKind::Road,
        "Road closed",
        "2.1 m is left, less than a car needs",
    ),
];

/// A page with this many works over five days.
pub fn made_up_page(works: usize) -> ClientPage {
    let streets: Vec<StreetLine> = STREETS.iter().map(street).collect();
    ClientPage {
        programme: "Tarnbeck chamber renewals".into(),
        nation: "England".into(),
        week: "Week of Monday 1 March 2027".into(),
        issue: "Issue 2, Wed 24 Feb 2027".into(),
        issued_on: "24 February 2027".into(),
        prepared_by: "R. Ellerby, works supervisor".into(),
        invented: true,
        notes: vec![
            "Places are on the British National Grid, by a seven-parameter shift: within 5 m."
                .into(),
            "Travel is distance times 1.3 at 25 km/h until the road network is known.".into(),
        ],
        attributions: vec!["Streets, water and green: invented for this demonstration.".into()],
        works: (0..works)
            .map(|index| work(&streets, index, works))
            .collect(),
        streets,
        backdrop: backdrop(),
        days: days(),
        unplanned: 3,
        cautions: cautions(),
    }
}

fn street(&(name, road_type, width, corners): &Sketch) -> StreetLine {
    let line = smooth(corners);
    StreetLine {
        name: name.into(),
        road_type: Some(road_type),
        width_m: Some(width),
        lines: vec![line],
    }
}

/// A Catmull-Rom line through the corners.
fn smooth(corners: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let at = |index: isize| corners[index.clamp(0, corners.len() as isize - 1) as usize];
    let mut line = Vec::new();
    for piece in 0..corners.len() as isize - 1 {
        let (a, b, c, d) = (at(piece - 1), at(piece), at(piece + 1), at(piece + 2));
        for step in 0..8 {
            let t = f64::from(step) / 8.0;
            let mix = |a: f64, b: f64, c: f64, d: f64| {
                0.5 * (2.0 * b
                    + (c - a) * t
                    + (2.0 * a - 5.0 * b + 4.0 * c - d) * t * t
                    + (3.0 * b - a - 3.0 * c + d) * t * t * t)
            };
            line.push((
                451_000.0 + mix(a.0, b.0, c.0, d.0),
                287_000.0 + mix(a.1, b.1, c.1, d.1),
            ));
        }
    }
    let last = at(corners.len() as isize - 1);
    line.push((451_000.0 + last.0, 287_000.0 + last.1));
    line
}

fn work(streets: &[StreetLine], index: usize, works: usize) -> WorkEntry {
    let street = &streets[1 + (index * 7) % (streets.len() - 1)];
    let line = &street.lines[0];
    let step = 3 + (index * 5) % (line.len() - 6);
    let (a, b) = (line[step], line[step + 1]);
    let kind = match index % 12 {
        4 => 3,
        1 | 6 | 9 => 1,
        3 | 11 => 2,
        _ => 0,
    };
    let (closure, words, because) = KINDS[kind];
    let day = index * 5 / works.max(1);
    let hour = 8 + (index * 3) % 5;
    let gang = ["A", "B", "C"][index % 3];
    WorkEntry {
        job: format!("TB-{:03}", 100 + index * 3),
        title: [
            "New chamber, 900 × 900",
            "Replace chamber, 1200 × 675",
            "Lift ironwork",
        ][index % 3]
            .into(),
        street: street.name.clone(),
        called: String::new(),
        day,
        last_day: day,
        gang_mark: gang.into(),
        gang: ["Heron gang", "Otter gang", "Lapwing gang"][index % 3].into(),
        from: format!("{hour:02}:{:02}", (index * 15) % 60),
        to: format!("{:02}:{:02}", hour + 4, (index * 25) % 60 / 5 * 5),
        closure,
        closure_words: words.into(),
        because: because.into(),
        footprint: footprint(a, b, closure),
        at: a,
    }
}

fn footprint(a: (f64, f64), b: (f64, f64), closure: ClosureKind) -> Vec<(f64, f64)> {
    let length = (b.0 - a.0).hypot(b.1 - a.1);
    let (x, y) = ((b.0 - a.0) / length, (b.1 - a.1) / length);
    let (half, left, right) = match closure {
        ClosureKind::Road => (9.0, 3.2, 3.2),
        ClosureKind::Lane => (8.0, 3.0, 0.0),
        ClosureKind::Footway => (4.0, 5.0, 3.0),
        ClosureKind::None => (2.0, 7.0, 4.5),
    };
    let corner =
        |along: f64, across: f64| (a.0 + along * x - across * y, a.1 + along * y + across * x);
    let (left, right) = if closure == ClosureKind::Road {
        (left, -right)
    } else {
        (left, right)
    };
    vec![
        corner(-half, right),
        corner(half, right),
        corner(half, left),
        corner(-half, left),
        corner(-half, right),
    ]
}

fn backdrop() -> Vec<Backdrop> {
    let north = smooth(&[
        (-200., 20.),
        (150., 60.),
        (420., 60.),
        (700., 20.),
        (1200., 90.),
        (1500., 20.),
        (2200., 60.),
    ]);
    let mut river = north.clone();
    river.extend(north.iter().rev().map(|&(x, y)| (x, y - 70.0)));
    let mut park = smooth(&[
        (930., 700.),
        (1180., 690.),
        (1200., 800.),
        (1100., 880.),
        (930., 850.),
        (930., 700.),
    ]);
    park.dedup();
    let wood = smooth(&[
        (1300., 460.),
        (1440., 480.),
        (1560., 560.),
        (1500., 640.),
        (1320., 620.),
        (1300., 460.),
    ]);
    vec![
        Backdrop {
            kind: BackdropKind::Water,
            rings: vec![river],
        },
        Backdrop {
            kind: BackdropKind::Green,
            rings: vec![park],
        },
        Backdrop {
            kind: BackdropKind::Green,
            rings: vec![wood],
        },
    ]
}

fn days() -> Vec<Day> {
    ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday"]
        .iter()
        .zip(1..)
        .map(|(name, date)| Day {
            date: format!("{name} {date} March 2027"),
            label: format!("{} {date}", &name[..3]),
        })
        .collect()
}

fn cautions() -> Vec<Caution> {
    let caution = |title: &str, text: &str, source: &str| Caution {
        title: title.into(),
        text: text.into(),
        source: source.into(),
    };
    vec![
        caution(
            "Buried services.",
            "This page is no record of buried apparatus; locate before digging.",
            "HSG47, Avoiding danger from underground services",
        ),
        caution(
            "Excavations.",
            "No depth is safe without assessment.",
            "Construction (Design and Management) Regulations 2015, reg. 22",
        ),
        caution(
            "Traffic management.",
            "To the code of practice, by a competent person, agreed with the authority.",
            "Safety at Street Works and Road Works, 2013",
        ),
    ]
}
