//! The one way that words from the data become markup.

/// Escapes words for HTML text and for quoted attributes alike.
///
/// One function for both contexts, so that nobody has to choose the right one. Control characters,
/// and the marks that turn the reading direction round, become the replacement character: they
/// stay visible as something odd instead of making `fdp.exe` look like `exe.pdf`.
///
/// # Source
/// HTML Living Standard, 13.3 "Serializing HTML fragments"; Unicode Standard Annex 9 for the
/// directional marks.
///
/// ```
/// assert_eq!(gangday_reports::escape("Ash & <b>Elm</b>"), "Ash &amp; &lt;b&gt;Elm&lt;/b&gt;");
/// assert_eq!(gangday_reports::escape("a\u{202E}b"), "a\u{FFFD}b");
/// ```
#[must_use]
pub fn escape(words: &str) -> String {
    let mut out = String::with_capacity(words.len() + words.len() / 8);
    for c in words.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '`' => out.push_str("&#96;"),
            '\t' | '\n' | '\r' | '\u{2028}' | '\u{2029}' => out.push(' '),
            c if c.is_control() || turns_direction(c) || is_noncharacter(c) => out.push('\u{FFFD}'),
            c => out.push(c),
        }
    }
    out
}

/// Marks, embeddings, overrides and isolates of the bidirectional algorithm.
const fn turns_direction(c: char) -> bool {
    matches!(c, '\u{061C}' | '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

/// Code points that no text may hold, and the byte-order mark in the middle of one.
const fn is_noncharacter(c: char) -> bool {
    matches!(c, '\u{FDD0}'..='\u{FDEF}' | '\u{FEFF}') || (c as u32) & 0xFFFE == 0xFFFE
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::escape;

    #[test]
    fn markup_becomes_words() {
        assert_eq!(
            escape(r#""><svg onload='x'>`"#),
            "&quot;&gt;&lt;svg onload=&#39;x&#39;&gt;&#96;"
        );
    }

    #[test]
    fn controls_and_direction_marks_are_seen_and_not_obeyed() {
        assert_eq!(escape("a\0b\u{7f}c\u{85}d"), "a\u{FFFD}b\u{FFFD}c\u{FFFD}d");
        for mark in [
            '\u{061C}', '\u{200E}', '\u{200F}', '\u{202A}', '\u{202E}', '\u{2066}', '\u{2069}',
        ] {
            assert_eq!(escape(&mark.to_string()), "\u{FFFD}", "{mark:?}");
        }
        assert_eq!(escape("two\r\nlines"), "two  lines");
    }

    #[test]
    fn other_scripts_stay() {
        assert_eq!(escape("Heol y Dŵr, שדרה, 通り"), "Heol y Dŵr, שדרה, 通り");
    }

    proptest! {
        #[test]
        fn nothing_that_opens_or_ends_markup_is_left(words in any::<String>()) {
            let out = escape(&words);
            let left = out.contains(['<', '>', '"', '\'', '`', '\0', '\u{202E}']);
            prop_assert!(!left);
            let plain = out.replace("&amp;", "").replace("&lt;", "").replace("&gt;", "")
                .replace("&quot;", "").replace("&#39;", "").replace("&#96;", "");
            prop_assert!(!plain.contains('&'));
        }
    }
}
