//! Damaged, cut off and hostile files: findings, never a panic, and no memory for mere claims.

use gangday_files::{read_network, write_network};
use proptest::prelude::*;

use crate::map::{Map, deltas, extract, field, framed, header, number, packed, raw, read, zlib};
use crate::real::bytes_of;

fn small() -> Map {
    Map::new()
        .row(1..=5, 0)
        .node(6, 3000, 500, &[("barrier", "bollard")])
        .node(
            7,
            2000,
            300,
            &[("addr:housenumber", "2"), ("addr:street", "Alder Row")],
        )
        .way(
            13,
            &[1, 6, 4, 1],
            &[("addr:housenumber", "4"), ("building", "yes")],
        )
        .way(
            10,
            &[1, 2, 3],
            &[("highway", "residential"), ("name", "Alder Row")],
        )
        .way(
            11,
            &[3, 6, 5],
            &[("highway", "tertiary"), ("oneway", "yes")],
        )
        .relation(
            1,
            &[(1, 10, "from"), (0, 3, "via"), (1, 11, "to")],
            &[("type", "restriction"), ("restriction", "no_left_turn")],
        )
}

/// The one finding of an extract of which nothing can be used.
fn refused(bytes: &[u8]) -> (String, String) {
    let intake = read(bytes);
    assert!(intake.network.is_none() && intake.streets.is_empty());
    assert_eq!(intake.findings.len(), 1, "{:?}", intake.findings);
    assert!(intake.findings[0].is_fault());
    (
        intake.findings[0].code.clone(),
        intake.findings[0].text.clone(),
    )
}

#[test]
fn what_is_no_extract_is_refused() {
    for bytes in [
        &b""[..],
        b"abc",
        b"{\"type\": \"FeatureCollection\"}",
        &[0; 64],
        &[0xff; 4096],
    ] {
        assert_eq!(refused(bytes).0, "F-PBF", "{bytes:?}");
    }
    let no_header = framed("OSMData", &zlib(&small().block()));
    assert_eq!(refused(&no_header).0, "F-PBF");
}

#[test]
fn an_extract_cut_off_anywhere_is_refused() {
    let bytes = small().bytes();
    let header = framed("OSMHeader", &raw(&header())).len();
    for end in 0..bytes.len() {
        let code = refused(&bytes[..end]).0;
        let expected = if end == header { "F-OSM-NONE" } else { "F-PBF" };
        assert_eq!(code, expected, "{end} bytes");
    }
}

#[test]
fn claims_of_gigabytes_take_no_memory() {
    let start = framed("OSMHeader", &raw(&header()));
    let claim = |header: &[u8]| {
        let length = u32::try_from(header.len()).unwrap().to_be_bytes();
        [&start[..], &length, header].concat()
    };
    for size in [2_000_000_000, u64::from(u32::MAX), u64::MAX] {
        let header = [field(1, b"OSMData"), number(3, size)].concat();
        assert!(refused(&claim(&header)).1.contains("32 MiB"), "{size}");
    }
    let header = [field(1, b"OSMData"), number(3, 30 << 20)].concat();
    assert!(refused(&claim(&header)).1.contains("ends inside block 2"));
    let long = [&start[..], &u32::MAX.to_be_bytes(), b"xx"].concat();
    assert!(refused(&long).1.contains("64 KiB"));
    // A list that claims 10^9 entries, and a way of a million nodes in a kilobyte of zlib.
    let liar = [
        number(1, 7),
        [vec![8 << 3 | 2], vec![0x80, 0x94, 0xeb, 0xdc, 0x03]].concat(),
    ]
    .concat();
    let block = field(2, &field(3, &liar));
    assert_eq!(refused(&extract(&[block])).0, "F-PBF");
}

#[test]
fn a_block_that_unpacks_to_more_than_is_allowed_is_refused() {
    let bomb = vec![0; (32 << 20) + 1];
    assert!(refused(&extract(&[bomb])).1.contains("32 MiB"));
}

#[test]
fn a_way_of_a_million_nodes_is_left_out_and_the_others_stay() {
    let nodes: Vec<i64> = (0..1_000_000).map(|at| at % 5 + 1).collect();
    let map = small().way(12, &nodes, &[("highway", "residential")]);
    let intake = map.read();
    assert_eq!(intake.network.unwrap(), small().read().network.unwrap());
    assert_eq!(intake.findings[0].code, "F-OSM-WAY");
    assert_eq!(intake.findings[0].place.feature.as_deref(), Some("way 12"));
}

#[test]
fn numbers_of_texts_that_are_not_there_leave_the_way_out() {
    let way = [
        number(1, 13),
        field(2, &packed([1, u64::MAX])),
        field(3, &packed([2, 900])),
        field(8, &deltas([1, 2])),
    ]
    .concat();
    let mut block = small().block();
    block.extend(field(2, &field(3, &way)));
    let texts = small();
    assert!(texts.block().windows(7).any(|part| part == b"highway"));
    let intake = read(&extract(&[block]));
    assert!(intake.network.is_some());
}

#[test]
fn nodes_off_the_globe_and_things_stated_twice_are_told() {
    let far = Map::new()
        .node(1, 0, 0, &[])
        .node(2, i64::MAX / 4, 0, &[])
        .node(3, 0, 500_000_000, &[])
        .node(4, 100, 0, &[])
        .node(4, 200, 0, &[])
        .way(10, &[1, 4, 2], &[("highway", "residential")])
        .way(10, &[4, 1], &[("highway", "primary")])
        .way(11, &[4, 3], &[("highway", "residential")]);
    let intake = far.read();
    let codes: Vec<_> = intake
        .findings
        .iter()
        .map(|found| found.code.as_str())
        .collect();
    assert_eq!(codes, ["F-OSM-NODE", "F-OSM-TWICE", "F-OSM-EDGE"]);
    assert!(intake.findings[1].text.starts_with("2 "));
    assert_eq!(intake.network.unwrap().links.len(), 1);
}

#[test]
fn a_packing_or_a_history_that_is_not_read_is_named() {
    let start = framed("OSMHeader", &raw(&header()));
    for packing in [4, 5, 6, 7] {
        let blob = [number(2, 10), field(packing, b"0123456789")].concat();
        assert_eq!(
            refused(&[&start[..], &framed("OSMData", &blob)].concat()).0,
            "F-PBF-PACKING"
        );
    }
    let history = raw(&[header(), field(4, b"HistoricalInformation")].concat());
    let (code, text) = refused(&framed("OSMHeader", &history));
    assert!(
        code == "F-PBF-PACKING" && text.contains("HistoricalInformation"),
        "{text}"
    );
}

#[test]
fn blocks_of_another_kind_are_passed_over() {
    let strange = framed("OSMSomething", b"anything at all");
    let bytes = [small().bytes(), strange].concat();
    assert_eq!(read(&bytes).network, small().read().network);
}

#[test]
fn many_ways_at_one_barrier_do_not_multiply() {
    let mut map = Map::new()
        .node(1, 0, 0, &[("barrier", "block")])
        .row(2..=1001, 900);
    for way in 2..=1001 {
        map = map.way(way, &[1, way], &[("highway", "residential")]);
    }
    let intake = map.read();
    assert!(intake.network.unwrap().turns.is_empty());
    assert_eq!(intake.findings[0].code, "F-OSM-BARRIER");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        let framed = extract(std::slice::from_ref(&bytes));
        for bytes in [bytes, framed] {
            let intake = read(&bytes);
            prop_assert!(intake.network.is_some() || intake.findings.iter().any(|found| found.is_fault()));
        }
    }

    #[test]
    fn any_change_inside_a_block_is_read_or_refused(
        changes in proptest::collection::vec((any::<proptest::sample::Index>(), any::<u8>()), 1..6),
    ) {
        let mut block = small().block();
        for (at, byte) in changes {
            let at = at.index(block.len());
            block[at] = byte;
        }
        let intake = read(&extract(&[block]));
        prop_assert!(intake.network.is_some() || intake.findings.iter().any(|found| found.is_fault()));
        if let Some(network) = intake.network {
            let kept = read_network(&write_network(&network));
            prop_assert_eq!(kept.ok(), Some(network));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_real_extract_cut_off_or_changed_is_read_or_refused(
        end in any::<proptest::sample::Index>(),
        changes in proptest::collection::vec((any::<proptest::sample::Index>(), any::<u8>()), 0..4),
    ) {
        let mut bytes = bytes_of("kotka.osm.pbf");
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        for bytes in [&bytes[..], &bytes[..end.index(bytes.len())]] {
            let intake = read(bytes);
            prop_assert!(intake.network.is_some() || intake.findings.iter().any(|found| found.is_fault()));
        }
    }
}
