//! JSON laid out for people and for comparing versions: one feature, gang or row on each line.

use std::io;

use serde::Serialize;
use serde_json::ser::{Formatter, Serializer};
use serde_json::{Map, Value};

/// One line, with a space after each comma and colon.
struct OneLine;

impl Formatter for OneLine {
    fn begin_array_value<W: ?Sized + io::Write>(
        &mut self,
        out: &mut W,
        first: bool,
    ) -> io::Result<()> {
        if first { Ok(()) } else { out.write_all(b", ") }
    }

    fn begin_object_key<W: ?Sized + io::Write>(
        &mut self,
        out: &mut W,
        first: bool,
    ) -> io::Result<()> {
        if first { Ok(()) } else { out.write_all(b", ") }
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, out: &mut W) -> io::Result<()> {
        out.write_all(b": ")
    }
}

/// A value on one line.
pub(crate) fn one_line(value: &Value, out: &mut Vec<u8>) {
    let written = value.serialize(&mut Serializer::with_formatter(&mut *out, OneLine));
    written.expect("a tree of values has text keys and goes to memory");
}

/// A list with one item on each line.
pub(crate) fn list(items: &[Value], out: &mut Vec<u8>) {
    out.push(b'[');
    for (index, item) in items.iter().enumerate() {
        out.extend_from_slice(if index == 0 { b"\n" } else { b",\n" });
        one_line(item, out);
    }
    out.extend_from_slice(if items.is_empty() { b"]" } else { b"\n]" });
}

/// An object with one member on each line, and one line for each item of the named lists.
pub(crate) fn object(members: &Map<String, Value>, lists: &[&str]) -> Vec<u8> {
    let mut out = b"{\n".to_vec();
    for (index, (name, value)) in members.iter().enumerate() {
        if index > 0 {
            out.extend_from_slice(b",\n");
        }
        one_line(&Value::String(name.clone()), &mut out);
        out.extend_from_slice(b": ");
        match value {
            Value::Array(items) if lists.contains(&name.as_str()) => list(items, &mut out),
            Value::Object(inner) if lists.contains(&name.as_str()) => {
                out.extend_from_slice(object(inner, &[]).trim_ascii_end());
            }
            other => one_line(other, &mut out),
        }
    }
    out.extend_from_slice(b"\n}\n");
    out
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn one_item_stands_on_each_line() {
        let Value::Object(members) = json!({"name": "a", "rows": [{"k": [1, 2]}, 3], "none": []})
        else {
            unreachable!()
        };
        let text = String::from_utf8(object(&members, &["rows", "none"])).unwrap();
        assert_eq!(
            text,
            "{\n\"name\": \"a\",\n\"rows\": [\n{\"k\": [1, 2]},\n3\n],\n\"none\": []\n}\n"
        );
    }
}
