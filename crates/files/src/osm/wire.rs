//! The wire of Protocol Buffers, read in place: nothing is copied and nothing is believed, so that a
//! damaged block costs no more memory than its own bytes.
//!
//! # Source
//! Protocol Buffers, "Encoding" (wire types 0, 1, 2 and 5; varints; zigzag; packed lists).

/// A block that does not follow the wire format.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Broken;

/// What a field holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Value<'a> {
    Number(u64),
    Bytes(&'a [u8]),
    /// Four or eight bytes, which no field of an extract that matters here has.
    Fixed,
}

/// The fields of a message, in the order in which they stand.
#[derive(Clone, Copy)]
pub(super) struct Fields<'a> {
    rest: &'a [u8],
}

impl<'a> Fields<'a> {
    pub(super) fn of(message: &'a [u8]) -> Self {
        Self { rest: message }
    }

    fn take(&mut self, count: usize) -> Result<&'a [u8], Broken> {
        let (taken, rest) = self.rest.split_at_checked(count).ok_or(Broken)?;
        self.rest = rest;
        Ok(taken)
    }

    fn field(&mut self) -> Result<(u64, Value<'a>), Broken> {
        let key = varint(&mut self.rest)?;
        let value = match key & 7 {
            0 => Value::Number(varint(&mut self.rest)?),
            1 => self.take(8).map(|_| Value::Fixed)?,
            2 => {
                let length = varint(&mut self.rest)?;
                Value::Bytes(self.take(usize::try_from(length).map_err(|_| Broken)?)?)
            }
            5 => self.take(4).map(|_| Value::Fixed)?,
            _ => return Err(Broken),
        };
        Ok((key >> 3, value))
    }
}

impl<'a> Iterator for Fields<'a> {
    type Item = Result<(u64, Value<'a>), Broken>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.rest.is_empty() {
            return None;
        }
        let field = self.field();
        if field.is_err() {
            self.rest = &[];
        }
        Some(field)
    }
}

/// The numbers of a packed list.
#[derive(Clone, Copy, Default)]
pub(super) struct Packed<'a> {
    rest: &'a [u8],
}

impl<'a> Packed<'a> {
    pub(super) fn of(bytes: &'a [u8]) -> Self {
        Self { rest: bytes }
    }

    /// The same, as signed numbers in zigzag, each stated as its difference from the one before.
    pub(super) fn deltas(self) -> impl Iterator<Item = Result<i64, Broken>> {
        let mut sum = 0_i64;
        self.map(move |number| {
            sum = sum.wrapping_add(zigzag(number?));
            Ok(sum)
        })
    }
}

impl Iterator for Packed<'_> {
    type Item = Result<u64, Broken>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.rest.is_empty() {
            return None;
        }
        let number = varint(&mut self.rest);
        if number.is_err() {
            self.rest = &[];
        }
        Some(number)
    }
}

/// A signed number from its zigzag form.
pub(super) fn zigzag(number: u64) -> i64 {
    (number >> 1) as i64 ^ -((number & 1) as i64)
}

fn varint(rest: &mut &[u8]) -> Result<u64, Broken> {
    let mut number = 0_u64;
    for place in 0..10 {
        let (byte, after) = rest.split_first().ok_or(Broken)?;
        *rest = after;
        number |= u64::from(byte & 0x7f) << (7 * place);
        if byte & 0x80 == 0 {
            return Ok(number);
        }
    }
    Err(Broken)
}

#[cfg(test)]
mod tests {
    use super::*;

    // The examples of the encoding guide: 150 is 96 01, the text "testing" is field 2, and the
    // packed list 3, 270, 86942 is 03 8E 02 9E A7 05.
    #[test]
    fn the_published_examples_read_as_they_are_said_to() {
        let mut fields = Fields::of(&[0x08, 0x96, 0x01]);
        assert_eq!(fields.next(), Some(Ok((1, Value::Number(150)))));
        assert_eq!(fields.next(), None);
        let text = b"\x12\x07testing";
        assert_eq!(
            Fields::of(text).next(),
            Some(Ok((2, Value::Bytes(b"testing"))))
        );
        let list: Vec<_> = Packed::of(&[0x03, 0x8E, 0x02, 0x9E, 0xA7, 0x05]).collect();
        assert_eq!(list, [Ok(3), Ok(270), Ok(86942)]);
        let signed = [0, 1, 2, 3, 4_294_967_294, 4_294_967_295].map(zigzag);
        assert_eq!(signed, [0, -1, 1, -2, 2_147_483_647, -2_147_483_648]);
    }

    #[test]
    fn a_length_beyond_the_end_is_broken_and_ends_the_list() {
        for bytes in [
            &b"\x12\x08testing"[..],
            b"\x12\xff\xff\xff\xff\xff\xff\xff\xff\xff\x01x",
            b"\x80",
            b"\x0b",
            b"\x09\x00",
            b"\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\x01",
        ] {
            let fields: Vec<_> = Fields::of(bytes).collect();
            assert_eq!(fields, [Err(Broken)], "{bytes:?}");
        }
    }

    #[test]
    fn differences_add_up_and_wrap_round_rather_than_stop() {
        let sums: Vec<_> = Packed::of(&[2, 2, 1]).deltas().collect();
        assert_eq!(sums, [Ok(1), Ok(2), Ok(1)]);
        let most = [0xfe, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x01];
        let twice = [most, most].concat();
        assert_eq!(Packed::of(&twice).deltas().last(), Some(Ok(-2)));
    }
}
