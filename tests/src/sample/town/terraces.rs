//! Terraced streets: by Northgate, by Carr Road, and south towards the tannery.

use super::super::street::Kind::{Terrace, Town};
use super::plan::{Quarter, close, line, ruled};

/// The terraces.
pub const TERRACES: Quarter = Quarter {
    lines: &[
        line(
            "Alma Road",
            Town,
            &[
                (905, 190),
                (890, 400),
                (900, 640),
                (925, 880),
                (950, 1120),
                (1000, 1440),
            ],
        ),
        line(
            "Carr Road",
            Town,
            &[
                (1420, 118),
                (1392, 330),
                (1372, 580),
                (1352, 840),
                (1340, 1100),
                (1340, 1340),
            ],
        ),
        ruled("Ada Street", Terrace, &[(448, 345), (895, 330)]),
        ruled("Clara Street", Terrace, &[(460, 425), (890, 412)]),
        ruled("Edith Street", Terrace, &[(468, 505), (893, 494)]),
        ruled("Florence Street", Terrace, &[(480, 585), (897, 576)]),
        ruled("Hilda Street", Terrace, &[(505, 665), (901, 658)]),
        ruled("Maud Street", Terrace, &[(530, 745), (910, 740)]),
        ruled("Nora Street", Terrace, &[(555, 825), (919, 822)]),
        ruled("Olive Street", Terrace, &[(578, 905), (927, 904)]),
        ruled("Cobden Street", Terrace, &[(690, 337), (735, 906)]),
        ruled("Prospect Road", Town, &[(915, 860), (1352, 848)]),
        ruled("Institute Road", Town, &[(891, 420), (1386, 404)]),
        ruled("Barley Street", Terrace, &[(970, 418), (985, 858)]),
        ruled("Clover Street", Terrace, &[(1052, 415), (1066, 856)]),
        ruled("Hay Street", Terrace, &[(1134, 412), (1147, 854)]),
        ruled("Oat Street", Terrace, &[(1216, 410), (1228, 852)]),
        ruled("Rye Street", Terrace, &[(1298, 407), (1309, 849)]),
        line(
            "Common Road",
            Town,
            &[
                (1150, 152),
                (1120, -80),
                (1092, -330),
                (1085, -620),
                (1120, -950),
                (1130, -1385),
            ],
        ),
        ruled("Cooper Street", Terrace, &[(740, -10), (1128, -26)]),
        ruled("Fletcher Street", Terrace, &[(742, -95), (1118, -108)]),
        ruled("Chandler Street", Terrace, &[(746, -180), (1108, -192)]),
        ruled("Cartwright Street", Terrace, &[(756, -265), (1098, -276)]),
        ruled("Sawyer Street", Terrace, &[(768, -350), (1091, -360)]),
        ruled("Turner Street", Terrace, &[(764, -435), (1088, -444)]),
        ruled("Weaver Street", Terrace, &[(752, -520), (1086, -528)]),
        ruled("Chapel Street", Terrace, &[(935, -18), (925, -524)]),
        line(
            "Bleachfield Road",
            Town,
            &[(700, -745), (880, -720), (1086, -700)],
        ),
        line(
            "Weir Lane",
            Town,
            &[
                (836, -1200),
                (720, -1190),
                (655, -1080),
                (690, -940),
                (800, -930),
            ],
        ),
        line(
            "Mordant Street",
            Terrace,
            &[(834, -1150), (980, -1142), (1122, -1120)],
        ),
        line(
            "Indigo Street",
            Terrace,
            &[(836, -1270), (980, -1262), (1128, -1250)],
        ),
        ruled("Weld Street", Terrace, &[(982, -1142), (978, -1262)]),
    ],
    closes: &[
        close("Fold Court", "Prospect Road", 35, 85, 15),
        close("Stable Court", "Prospect Road", 68, 90, -15),
        close("Reading Room Court", "Alma Road", 10, -150, 30),
        close("Teasel Court", "Bleachfield Road", 55, -110, 20),
        close("Leat Close", "Tannery Road", 40, 120, 40),
        close("Madder Close", "Common Road", 78, -110, -40),
    ],
};
