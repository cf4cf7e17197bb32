use super::*;
use gangday_model::Address;

fn small() -> Network {
    let at = |lon: f64, lat: f64| LonLat::new(lon, lat);
    let link = |from, to, line: Vec<LonLat>| Link {
        street: Some(StreetId::new("osm-w7")),
        from,
        to,
        line,
        class: LinkClass::Residential,
        limit_kmh: Some(48),
        along: Passage::Open,
        against: Passage::Shut,
        on_foot: Passage::Destination,
    };
    let (a, b, c) = (at(-1.55, 53.8), at(-1.549_999_9, 53.801), at(-1.54, 53.8));
    Network {
        source: Some(NetworkSource {
            file: "area.osm.pbf".to_owned(),
            attribution: "© OpenStreetMap contributors".to_owned(),
            licence: "ODbL 1.0".to_owned(),
        }),
        junctions: vec![a, b, c],
        links: vec![
            link(0, 1, vec![a, at(-1.551, 53.800_5), b]),
            Link {
                street: None,
                limit_kmh: None,
                ..link(1, 2, vec![b, c])
            },
        ],
        turns: vec![Turn {
            links: vec![0, 1],
            via: 1,
            only: false,
        }],
        addresses: vec![
            Address {
                at: at(-1.550_1, 53.800_1),
                number: "12a".to_owned(),
                street: Some("Oak Lane".to_owned()),
            },
            Address {
                at: at(-1.55, 53.800_2),
                number: "7".to_owned(),
                street: None,
            },
        ],
    }
}

#[test]
fn what_is_written_is_read_back_and_written_the_same() {
    let bytes = write_network(&small());
    let read = read_network(&bytes).unwrap();
    assert_eq!(read, small());
    assert_eq!(write_network(&read), bytes);
    let text = String::from_utf8(bytes).unwrap();
    assert!(text.contains("© OpenStreetMap contributors") && text.contains("ODbL 1.0"));
}

#[test]
fn any_changed_byte_and_any_lost_end_is_refused() {
    let bytes = write_network(&small());
    for at in 0..bytes.len() - 1 {
        let mut changed = bytes.clone();
        changed[at] ^= 1;
        let finding = read_network(&changed).unwrap_err();
        assert_eq!(finding.code, codes::NETWORK, "byte {at}");
        assert!(finding.text.contains("detour factor"));
        assert!(read_network(&bytes[..at]).is_err(), "{at} bytes");
    }
}

/// A file with a right checksum and a wrong body.
fn forged(body: &str) -> Vec<u8> {
    let raw = RawValue::from_string(body.to_owned()).unwrap();
    serde_json::to_vec(&File {
        format: FORMAT,
        version: VERSION,
        sha256: print_of(&raw),
        network: &raw,
    })
    .unwrap()
}

#[test]
fn numbers_that_lead_nowhere_are_refused_even_under_a_right_checksum() {
    let file = |links: &str, turns: &str| {
        forged(&format!(
            r#"{{"source":null,"junctions":[0,0,9,9],"streets":["a"],"links":[{links}],"turns":[{turns}]}}"#
        ))
    };
    let sound = r#"[1,0,1,"minor",0,["open","open","open"],[]]"#;
    assert!(read_network(&file(sound, "")).is_ok());
    for links in [
        r#"[2,0,1,"minor",0,["open","open","open"],[]]"#,
        r#"[1,0,2,"minor",0,["open","open","open"],[]]"#,
        r#"[1,0,1,"minor",0,["open","open","open"],[1]]"#,
        r#"[1,0,1,"minor",0,["open","open","open"],[2147483647,0,2147483647,0]]"#,
        r#"[1,0,1,"minor",0,["open","open","open"],[0,1000000000]]"#,
        r#"[1,0,1,"lane",0,["open","open","open"],[]]"#,
    ] {
        assert!(read_network(&file(links, "")).is_err(), "{links}");
    }
    for turns in [
        "[0,false,[0]]",
        "[0,false,[]]",
        "[0,false,[0,1]]",
        "[2,false,[0,0]]",
    ] {
        assert!(read_network(&file(sound, turns)).is_err(), "{turns}");
    }
    assert!(
        read_network(&forged(
            r#"{"source":null,"junctions":[0],"streets":[],"links":[],"turns":[]}"#
        ))
        .is_err()
    );
}

/// A file of version 1, as it was written before addresses, reads; so does one without addresses
/// whatever writes it; a newer one is refused and said to be newer.
#[test]
fn an_older_file_reads_and_a_newer_one_says_that_it_is_newer() {
    let none = Network {
        addresses: Vec::new(),
        ..small()
    };
    let bytes = write_network(&none);
    let text = String::from_utf8(bytes.clone()).unwrap();
    assert!(text.contains(r#""version":1,"#) && !text.contains("addresses"));
    assert_eq!(read_network(&bytes).unwrap(), none);
    let with = String::from_utf8(write_network(&small())).unwrap();
    assert!(with.contains(r#""version":2,"#));
    let newer = with.replace(r#""version":2,"#, r#""version":3,"#);
    let refused = read_network(newer.as_bytes()).unwrap_err();
    assert!(refused.text.contains("newer version"), "{}", refused.text);
}

#[test]
fn addresses_that_lead_nowhere_are_refused() {
    let file = |rows: &str| {
        forged(&format!(
            r#"{{"source":null,"junctions":[0,0,9,9],"streets":[],"links":[],"turns":[],"addresses":{{"streets":["a"],"rows":[{rows}]}}}}"#
        ))
    };
    assert_eq!(
        read_network(&file(r#"[1,"1",5,5],[0,"2",-5,5]"#))
            .unwrap()
            .addresses
            .len(),
        2
    );
    for rows in [
        r#"[2,"1",0,0]"#,
        r#"[0,"1",1800000001,0]"#,
        r#"[0,"1",9223372036854775807,0],[0,"1",9223372036854775807,0]"#,
        r#"[0,1,0,0]"#,
    ] {
        assert!(read_network(&file(rows)).is_err(), "{rows}");
    }
}
