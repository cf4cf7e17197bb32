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

/// An object laid out as [`object`] does it, without a tree of it.
pub(crate) fn straight(value: &impl Serialize, lists: &[&str]) -> Vec<u8> {
    let mut out = Vec::new();
    let laid = Laid {
        lists,
        depth: 0,
        key: String::new(),
        in_key: false,
        in_list: false,
        is_begun: false,
    };
    let written = value.serialize(&mut Serializer::with_formatter(&mut out, laid));
    written.expect("what is laid out has text keys and goes to memory");
    out
}

/// One member on each line, and one line for each item of some lists.
struct Laid<'l> {
    lists: &'l [&'l str],
    depth: u32,
    /// The member that is being written.
    key: String,
    in_key: bool,
    /// Whether that is one of the lists, and has an item already.
    in_list: bool,
    is_begun: bool,
}

impl Laid<'_> {
    const fn is_member(&self) -> bool {
        self.depth == 1
    }

    const fn is_item(&self) -> bool {
        self.depth == 2 && self.in_list
    }
}

impl Formatter for Laid<'_> {
    fn begin_object<W: ?Sized + io::Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.depth += 1;
        out.write_all(if self.is_member() { b"{\n" } else { b"{" })
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, out: &mut W) -> io::Result<()> {
        let is_whole = self.is_member();
        self.depth -= 1;
        out.write_all(if is_whole { b"\n}\n" } else { b"}" })
    }

    fn begin_object_key<W: ?Sized + io::Write>(
        &mut self,
        out: &mut W,
        first: bool,
    ) -> io::Result<()> {
        if self.is_member() {
            self.in_key = true;
            self.key.clear();
        }
        match (first, self.is_member()) {
            (true, _) => Ok(()),
            (false, true) => out.write_all(b",\n"),
            (false, false) => out.write_all(b", "),
        }
    }

    fn end_object_key<W: ?Sized + io::Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.in_key = false;
        Ok(())
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, out: &mut W) -> io::Result<()> {
        out.write_all(b": ")
    }

    fn write_string_fragment<W: ?Sized + io::Write>(
        &mut self,
        out: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        if self.in_key {
            self.key.push_str(fragment);
        }
        out.write_all(fragment.as_bytes())
    }

    fn begin_array<W: ?Sized + io::Write>(&mut self, out: &mut W) -> io::Result<()> {
        if self.is_member() {
            self.in_list = self.lists.contains(&self.key.as_str());
            self.is_begun = false;
        }
        self.depth += 1;
        out.write_all(b"[")
    }

    fn begin_array_value<W: ?Sized + io::Write>(
        &mut self,
        out: &mut W,
        first: bool,
    ) -> io::Result<()> {
        let is_item = self.is_item();
        self.is_begun |= is_item;
        match (first, is_item) {
            (true, true) => out.write_all(b"\n"),
            (true, false) => Ok(()),
            (false, true) => out.write_all(b",\n"),
            (false, false) => out.write_all(b", "),
        }
    }

    fn end_array<W: ?Sized + io::Write>(&mut self, out: &mut W) -> io::Result<()> {
        let is_begun = self.is_item() && self.is_begun;
        self.depth -= 1;
        self.in_list &= self.depth > 1;
        out.write_all(if is_begun { b"\n]" } else { b"]" })
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
        let nested = json!({"a": [[1, [2]], {"rows": [3, 4], "b": {}}], "rows": [[5, 6], {"rows": [7]}], "b": {"rows": [8, 9]}});
        let nested = nested.as_object().unwrap();
        assert_eq!(
            straight(nested, &["rows", "a"]),
            object(nested, &["rows", "a"])
        );
        assert_eq!(straight(&members, &["rows", "none"]), text.as_bytes());
        assert_eq!(
            text,
            "{\n\"name\": \"a\",\n\"rows\": [\n{\"k\": [1, 2]},\n3\n],\n\"none\": []\n}\n"
        );
    }
}
