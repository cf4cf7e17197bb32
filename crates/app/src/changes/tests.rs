use super::*;
use crate::view::DemoWeek;

fn changed(opened: &Opened, name: &str, from: &str, to: &str) -> Opened {
    let files = saving::programme_files(opened);
    let file = files.iter().find(|(known, _)| *known == name);
    let text = file.map_or_else(String::new, |(_, bytes)| {
        String::from_utf8_lossy(bytes).into_owned()
    });
    let after = text.replace(from, to);
    assert!(after != text, "{name} has no {from}");
    let change = FileChange {
        name: name.to_owned(),
        before: None,
        after: Some(after.into_bytes()),
    };
    with_files(opened, &[&change])
}

#[test]
fn roads_are_made_ready_anew_only_where_they_may_be_others() {
    let opened = crate::demo::open(DemoWeek::Small);
    let roads = |opened: &Opened| Arc::clone(&opened.prepared.travel);
    let warm = changed(&opened, WEEK, "2027-02-25", "2027-02-24");
    assert_ne!(
        warm.prepared.programme.week.today,
        opened.prepared.programme.week.today
    );
    assert!(Arc::ptr_eq(&roads(&warm), &roads(&opened)));
    let named = changed(&opened, STREETS, "\"name\":\"", "\"name\":\"Old ");
    assert!(!Arc::ptr_eq(&roads(&named), &roads(&opened)));
    let street = &named.prepared.programme.streets[0];
    assert!(
        named
            .prepared
            .street_names()
            .word(&street.id)
            .starts_with("Old ")
    );
}
