//! Rust source reduced to what it does: comments, the insides of strings, and tests blanked out.

/// Blanks comments, the insides of string literals and everything under `#[cfg(test)]`. Lines stay
/// where they are, so that a breach can be named by its line.
pub fn scrub(source: &str) -> String {
    without_tests(&without_words(source))
}

fn without_words(source: &str) -> String {
    let mut out = String::with_capacity(source.len());
    let mut rest = source;
    while let Some(first) = rest.chars().next() {
        let length = comment(rest).or_else(|| literal(rest, out.chars().next_back()));
        match length {
            Some(length) => {
                let (gone, after) = rest.split_at(length);
                out.extend(gone.chars().map(|c| if c == '\n' { '\n' } else { ' ' }));
                rest = after;
            }
            None => {
                out.push(first);
                rest = &rest[first.len_utf8()..];
            }
        }
    }
    out
}

/// The length of the comment that `text` begins with.
fn comment(text: &str) -> Option<usize> {
    if text.starts_with("//") {
        return Some(text.find('\n').unwrap_or(text.len()));
    }
    if !text.starts_with("/*") {
        return None;
    }
    let mut depth = 0_usize;
    for (at, _) in text.char_indices() {
        if text[at..].starts_with("/*") {
            depth += 1;
        } else if text[at..].starts_with("*/") {
            depth -= 1;
            if depth == 0 {
                return Some(at + 2);
            }
        }
    }
    Some(text.len())
}

/// The length of the string or character literal that `text` begins with.
fn literal(text: &str, before: Option<char>) -> Option<usize> {
    let in_a_name = before.is_some_and(|c| c.is_alphanumeric() || c == '_');
    if text.starts_with('"') {
        return Some(quoted(text));
    }
    if text.starts_with('r') && !in_a_name {
        return raw(text);
    }
    text.starts_with('\'').then(|| character(text)).flatten()
}

fn quoted(text: &str) -> usize {
    let mut escaped = false;
    for (at, c) in text.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return at + 1,
            _ => {}
        }
    }
    text.len()
}

fn raw(text: &str) -> Option<usize> {
    let hashes = text[1..].chars().take_while(|c| *c == '#').count();
    let inside = text[1 + hashes..].strip_prefix('"')?;
    let end = format!("\"{}", "#".repeat(hashes));
    let opening = 2 + hashes;
    Some(
        inside
            .find(&end)
            .map_or(text.len(), |at| opening + at + end.len()),
    )
}

/// A character literal, as against a lifetime, which has no closing quote.
fn character(text: &str) -> Option<usize> {
    let mut characters = text.char_indices().skip(1);
    let (_, first) = characters.next()?;
    if first == '\\' {
        let (_, _) = characters.next()?;
        return characters.find(|(_, c)| *c == '\'').map(|(at, _)| at + 1);
    }
    characters
        .next()
        .filter(|(_, c)| *c == '\'')
        .map(|(at, _)| at + 1)
}

fn without_tests(source: &str) -> String {
    let mut out = String::with_capacity(source.len());
    let mut rest = source;
    while let Some(at) = rest.find("#[cfg(test)]") {
        let (before, tests) = rest.split_at(at);
        let (gone, after) = tests.split_at(item_length(tests));
        out.push_str(before);
        out.extend(gone.chars().filter(|c| *c == '\n'));
        rest = after;
    }
    out + rest
}

/// How far the item reaches that `text` begins with: to its semicolon, or to its closing brace.
fn item_length(text: &str) -> usize {
    let mut depth = 0_usize;
    for (at, c) in text.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 1 => return at + 1,
            '}' => depth = depth.saturating_sub(1),
            ';' if depth == 0 => return at + 1,
            _ => {}
        }
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::scrub;

    #[test]
    fn comments_strings_and_characters_go_and_code_stays() {
        let source = "let a = \"f64 \\\" f64\"; // f64\n/* f64 /* f64 */ f64 */ let b: f64 = r#\"f64 \" f64\"# ; let c = '\"'; let d: &'a f64;";
        let clean = scrub(source);
        assert_eq!(clean.matches("f64").count(), 2, "{clean}");
        assert!(
            clean.contains("let b: f64 =") && clean.contains("&'a f64"),
            "{clean}"
        );
        assert_eq!(clean.lines().count(), source.lines().count());
    }

    #[test]
    fn tests_go_and_what_follows_them_stays_on_its_line() {
        let source =
            "fn a() {}\n#[cfg(test)]\nmod tests {\n  fn b() { let x: f64; }\n}\nfn c(x: f64) {}\n";
        let clean = scrub(source);
        assert_eq!(clean.matches("f64").count(), 1, "{clean}");
        assert_eq!(clean.lines().position(|l| l.contains("fn c")), Some(5));
        assert!(!scrub("#[cfg(test)]\nmod tests;\nfn a(f: f32) {}").contains("mod tests"));
    }
}
