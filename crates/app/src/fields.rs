//! The properties that jobs have, as a form offers them.

use gangday_files::{JOB_FIELDS, JobFieldKind};

use crate::view::FieldView;

/// Every property, in the order of a form.
#[must_use]
pub fn all() -> Vec<FieldView> {
    let view = |(name, kind): (&'static str, JobFieldKind)| FieldView {
        name: name.to_owned(),
        label: label(name),
        kind: kind_in_words(kind).to_owned(),
        choices: match kind {
            JobFieldKind::Choice(choices) => choices().into_iter().map(str::to_owned).collect(),
            _ => Vec::new(),
        },
    };
    JOB_FIELDS.into_iter().map(view).collect()
}

const fn kind_in_words(kind: JobFieldKind) -> &'static str {
    match kind {
        JobFieldKind::Choice(_) => "choice",
        JobFieldKind::Millimetres => "mm",
        JobFieldKind::Count => "count",
        JobFieldKind::Flag => "flag",
        JobFieldKind::Date => "date",
        JobFieldKind::Text => "text",
        JobFieldKind::Texts => "texts",
        JobFieldKind::Hours => "hours",
    }
}

/// `clear_length_mm` is `Clear length`.
fn label(name: &str) -> String {
    let plain = name.strip_suffix("_mm").unwrap_or(name).replace('_', " ");
    let mut letters = plain.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_has_every_property_with_its_choices() {
        let fields = all();
        let of = |name: &str| fields.iter().find(|field| field.name == name).unwrap();
        assert_eq!(of("clear_length_mm").label, "Clear length");
        assert_eq!(of("clear_length_mm").kind, "mm");
        assert_eq!(of("work").choices, ["new", "replace", "adjust"]);
        assert_eq!(of("site_hours").kind, "hours");
    }
}
