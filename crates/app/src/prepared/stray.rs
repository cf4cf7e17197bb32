//! Properties of a job that are called as figures are, but that no job states.

use gangday_files::JOBS;
use gangday_model::{Finding, Job, ParameterTable};

/// Families of figures that somebody could take for a job's own.
const FAMILIES: [&str; 4] = ["chamber.", "dig.", "existing.", "stage."];
/// What a job may state of itself beyond its sizes.
const READ: [&str; 1] = ["sheeting_mm"];

/// A note for each property that is called as a figure of the method is: the job keeps it, and it counts
/// for nothing, which nobody would see otherwise.
pub(super) fn stray(job: &Job, method: &ParameterTable) -> Vec<Finding> {
    let names = job.extra.keys().map(String::as_str);
    let names = names.filter(|name| !READ.contains(name));
    let found = names.filter_map(|name| Some(note(job, name, figure(method, name)?)));
    found.collect()
}

/// The figure that a property is called after: `surfacing_mm` after `chamber.surfacing` in mm.
fn figure<'a>(method: &'a ParameterTable, name: &str) -> Option<&'a str> {
    let (stem, unit) = name.rsplit_once('_')?;
    let is_called = |key: &str| {
        let mut families = FAMILIES.iter();
        let rest = families.find_map(|family| key.strip_prefix(family));
        rest.is_some_and(|rest| {
            rest.len() == stem.len()
                && rest
                    .chars()
                    .zip(stem.chars())
                    .all(|(one, other)| one == other || one == '.' && other == '_')
        })
    };
    let mut rows = method.rows();
    rows.find(|row| row.unit == unit && is_called(&row.key))
        .map(|row| row.key.as_str())
}

fn note(job: &Job, name: &str, key: &str) -> Finding {
    let text = format!(
        "`{name}` is no property that a job states of itself, so it is kept but not used; every job takes the figure `{key}`."
    );
    let remedy = format!(
        "Change `{key}` among the figures, for all jobs, or take the property off the job."
    );
    Finding::note("J-FIGURE", text, remedy)
        .in_file(JOBS)
        .at(job.id.as_str())
        .of(name)
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use crate::trial::changed;

    #[test]
    fn a_property_called_as_a_figure_is_told_of_and_others_are_not() {
        let opened = changed(|programme| {
            let own = &mut programme.jobs[0].extra;
            own.insert("surfacing_mm".to_owned(), json!(80));
            own.insert("service_check_min".to_owned(), json!(5));
            own.insert("sheeting_mm".to_owned(), json!(50));
            own.insert("client_ref_mm".to_owned(), json!(1));
        });
        let found = opened.prepared.findings().iter();
        let found: Vec<String> = found
            .filter(|one| one.code == "J-FIGURE")
            .map(|one| {
                format!(
                    "{} {}",
                    one.place.property.as_deref().unwrap_or_default(),
                    one.text
                )
            })
            .collect();
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found[0].starts_with("surfacing_mm") && found[0].contains("`chamber.surfacing`"));
        assert!(
            found[1].starts_with("service_check_min") && found[1].contains("`stage.service_check`")
        );
    }
}
