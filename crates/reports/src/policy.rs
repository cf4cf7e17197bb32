//! What the page may do once it is open: nothing but its own style and script.

use base64::{Engine, engine::general_purpose::STANDARD};
use sha2::{Digest, Sha256};

/// The Content-Security-Policy of a page with this one style and this one script.
///
/// # Source
/// W3C Content Security Policy Level 3, 2.3.1 and 6.7.3.3 (hash of the element's whole text).
pub(crate) fn content_security_policy(style: &str, script: &str) -> String {
    format!(
        "default-src 'none'; style-src '{}'; script-src '{}'; img-src data:; base-uri 'none'; form-action 'none'",
        source_hash(style),
        source_hash(script)
    )
}

/// The same of a page that runs nothing.
pub(crate) fn style_only(style: &str) -> String {
    format!(
        "default-src 'none'; style-src '{}'; img-src data:; base-uri 'none'; form-action 'none'",
        source_hash(style)
    )
}

fn source_hash(code: &str) -> String {
    format!(
        "sha256-{}",
        STANDARD.encode(Sha256::digest(code.as_bytes()))
    )
}

#[cfg(test)]
mod tests {
    use super::source_hash;

    /// # Source
    /// W3C Content Security Policy Level 3, 8.3 example: `alert('Hello, world.');`.
    #[test]
    fn hash_is_that_of_the_standards_example() {
        assert_eq!(
            source_hash("alert('Hello, world.');"),
            "sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng="
        );
    }
}
