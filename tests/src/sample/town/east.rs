//! The garden suburb in the east, and the works estate south of it.

use super::super::street::Kind::{Estate, Works};
use super::plan::{Quarter, close, line};

/// The east.
pub const EAST: Quarter = Quarter {
    lines: &[
        line(
            "Coronation Circle",
            Estate,
            &[
                (1870, 600),
                (1834, 678),
                (1756, 712),
                (1678, 680),
                (1645, 600),
                (1678, 522),
                (1756, 488),
                (1836, 522),
                (1870, 600),
            ],
        ),
        line(
            "Lime Avenue",
            Estate,
            &[(1756, 712), (1740, 900), (1725, 1180)],
        ),
        line(
            "Beech Avenue",
            Estate,
            &[(1870, 600), (1990, 612), (2110, 640)],
        ),
        line(
            "Elm Avenue",
            Estate,
            &[(1756, 488), (1764, 280), (1760, 58)],
        ),
        line(
            "Chestnut Avenue",
            Estate,
            &[(1645, 600), (1510, 590), (1372, 580)],
        ),
        line(
            "Hawthorn Crescent",
            Estate,
            &[(1742, 852), (1880, 822), (1966, 732), (1990, 612)],
        ),
        line(
            "Laburnum Crescent",
            Estate,
            &[(1990, 612), (1970, 470), (1888, 370), (1762, 336)],
        ),
        line(
            "Rowan Crescent",
            Estate,
            &[(1762, 336), (1630, 372), (1544, 462), (1518, 592)],
        ),
        line(
            "Whitebeam Crescent",
            Estate,
            &[(1518, 592), (1548, 730), (1630, 822), (1742, 852)],
        ),
        line(
            "Hornbeam Drive",
            Estate,
            &[(1732, 1030), (1560, 1010), (1440, 930), (1352, 900)],
        ),
        line(
            "Sycamore Drive",
            Estate,
            &[(1762, 200), (1640, 220), (1500, 270), (1400, 280)],
        ),
        line(
            "Alder Grove",
            Estate,
            &[(1763, 180), (1900, 190), (2040, 240), (2150, 250)],
        ),
        line(
            "Foundry Road",
            Works,
            &[
                (1520, 100),
                (1490, -160),
                (1500, -460),
                (1550, -790),
                (1640, -1140),
            ],
        ),
        line(
            "Anvil Way",
            Works,
            &[(1492, -300), (1780, -318), (2100, -400)],
        ),
        line(
            "Crucible Road",
            Works,
            &[(1530, -660), (1760, -680), (1990, -710)],
        ),
        line(
            "Smithy Way",
            Works,
            &[
                (1498, -400),
                (1310, -420),
                (1240, -560),
                (1260, -760),
                (1400, -820),
                (1552, -800),
            ],
        ),
        line(
            "Ingot Way",
            Works,
            &[(1770, -318), (1790, -500), (1770, -680)],
        ),
        line(
            "Chisel Road",
            Works,
            &[(1494, -130), (1760, -150), (2140, -140)],
        ),
        line(
            "Loom Road",
            Works,
            &[(1106, -880), (1310, -925), (1572, -900)],
        ),
        line(
            "Shuttle Way",
            Works,
            &[(1310, -925), (1335, -1110), (1300, -1340)],
        ),
        line(
            "Maple Drive",
            Estate,
            &[(1738, 940), (1880, 930), (2010, 880)],
        ),
        line(
            "Aspen Drive",
            Estate,
            &[(1966, 470), (2060, 440), (2150, 440)],
        ),
        line(
            "Privet Road",
            Estate,
            &[(1380, 440), (1450, 400), (1560, 440)],
        ),
    ],
    closes: &[
        close("Bobbin Close", "Shuttle Way", 45, -110, 15),
        close("Spindle Close", "Hawthorn Crescent", 55, -90, 20),
        close("Juniper Close", "Whitebeam Crescent", 50, 95, -20),
        close("Medlar Close", "Rowan Crescent", 42, -85, 20),
        close("Holly Close", "Alder Grove", 55, 100, 25),
        close("Guelder Close", "Lime Avenue", 84, 100, 20),
        close("Bellows Close", "Foundry Road", 82, 130, 10),
        close("Hammer Close", "Anvil Way", 55, 70, 15),
        close("Kiln Yard", "Smithy Way", 45, -110, -20),
        close("Tongs Close", "Crucible Road", 62, -120, 15),
    ],
};
