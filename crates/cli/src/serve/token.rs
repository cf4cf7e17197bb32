//! The secret that only the printed address carries.

use sha2::{Digest as _, Sha256};

/// 128 random bits as text.
#[derive(Clone)]
pub struct Token(String);

impl Token {
    /// A fresh one from the system's own source.
    pub fn random() -> std::io::Result<Self> {
        let mut bytes = [0_u8; 16];
        getrandom::fill(&mut bytes).map_err(std::io::Error::other)?;
        Ok(Self(
            bytes.iter().map(|byte| format!("{byte:02x}")).collect(),
        ))
    }

    /// As it stands in the address.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether `offered` is it; comparing digests leaks nothing about where they differ.
    pub fn is(&self, offered: &str) -> bool {
        Sha256::digest(offered.as_bytes()) == Sha256::digest(self.0.as_bytes())
    }
}
