//! JSON text to a tree of values, with the line and column of what is wrong with the text.
//!
//! A name stated twice in one object is lawful JSON, but readers differ on which counts (RFC 8259,
//! clause 4): it is found here, because the tree no longer shows it.

use std::cell::RefCell;
use std::fmt;

use gangday_model::Finding;
use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};

use crate::codes;
use crate::ledger::Ledger;
use crate::words::shorten;

/// The tree of a file's text, if it has one.
pub(crate) fn parse(bytes: &[u8], ledger: &mut Ledger) -> Option<Value> {
    match tree(bytes) {
        Ok((value, twice)) => {
            twice.into_iter().for_each(|finding| ledger.enter(finding));
            Some(value)
        }
        Err(finding) => {
            ledger.enter(*finding);
            None
        }
    }
}

/// The tree and the names stated twice, or why there is no tree.
pub(crate) fn tree(bytes: &[u8]) -> Result<(Value, Vec<Finding>), Box<Finding>> {
    let text = text_of(bytes)?;
    if text.trim().is_empty() {
        return Err(Box::new(Finding::fault(
            codes::EMPTY,
            "The file is empty.",
            "Restore the file from a copy, or remove it if it is not needed.",
        )));
    }
    let twice = RefCell::new(Vec::new());
    let mut reader = serde_json::Deserializer::from_str(text);
    let seed = Node {
        path: Path::Top,
        twice: &twice,
    };
    let value = seed
        .deserialize(&mut reader)
        .and_then(|value| reader.end().map(|()| value));
    match value {
        Ok(value) => Ok((value, twice.into_inner())),
        Err(error) => Err(Box::new(bad_json(&error))),
    }
}

/// The text of a file: UTF-8, with or without the byte order mark that some editors put first.
pub(crate) fn text_of(bytes: &[u8]) -> Result<&str, Box<Finding>> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    std::str::from_utf8(bytes).map_err(|error| {
        let sound = &bytes[..error.valid_up_to()];
        let line = sound.iter().filter(|byte| **byte == b'\n').count() + 1;
        let last = sound.rsplit(|byte| *byte == b'\n').next().unwrap_or(sound);
        let column = String::from_utf8_lossy(last).chars().count() + 1;
        let utf_16 = bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF");
        let text = if utf_16 {
            "The file is UTF-16 text, not UTF-8."
        } else {
            "The file is not UTF-8 text."
        };
        let remedy = "Save it again as UTF-8; most editors offer that in Save As.";
        Box::new(Finding::fault(codes::UTF8, text, remedy).on_line(small(line), small(column)))
    })
}

fn small(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

fn bad_json(error: &serde_json::Error) -> Finding {
    let whole = error.to_string();
    let cause = whole
        .rfind(" at line ")
        .map_or(whole.as_str(), |end| &whole[..end]);
    let remedy = if error.is_eof() {
        "The file ends too soon: restore it from a copy, or close what is still open."
    } else {
        "Correct the text at this line and column."
    };
    Finding::fault(
        codes::JSON,
        format!("The file is not JSON: {cause}."),
        remedy,
    )
    .on_line(small(error.line().max(1)), small(error.column().max(1)))
}

#[derive(Clone, Copy)]
enum Path<'p> {
    Top,
    Member(&'p Path<'p>, &'p str),
    Item(&'p Path<'p>, usize),
}

impl fmt::Display for Path<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Path::Top => Ok(()),
            Path::Member(Path::Top, name) => f.write_str(&shorten(name)),
            Path::Member(parent, name) => write!(f, "{parent}.{}", shorten(name)),
            Path::Item(parent, index) => write!(f, "{parent}[{index}]"),
        }
    }
}

struct Node<'p> {
    path: Path<'p>,
    twice: &'p RefCell<Vec<Finding>>,
}

impl<'de> DeserializeSeed<'de> for Node<'_> {
    type Value = Value;
    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Value, D::Error> {
        from.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Node<'_> {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Value, E> {
        Ok(Number::from_f64(value).map_or(Value::Null, Value::Number))
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(Value::String(value.to_owned()))
    }

    fn visit_string<E>(self, value: String) -> Result<Value, E> {
        Ok(Value::String(value))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element_seed(Node {
            path: Path::Item(&self.path, list.len()),
            twice: self.twice,
        })? {
            list.push(item);
        }
        Ok(Value::Array(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Value, A::Error> {
        let mut map = Map::new();
        while let Some(name) = members.next_key::<String>()? {
            let path = Path::Member(&self.path, &name);
            let twice = self.twice;
            let value = members.next_value_seed(Node { path, twice })?;
            if map.contains_key(&name) {
                twice.borrow_mut().push(stated_twice(&path, &name));
            }
            map.insert(name, value);
        }
        Ok(Value::Object(map))
    }
}

fn stated_twice(path: &Path<'_>, name: &str) -> Finding {
    let text = format!("`{path}` is stated twice; the later one counts.");
    Finding::warning(codes::TWICE, text, "Remove the one that is wrong.").of(shorten(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_syntax_error_has_its_line_and_column() {
        let found = *tree(b"{\n  \"type\": oops\n}").unwrap_err();
        assert_eq!(
            (found.code.as_str(), found.place.line),
            (codes::JSON, Some(2))
        );
        assert_eq!(found.place.column, Some(11));
        assert_eq!(found.text, "The file is not JSON: expected value.");
    }

    #[test]
    fn a_byte_order_mark_is_no_fault_but_another_encoding_is() {
        assert!(tree(b"\xEF\xBB\xBF{}").is_ok());
        let found = *tree(b"{\"a\":\n \"caf\xE9\"}").unwrap_err();
        assert_eq!((found.place.line, found.place.column), (Some(2), Some(6)));
        let found = *tree(b"\xFF\xFE{\0}\0").unwrap_err();
        assert!(found.text.contains("UTF-16"));
    }

    #[test]
    fn a_name_stated_twice_is_found_where_it_stands() {
        let (value, twice) = tree(br#"{"a":[{"b":1,"b":2}]}"#).unwrap();
        assert_eq!(value, serde_json::json!({"a": [{"b": 2}]}));
        assert_eq!(
            twice[0].text,
            "`a[0].b` is stated twice; the later one counts."
        );
    }

    #[test]
    fn deep_nesting_is_a_fault_and_not_a_crash() {
        let deep = "[".repeat(200_000);
        assert_eq!(tree(deep.as_bytes()).unwrap_err().code, codes::JSON);
    }
}
