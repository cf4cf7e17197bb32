//! One job followed back: every quantity with its formula, and its cross-section.

use gangday_calc::{Explaining, Explanation, Section, section, section_svg};
use gangday_model::{Job, JobId, TakeOff};

use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::view::Refusal;

/// Every quantity of a job as formula, numbers and figures with their sources.
///
/// # Errors
/// Where there is no such job, or it could not be worked out.
pub fn explain(opened: &Opened, job: &str) -> Result<Explanation, Refusal> {
    let prepared = &opened.prepared;
    let (own, taken) = job_of(opened, job)?;
    let Some(rules) = &prepared.stages else {
        return Err(refused(opened, job));
    };
    let explaining = Explaining {
        method: &prepared.method,
        materials: &prepared.materials,
        rules,
        conditions: prepared.conditions,
    };
    let told = explaining.explain(&own, taken);
    told.map_err(|faults| Refusal::because(&format!("{job} can't be worked out."), &faults))
}

/// The cross-section of a job's chamber, as data and as an SVG at 1 : `scale`.
///
/// # Errors
/// Where there is no such job, or it could not be worked out.
pub fn cross_section(opened: &Opened, job: &str, scale: u32) -> Result<(Section, String), Refusal> {
    let (_, taken) = job_of(opened, job)?;
    let drawn = section(taken);
    let svg = section_svg(&drawn, scale);
    Ok((drawn, svg))
}

/// The job as it is worked out, its closure among it.
fn job_of<'a>(opened: &'a Opened, job: &str) -> Result<(Job, &'a TakeOff), Refusal> {
    let prepared: &Prepared = &opened.prepared;
    let Some(at) = prepared.index_of(&JobId::new(job)) else {
        let text = format!("There is no job {job}; `gangday totals --by job` lists all.");
        return Err(Refusal::plain(&text));
    };
    let taken = prepared.take_offs[at].as_ref();
    let taken = taken.ok_or_else(|| refused(opened, job))?;
    let mut own = prepared.programme.jobs[at].clone();
    own.closure = Some(prepared.closures[at].kind);
    Ok((own, taken))
}

fn refused(opened: &Opened, job: &str) -> Refusal {
    let about = |finding: &gangday_model::Finding| finding.is_fault();
    let faults: Vec<_> = opened.findings().into_iter().filter(about).collect();
    Refusal::because(&format!("{job} can't be worked out."), &faults)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;
    use crate::view::DemoWeek;

    #[test]
    fn every_job_of_the_demo_can_be_followed_back() {
        let opened = demo::open(DemoWeek::Small);
        for job in &opened.prepared.programme.jobs {
            let told = explain(&opened, job.id.as_str()).unwrap();
            let depth = &told.quantities[0];
            let at = opened.prepared.index_of(&job.id).unwrap();
            let taken = opened.prepared.take_offs[at].as_ref().unwrap();
            assert_eq!(depth.value.to_string(), taken.depth.mm().to_string());
            let (drawn, svg) = cross_section(&opened, job.id.as_str(), 20).unwrap();
            assert_eq!(svg.matches("<polygon").count(), drawn.parts.len());
        }
    }

    #[test]
    fn a_job_that_is_not_there_is_refused() {
        let opened = demo::open(DemoWeek::Small);
        let refusal = explain(&opened, "none").unwrap_err();
        assert!(refusal.text.contains("no job none"), "{}", refusal.text);
    }
}
