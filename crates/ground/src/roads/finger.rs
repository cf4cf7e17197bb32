//! A checksum that stays the same from one release to the next.

/// FNV-1a over whole numbers, 64 bits: it tells a stale file from a fresh one, and guards nothing.
///
/// # Source
/// G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, "The FNV Non-Cryptographic Hash Algorithm",
/// IETF draft-eastlake-fnv: offset basis and prime of the 64-bit hash (from memory; the test holds
/// the published value for "foobar").
#[derive(Clone, Copy, Debug)]
pub(super) struct Finger(u64);

impl Default for Finger {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Finger {
    pub(super) fn add(&mut self, number: u32) -> &mut Self {
        self.bytes(&number.to_le_bytes())
    }

    pub(super) fn bytes(&mut self, bytes: &[u8]) -> &mut Self {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x100_0000_01b3);
        }
        self
    }

    pub(super) fn value(self) -> u64 {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::Finger;

    #[test]
    fn it_is_the_published_hash() {
        assert_eq!(Finger::default().value(), 0xcbf2_9ce4_8422_2325);
        assert_eq!(
            Finger::default().bytes(b"foobar").value(),
            0x8594_4171_f739_67e8
        );
    }
}
