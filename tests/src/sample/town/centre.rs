//! The old town on the east bank: the one-way pair, the market, and the lanes about them.
//!
//! Traffic keeps left, so the northern half of the pair runs east and the southern half west.

use super::super::street::Kind::{OneWay, Town};
use super::plan::{Quarter, close, line};

/// The centre.
pub const CENTRE: Quarter = Quarter {
    lines: &[
        line(
            "High Street",
            OneWay,
            &[
                (700, 172),
                (610, 130),
                (470, 90),
                (290, 82),
                (120, 112),
                (0, 165),
            ],
        ),
        line(
            "Fullers Row",
            OneWay,
            &[
                (0, 165),
                (100, 226),
                (250, 268),
                (430, 274),
                (600, 240),
                (700, 172),
            ],
        ),
        line("Market Street", Town, &[(300, 82), (296, 180), (310, 272)]),
        line("Chantry Lane", Town, &[(480, 91), (505, 180), (492, 268)]),
        line(
            "Wharf Street",
            Town,
            &[
                (-150, 156),
                (-215, 310),
                (-268, 480),
                (-262, 660),
                (-335, 900),
            ],
        ),
        line(
            "Waterside",
            Town,
            &[
                (-96, 163),
                (-58, 20),
                (-50, -150),
                (-68, -330),
                (0, -520),
                (170, -640),
                (390, -690),
                (650, -670),
            ],
        ),
        line("Church Street", Town, &[(100, 226), (84, 350), (104, 500)]),
        line("Kirk Lane", Town, &[(250, 268), (232, 380), (262, 482)]),
        line(
            "Abbey Street",
            Town,
            &[(-268, 540), (-90, 512), (104, 500), (262, 482), (462, 470)],
        ),
        line(
            "Priory Row",
            Town,
            &[(-216, 330), (-60, 346), (84, 350), (232, 380), (448, 385)],
        ),
        line("Mill Lane", Town, &[(-54, -40), (110, -28), (280, -60)]),
        line("Friar Street", Town, &[(128, 110), (106, -28), (122, -205)]),
        line(
            "Ropewalk",
            Town,
            &[
                (-54, -230),
                (122, -205),
                (316, -204),
                (520, -180),
                (744, -150),
            ],
        ),
        line(
            "Castle Street",
            Town,
            &[
                (600, 126),
                (578, -20),
                (520, -180),
                (500, -330),
                (540, -470),
                (592, -600),
            ],
        ),
        line(
            "Garth Street",
            Town,
            &[
                (700, 172),
                (738, 20),
                (744, -150),
                (770, -330),
                (752, -520),
                (650, -670),
            ],
        ),
        line(
            "Granary Lane",
            Town,
            &[(410, -376), (500, -330), (640, -326), (770, -330)],
        ),
        line(
            "Cloister Walk",
            Town,
            &[(318, -210), (200, -330), (60, -390), (-62, -390)],
        ),
        line(
            "Malt Street",
            Town,
            &[(200, -330), (182, -480), (172, -640)],
        ),
        line(
            "Osier Street",
            Town,
            &[(418, -385), (300, -462), (182, -480)],
        ),
    ],
    closes: &[
        close("Tolbooth Court", "Church Street", 45, 70, 15),
        close("Maltings Court", "Southgate", 70, -80, 30),
        close("Cordwainer Court", "Castle Street", 22, 75, -18),
        close("Staith Court", "Waterside", 55, 90, 20),
        close("Dyers Court", "Wharf Street", 62, -85, 20),
    ],
};
