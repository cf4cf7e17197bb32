//! What differs between two texts, line by line, so that either can be had from the other.

use std::collections::HashMap;

use sha2::{Digest as _, Sha256};

/// The way from one text to another, and back.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Difference {
    before: [u8; 32],
    after: [u8; 32],
    parts: Vec<Part>,
}

/// So many bytes that are the same, and what comes after them in each text.
#[derive(Clone, Debug, Default, PartialEq)]
struct Part {
    same: usize,
    out: Vec<u8>,
    put: Vec<u8>,
}

impl Difference {
    /// What differs.
    pub(crate) fn between(before: &[u8], after: &[u8]) -> Self {
        Self {
            before: mark(before),
            after: mark(after),
            parts: parts(&lines(before), &lines(after)),
        }
    }

    /// The text after, from the one before; none from any other.
    pub(crate) fn on(&self, before: &[u8]) -> Option<Vec<u8>> {
        let one = |part: &'_ Part| (part.same, part.out.len());
        let made = (mark(before) == self.before).then(|| self.apply(before, one, |part| &part.put));
        made?.filter(|after| mark(after) == self.after)
    }

    /// The text before, from the one after; none from any other.
    pub(crate) fn back(&self, after: &[u8]) -> Option<Vec<u8>> {
        let one = |part: &'_ Part| (part.same, part.put.len());
        let made = (mark(after) == self.after).then(|| self.apply(after, one, |part| &part.out));
        made?.filter(|before| mark(before) == self.before)
    }

    fn apply(
        &self,
        from: &[u8],
        taken: impl Fn(&Part) -> (usize, usize),
        put: impl Fn(&Part) -> &[u8],
    ) -> Option<Vec<u8>> {
        let mut made = Vec::with_capacity(from.len());
        let mut rest = from;
        for part in &self.parts {
            let (same, out) = taken(part);
            let (same, after) = rest.split_at_checked(same)?;
            made.extend_from_slice(same);
            made.extend_from_slice(put(part));
            (_, rest) = after.split_at_checked(out)?;
        }
        made.extend_from_slice(rest);
        Some(made)
    }

    /// How much it takes to write it down, about.
    pub(crate) fn size(&self) -> usize {
        let parts = self.parts.iter();
        64 + parts
            .map(|part| 12 + part.out.len() + part.put.len())
            .sum::<usize>()
    }

    /// As bytes: both marks, and of each part three lengths of eight bytes, the lowest first, and both texts.
    pub(crate) fn to_bytes(&self) -> Vec<u8> {
        let mut bytes = [self.before, self.after].concat();
        for part in &self.parts {
            for length in [part.same, part.out.len(), part.put.len()] {
                bytes.extend_from_slice(&(length as u64).to_le_bytes());
            }
            bytes.extend_from_slice(&part.out);
            bytes.extend_from_slice(&part.put);
        }
        bytes
    }

    /// From bytes; none where they are not those of a difference.
    pub(crate) fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let (before, rest) = bytes.split_first_chunk()?;
        let (after, mut rest) = rest.split_first_chunk()?;
        let mut parts = Vec::new();
        while !rest.is_empty() {
            let mut next = || {
                let (length, after) = rest.split_first_chunk()?;
                rest = after;
                usize::try_from(u64::from_le_bytes(*length)).ok()
            };
            let (same, out, put) = (next()?, next()?, next()?);
            let (out, after) = rest.split_at_checked(out)?;
            let (put, after) = after.split_at_checked(put)?;
            rest = after;
            parts.push(Part {
                same,
                out: out.to_vec(),
                put: put.to_vec(),
            });
        }
        Some(Self {
            before: *before,
            after: *after,
            parts,
        })
    }
}

fn mark(text: &[u8]) -> [u8; 32] {
    Sha256::digest(text).into()
}

fn lines(text: &[u8]) -> Vec<&[u8]> {
    text.split_inclusive(|byte| *byte == b'\n').collect()
}

/// Goes along both texts, and where they differ, on to the nearest two lines that are the same.
fn parts(before: &[&[u8]], after: &[&[u8]]) -> Vec<Part> {
    let mut places: HashMap<&[u8], Vec<usize>> = HashMap::new();
    for (at, line) in before.iter().enumerate() {
        places.entry(line).or_default().push(at);
    }
    let mut parts = Vec::new();
    let (mut old, mut new, mut same) = (0, 0, 0);
    while old < before.len() || new < after.len() {
        match (before.get(old), after.get(new)) {
            (Some(one), Some(other)) if one == other => {
                same += one.len();
                (old, new) = (old + 1, new + 1);
            }
            _ => {
                let (out, put) = apart(&places, (before, old), (after, new));
                parts.push(Part {
                    same: std::mem::take(&mut same),
                    out: before[old..old + out].concat(),
                    put: after[new..new + put].concat(),
                });
                (old, new) = (old + out, new + put);
            }
        }
    }
    parts
}

/// How many lines of each are passed over until both go on with the same line, as few as can be.
fn apart(
    places: &HashMap<&[u8], Vec<usize>>,
    (before, old): (&[&[u8]], usize),
    (after, new): (&[&[u8]], usize),
) -> (usize, usize) {
    let mut best = (before.len() - old, after.len() - new);
    for (put, line) in after[new..].iter().enumerate() {
        if put >= best.0 + best.1 {
            break;
        }
        let known = places.get(line).map_or(&[][..], Vec::as_slice);
        let next = known.partition_point(|at| *at < old);
        if let Some(at) = known
            .get(next)
            .filter(|at| *at - old + put < best.0 + best.1)
        {
            best = (at - old, put);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn both_ways(before: &[u8], after: &[u8]) -> Difference {
        let difference = Difference::between(before, after);
        let bytes = difference.to_bytes();
        let read = Difference::from_bytes(&bytes);
        assert_eq!(read.as_ref(), Some(&difference));
        assert_eq!(difference.on(before).as_deref(), Some(after));
        assert_eq!(difference.back(after).as_deref(), Some(before));
        for most in [0, 1, 40, 70, bytes.len() - 1] {
            // What is cut short is no difference, or one that leads nowhere.
            let cut = Difference::from_bytes(&bytes[..most.min(bytes.len() - 1)]);
            let led = cut.and_then(|cut| cut.on(before));
            assert!(led.is_none_or(|led| led == after));
        }
        difference
    }

    proptest! {
        #[test]
        fn either_text_is_had_from_the_other(
            before in prop::collection::vec("[ab]{0,2}\n?", 0..30),
            after in prop::collection::vec("[ab]{0,2}\n?", 0..30),
        ) {
            both_ways(before.concat().as_bytes(), after.concat().as_bytes());
        }
    }

    #[test]
    fn one_line_that_differs_is_all_that_is_kept() {
        let text = |changed: &str| {
            let line = |at: usize| format!("{at} {}\n", if at == 500 { changed } else { "same" });
            (0..1_000).map(line).collect::<String>()
        };
        let (before, after) = (text("old"), text("new"));
        let difference = both_ways(before.as_bytes(), after.as_bytes());
        assert_eq!(difference.parts.len(), 1);
        assert_eq!(difference.parts[0].put, b"500 new\n");
        let gone = after.replace("500 new\n", "");
        assert!(both_ways(after.as_bytes(), gone.as_bytes()).size() < 100);
        assert_eq!(difference.on(after.as_bytes()), None);
        assert_eq!(difference.back(before.as_bytes()), None);
    }
}
