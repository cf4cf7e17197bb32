//! A program that is killed while it saves, at moments it does not choose.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use std::{env, fs, path::Path, thread};

use gangday_store::{Folder, write_whole};

/// Set for the program that saves until it is killed.
const ROLE: &str = "GANGDAY_SAVES_INTO";
/// What that program says once it is about to save.
const READY: &str = "about to save";
const KILLS: u64 = 50;
const NAMES: [&str; 3] = ["jobs.geojson", "gangs.json", "week.json"];
/// Is there with every second version only, and gone with the others.
const AT_TIMES: &str = "method.json";

/// A version of a file: long enough for a write to be caught in the middle.
fn version(number: u64) -> Vec<u8> {
    format!("{number}\n").repeat(60_000).into_bytes()
}

/// The number that every line of a file repeats, if it is whole.
fn number_of(bytes: &[u8]) -> Option<u64> {
    let number = std::str::from_utf8(bytes)
        .ok()?
        .lines()
        .next()?
        .parse()
        .ok()?;
    (version(number) == bytes).then_some(number)
}

fn save_for_ever(path: &Path) -> ! {
    let mut folder = Folder::open(path).expect("the folder is there");
    let mut number =
        number_of(folder.get(NAMES[0]).expect("a first version")).expect("a whole file");
    println!("{READY}");
    loop {
        number += 1;
        let names = NAMES.into_iter().chain([AT_TIMES]);
        let names = names.take(NAMES.len() + usize::from(number % 2 == 1));
        let files: Vec<_> = names.map(|name| (name, version(number))).collect();
        folder
            .save_whole(&files, &["plan.json"], None)
            .expect("the disk takes it");
        write_whole(&path.join("plan.json"), &version(number)).expect("the disk takes it");
    }
}

fn saving(path: &Path) -> Child {
    let itself = env::current_exe().expect("a test knows its own program");
    let mut child = Command::new(itself)
        .args(["--exact", "never_half_a_file", "--nocapture"])
        .env(ROLE, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::inherit())
        .spawn()
        .expect("a program can be started");
    let said = BufReader::new(child.stdout.take().expect("its words are piped"));
    let ready = said
        .lines()
        .map_while(Result::ok)
        .any(|line| line.ends_with(READY));
    assert!(ready, "the program ended before it saved");
    child
}

/// Moments spread without a pattern, the same in every run.
fn moment(kill: u64) -> Duration {
    let scattered = kill.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 40;
    Duration::from_micros(scattered % 60_000)
}

#[test]
fn never_half_a_file() {
    if let Some(path) = env::var_os(ROLE) {
        save_for_ever(Path::new(&path));
    }
    let place = tempfile::tempdir().unwrap();
    let mut folder = Folder::create(place.path().join("week")).unwrap();
    folder.save(&NAMES.map(|name| (name, version(0)))).unwrap();
    write_whole(&folder.path().join("plan.json"), &version(0)).unwrap();
    let path = folder.path().to_owned();
    let (mut last, mut caught) = (0, 0);
    for kill in 0..KILLS {
        let mut saving = saving(&path);
        thread::sleep(moment(kill));
        saving.kill().unwrap();
        saving.wait().unwrap();

        for name in NAMES.into_iter().chain(["plan.json", AT_TIMES]) {
            let bytes = match fs::read(path.join(name)) {
                Err(_) if name == AT_TIMES => continue,
                read => read.unwrap(),
            };
            assert!(
                number_of(&bytes).is_some(),
                "{name} is not whole after kill {kill}"
            );
        }
        let beside = fs::read_dir(&path).unwrap().map(|one| one.unwrap());
        let mut beside = beside.filter(|one| one.file_name().to_string_lossy().starts_with('.'));
        caught += usize::from(beside.next().is_some());
        let opened = Folder::open(&path).unwrap();
        let numbers = NAMES.map(|name| number_of(opened.get(name).unwrap()).unwrap());
        assert_eq!(numbers, [numbers[0]; 3], "a mixed set after kill {kill}");
        let at_times = opened.get(AT_TIMES).map(|bytes| number_of(bytes).unwrap());
        let due = (numbers[0] % 2 == 1).then_some(numbers[0]);
        assert_eq!(at_times, due, "a mixed set after kill {kill}");
        assert!(
            numbers[0] >= last,
            "a version that had been saved is gone after kill {kill}"
        );
        last = numbers[0];
        let left = fs::read_dir(&path).unwrap().count();
        assert_eq!(
            left,
            NAMES.len() + 1 + usize::from(due.is_some()),
            "something is left beside after kill {kill}"
        );
    }
    println!("{last} versions were saved; {caught} of {KILLS} kills came in the middle of a save");
    assert!(last > 0, "nothing was ever saved");
    assert!(caught > 0, "no kill came in the middle of a save");
}
