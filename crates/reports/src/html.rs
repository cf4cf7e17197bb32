//! Markup under construction: names are fixed in the code, words are always escaped.

use crate::escape;

/// An HTML document being written.
///
/// Element and attribute names are `'static`, so data can't become one; values and text go
/// through [`escape`]. Only [`Html::code`] writes as it is, and takes only our own style and script.
#[derive(Default)]
pub(crate) struct Html {
    out: String,
    open: Vec<&'static str>,
}

/// An attribute's name and value.
pub(crate) type Attribute<'a> = (&'static str, &'a str);

impl Html {
    /// Opens an element; [`Html::close`] ends it.
    pub(crate) fn open(&mut self, tag: &'static str, attributes: &[Attribute<'_>]) -> &mut Self {
        self.start(tag, attributes);
        self.open.push(tag);
        self
    }

    /// Ends the element opened last.
    pub(crate) fn close(&mut self) -> &mut Self {
        if let Some(tag) = self.open.pop() {
            self.end(tag);
        }
        self
    }

    /// An element that has no end, such as `meta`.
    pub(crate) fn void(&mut self, tag: &'static str, attributes: &[Attribute<'_>]) -> &mut Self {
        self.start(tag, attributes);
        self
    }

    /// An element with only words in it.
    pub(crate) fn words(
        &mut self,
        tag: &'static str,
        attributes: &[Attribute<'_>],
        words: &str,
    ) -> &mut Self {
        self.start(tag, attributes);
        self.text(words);
        self.end(tag);
        self
    }

    /// An element with nothing in it, such as a path.
    pub(crate) fn empty(&mut self, tag: &'static str, attributes: &[Attribute<'_>]) -> &mut Self {
        self.words(tag, attributes, "")
    }

    /// Words.
    pub(crate) fn text(&mut self, words: &str) -> &mut Self {
        self.out.push_str(&escape(words));
        self
    }

    /// A line break in the source, where it helps a reader of it.
    pub(crate) fn line(&mut self) -> &mut Self {
        self.out.push('\n');
        self
    }

    /// Our own style or script, as it is.
    pub(crate) fn code(&mut self, tag: &'static str, code: &str) -> &mut Self {
        self.start(tag, &[]);
        self.out.push_str(code);
        self.end(tag);
        self.line()
    }

    /// The document.
    pub(crate) fn finish(mut self) -> String {
        while !self.open.is_empty() {
            self.close();
        }
        self.out.insert_str(0, "<!doctype html>\n");
        self.out
    }

    fn start(&mut self, tag: &'static str, attributes: &[Attribute<'_>]) {
        self.out.push('<');
        self.out.push_str(tag);
        for (name, value) in attributes {
            self.out.push(' ');
            self.out.push_str(name);
            self.out.push_str("=\"");
            self.out.push_str(&escape(value));
            self.out.push('"');
        }
        self.out.push('>');
    }

    fn end(&mut self, tag: &'static str) {
        self.out.push_str("</");
        self.out.push_str(tag);
        self.out.push('>');
    }
}

/// A finite number with two decimals at most; a hundredth of the drawing's unit is unseen.
pub(crate) fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0" } else { text }.to_owned()
}

#[cfg(test)]
mod tests {
    use super::{Html, number};

    #[test]
    fn elements_end_in_order() {
        let mut html = Html::default();
        html.open("p", &[("class", "a\"b")])
            .words("b", &[], "<")
            .close();
        assert_eq!(
            html.finish(),
            "<!doctype html>\n<p class=\"a&quot;b\"><b>&lt;</b></p>"
        );
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(number(12.0), "12");
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(0.126), "0.13");
        assert_eq!(number(100.0), "100");
    }
}
