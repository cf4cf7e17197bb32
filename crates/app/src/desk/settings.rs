//! What the page keeps with the program, whatever programme is open and whichever door it came
//! through: its theme, the size of its text, what was opened last.

use std::path::{Path, PathBuf};

use gangday_store::write_whole;
use serde_json::{Map, Value};

use crate::opened::refused;
use crate::view::{Answer, Refusal};

/// The most that it may be in all, in bytes.
const MOST: usize = 64 * 1024;

/// A small file of the user's own; where there is none, nothing is kept.
#[derive(Default)]
pub struct Settings {
    file: Option<PathBuf>,
}

impl Settings {
    /// Those of whoever runs the program, in the folder that the system has for such files.
    pub fn of_user() -> Self {
        let file = dirs::config_dir().map(|folder| folder.join("gangday").join("settings.json"));
        Self { file }
    }

    /// Those in this file.
    #[cfg(test)]
    pub fn at(file: PathBuf) -> Self {
        Self { file: Some(file) }
    }

    /// What is kept; nothing where the file is not there or is damaged, since the page can do without.
    fn read(&self) -> Map<String, Value> {
        let bytes = self.file.as_ref().and_then(|file| std::fs::read(file).ok());
        let kept = bytes.and_then(|bytes| serde_json::from_slice(&bytes).ok());
        kept.unwrap_or_default()
    }

    /// All of it.
    pub fn told(&self) -> Answer {
        Answer::Settings {
            values: self.read(),
        }
    }

    /// Keeps something; null to forget it. The file is read again first, for another window of the
    /// same user may have written to it.
    ///
    /// # Errors
    /// Where it is too much, or can't be written.
    pub fn keep(&self, name: String, value: Value) -> Result<Answer, Refusal> {
        let mut values = self.read();
        if value.is_null() {
            values.shift_remove(&name);
        } else {
            values.insert(name, value);
        }
        let bytes = serde_json::to_vec_pretty(&values).unwrap_or_default();
        if bytes.len() > MOST {
            return Err(Refusal::coded(
                "D-MUCH",
                "The page may keep 64 kB of settings, and no more.",
            ));
        }
        if let Some(file) = &self.file {
            write(file, &bytes)?;
        }
        Ok(Answer::Settings { values })
    }
}

fn write(file: &Path, bytes: &[u8]) -> Result<(), Refusal> {
    let made = file.parent().map_or(Ok(()), std::fs::create_dir_all);
    made.map_err(|error| {
        let file = file.display();
        Refusal::coded(
            "F-SAVE",
            &format!("The settings can't be kept in {file}: {error}."),
        )
    })?;
    write_whole(file, bytes).map_err(|error| refused(&error))
}

/// Which of these paths there is something at.
pub fn there(paths: &[String]) -> Answer {
    let there = paths.iter().map(|path| Path::new(path).exists()).collect();
    Answer::There { there }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn values(answer: Answer) -> Value {
        match answer {
            Answer::Settings { values } => Value::Object(values),
            other => panic!("no settings but {other:?}"),
        }
    }

    #[test]
    fn what_is_kept_is_there_when_the_program_is_started_again_and_what_others_kept_stays() {
        let place = tempfile::tempdir().unwrap();
        let file = place.path().join("gangday").join("settings.json");
        let (one, other) = (Settings::at(file.clone()), Settings::at(file.clone()));
        assert_eq!(values(one.told()), json!({}));
        one.keep("desk".into(), json!({"text": 2})).unwrap();
        other.keep("recent".into(), json!(["/a", "/b"])).unwrap();
        one.keep("clients".into(), json!(["Sallow"])).unwrap();
        one.keep("clients".into(), Value::Null).unwrap();
        let all = json!({"desk": {"text": 2}, "recent": ["/a", "/b"]});
        assert_eq!(values(Settings::at(file).told()), all);
    }

    #[test]
    fn a_damaged_file_counts_as_none_and_is_made_anew() {
        let place = tempfile::tempdir().unwrap();
        let file = place.path().join("settings.json");
        for damaged in ["{\"desk\": {\"te", "[1, 2]", "\u{0}\u{0}", ""] {
            std::fs::write(&file, damaged).unwrap();
            let settings = Settings::at(file.clone());
            assert_eq!(values(settings.told()), json!({}), "{damaged:?}");
            settings.keep("desk".into(), json!(1)).unwrap();
            assert_eq!(values(settings.told()), json!({"desk": 1}));
        }
    }

    #[test]
    fn too_much_is_refused_and_what_was_kept_stays() {
        let place = tempfile::tempdir().unwrap();
        let settings = Settings::at(place.path().join("settings.json"));
        settings.keep("desk".into(), json!(1)).unwrap();
        let refusal = settings.keep("much".into(), json!("x".repeat(MOST)));
        assert!(refusal.is_err_and(|refusal| refusal.text.contains("64 kB")));
        assert_eq!(values(settings.told()), json!({"desk": 1}));
    }

    #[test]
    fn where_nothing_can_be_written_is_said() {
        let place = tempfile::tempdir().unwrap();
        std::fs::write(place.path().join("gangday"), "a file").unwrap();
        let settings = Settings::at(place.path().join("gangday").join("settings.json"));
        let refusal = settings.keep("desk".into(), json!(1)).unwrap_err();
        assert!(refusal.text.contains("can't be kept"), "{}", refusal.text);
    }

    #[test]
    fn a_desk_without_a_place_keeps_nothing() {
        let settings = Settings::default();
        settings.keep("desk".into(), json!(1)).unwrap();
        assert_eq!(values(settings.told()), json!({}));
    }

    #[test]
    fn what_is_gone_is_told_from_what_is_there() {
        let place = tempfile::tempdir().unwrap();
        let at = |name: &str| place.path().join(name).display().to_string();
        let answer = there(&[at(""), at("gone.gpkg")]);
        let expected = Answer::There {
            there: vec![true, false],
        };
        assert_eq!(answer, expected);
    }
}
