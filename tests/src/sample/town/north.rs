//! The north side within the ring, and the new estate beyond it.

use super::super::street::Kind::{Estate, Town};
use super::plan::{Quarter, close, line};

/// The north.
pub const NORTH: Quarter = Quarter {
    lines: &[
        line(
            "Minster Road",
            Town,
            &[(104, 500), (88, 680), (120, 860), (100, 1080), (60, 1310)],
        ),
        line(
            "Cloister Drive",
            Estate,
            &[(545, 780), (340, 770), (110, 780), (-80, 720), (-262, 690)],
        ),
        line(
            "Chapter Drive",
            Estate,
            &[(620, 1050), (430, 1080), (260, 1050), (104, 1050)],
        ),
        line(
            "Almoner Road",
            Estate,
            &[(330, 770), (300, 910), (330, 1065)],
        ),
        line(
            "Sexton Drive",
            Estate,
            &[(-60, 728), (-90, 880), (-40, 1020), (102, 1060)],
        ),
        line(
            "Verger Crescent",
            Estate,
            &[
                (300, 1058),
                (290, 1190),
                (390, 1280),
                (520, 1230),
                (500, 1072),
            ],
        ),
        line(
            "Millstone Drive",
            Estate,
            &[
                (990, 1442),
                (1010, 1600),
                (1120, 1740),
                (1310, 1760),
                (1450, 1650),
                (1490, 1480),
                (1480, 1290),
            ],
        ),
        line(
            "Hopper Road",
            Estate,
            &[(1240, 1370), (1230, 1560), (1220, 1755)],
        ),
        line(
            "Provost Drive",
            Estate,
            &[(96, 1180), (-20, 1170), (-160, 1140)],
        ),
        line(
            "Tenter Lane",
            Town,
            &[(938, 1010), (1130, 1035), (1344, 1020)],
        ),
        line(
            "Fulling Crescent",
            Estate,
            &[(980, 1290), (1110, 1300), (1170, 1190), (1140, 1035)],
        ),
    ],
    closes: &[
        close("Tenter Court", "Tenter Lane", 72, 110, 20),
        close("Deacon Close", "Cloister Drive", 18, -85, 20),
        close("Canon Close", "Minster Road", 25, -120, 30),
        close("Chorister Close", "Almoner Road", 45, -110, 20),
        close("Lectern Close", "Sexton Drive", 40, 75, 20),
        close("Bellfounder Close", "Chapter Drive", 65, 70, 20),
        close("Beadle Close", "Verger Crescent", 52, 80, 20),
        close("Abbots Close", "Minster Road", 90, -110, -10),
        close("Quern Close", "Millstone Drive", 22, 90, 20),
        close("Winnow Close", "Millstone Drive", 45, 90, 20),
        close("Sluice Close", "Millstone Drive", 74, -100, 20),
        close("Tailrace Close", "Hopper Road", 50, 110, 25),
        close("Gable Close", "Cloister Drive", 68, 70, 15),
    ],
};
