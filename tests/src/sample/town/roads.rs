//! The main road, the ring, and the roads from the centre.

use super::super::street::Kind::{Distributor, Main, Town, Trunk};
use super::plan::{Quarter, line};

/// Laid first; everything else joins these.
pub const ROADS: Quarter = Quarter {
    lines: &[
        line(
            "Saltgate Road",
            Trunk,
            &[
                (-3000, 430),
                (-2620, 360),
                (-2300, 230),
                (-1980, 120),
                (-1700, 60),
            ],
        ),
        line(
            "Bridge Road",
            Main,
            &[
                (-1700, 60),
                (-1320, 18),
                (-960, 84),
                (-640, 128),
                (-440, 132),
            ],
        ),
        line("Old Bridge", Main, &[(-440, 132), (-330, 136), (-226, 146)]),
        line("Bridgegate", Main, &[(-226, 146), (-120, 160), (0, 165)]),
        line(
            "Eastgate",
            Main,
            &[(700, 172), (900, 190), (1160, 150), (1420, 118)],
        ),
        line("Marsh Road", Main, &[(1420, 118), (1760, 58), (2150, 36)]),
        line(
            "Fenmoor Road",
            Trunk,
            &[(2150, 36), (2480, -40), (2760, -150), (3040, -190)],
        ),
        line(
            "Larkfield Way",
            Distributor,
            &[
                (-1700, 60),
                (-1690, 360),
                (-1590, 620),
                (-1360, 790),
                (-1050, 860),
            ],
        ),
        line(
            "Whinmoor Way",
            Distributor,
            &[
                (140, -1420),
                (-250, -1510),
                (-700, -1480),
                (-1130, -1320),
                (-1480, -1000),
                (-1670, -580),
                (-1730, -220),
                (-1700, 60),
            ],
        ),
        line(
            "Weir Bridge",
            Distributor,
            &[(140, -1420), (380, -1392), (600, -1386), (800, -1395)],
        ),
        line(
            "Pasture Way",
            Distributor,
            &[
                (800, -1395),
                (1100, -1390),
                (1390, -1300),
                (1710, -1090),
                (1960, -760),
                (2110, -370),
                (2150, 36),
            ],
        ),
        line(
            "Harrier Way",
            Distributor,
            &[
                (2150, 36),
                (2150, 420),
                (2030, 880),
                (1730, 1180),
                (1340, 1340),
                (1000, 1440),
                (700, 1500),
            ],
        ),
        line(
            "Hollin Way",
            Distributor,
            &[
                (700, 1500),
                (380, 1455),
                (60, 1310),
                (-190, 1110),
                (-335, 900),
            ],
        ),
        line(
            "Northgate",
            Town,
            &[
                (430, 272),
                (452, 420),
                (480, 580),
                (545, 780),
                (610, 1010),
                (655, 1260),
                (700, 1500),
            ],
        ),
        line(
            "Southgate",
            Town,
            &[
                (290, 85),
                (280, -60),
                (318, -210),
                (420, -390),
                (530, -530),
                (650, -670),
            ],
        ),
        line(
            "Tannery Road",
            Distributor,
            &[
                (650, -670),
                (760, -830),
                (830, -1050),
                (836, -1250),
                (800, -1395),
            ],
        ),
    ],
    closes: &[],
};
