//! What lies between two states of a programme, as an edit that the store can keep, and the way
//! from the one to the other by it.

use std::collections::HashSet;
use std::sync::Arc;

use gangday_files::{
    GANGS, JOBS, JobReader, JobWithMembers, KeptFile, MATERIALS, METHOD, NETWORK, STREETS, WEEK,
    job_feature, read_plan, write_plan,
};
use gangday_model::{Finding, Job, JobId, Plan};
use gangday_store::{Change, FeatureChange, FileChange, Placed};

use crate::diary;
use crate::opened::{BACKDROP, DIARY, Opened, PLAN, UNREAD_PLAN};
use crate::saving;
use crate::view::Refusal;
use crate::watching::Watch;

/// A programme and its plan; cheap to copy.
#[derive(Clone)]
pub struct State {
    /// The programme.
    pub opened: Opened,
    /// Its plan.
    pub plan: Option<Arc<Plan>>,
}

/// The edit that leads from one state to the other.
#[must_use]
pub fn between(what: &str, before: &State, after: &State) -> Change {
    Change {
        what: what.to_owned(),
        features: jobs_between(&before.opened, &after.opened),
        files: files_between(before, after),
    }
}

fn jobs_between(before: &Opened, after: &Opened) -> Vec<FeatureChange> {
    if Arc::ptr_eq(&before.prepared, &after.prepared) || is_mended(before, after) {
        return Vec::new();
    }
    let (old, new) = (&before.prepared, &after.prepared);
    let mut changes = Vec::new();
    for (index, job) in old.programme.jobs.iter().enumerate() {
        let now = new.index_near(index, &job.id);
        let is_same = now.is_some_and(|now| new.programme.jobs[now] == *job)
            && before.kept.jobs.beside.get(job.id.as_str())
                == after.kept.jobs.beside.get(job.id.as_str());
        if !is_same {
            changes.push(FeatureChange {
                file: JOBS.to_owned(),
                before: Some(placed(before, index)),
                after: now.map(|now| placed(after, now)),
            });
        }
    }
    let fresh = new.programme.jobs.iter().enumerate();
    let fresh = fresh.filter(|(index, job)| old.index_near(*index, &job.id).is_none());
    changes.extend(fresh.map(|(index, _)| FeatureChange {
        file: JOBS.to_owned(),
        before: None,
        after: Some(placed(after, index)),
    }));
    renamed(changes)
}

/// Whether a job that reading had to refuse was put right or taken out, or another has taken its id or given it free:
/// that changes the file and no single job.
fn is_mended(before: &Opened, after: &Opened) -> bool {
    before.kept.jobs.set_aside != after.kept.jobs.set_aside
        || before
            .refused_names()
            .any(|name| before.has_job(name) != after.has_job(name))
}

/// A job that is gone and one that is new at the same place in the list are one job with another id.
fn renamed(changes: Vec<FeatureChange>) -> Vec<FeatureChange> {
    let gone = |one: &FeatureChange| one.after.is_none();
    let is_new = |one: &FeatureChange| one.before.is_none();
    let counts = (
        changes.iter().filter(|one| gone(one)).count(),
        changes.iter().filter(|one| is_new(one)).count(),
    );
    if counts != (1, 1) {
        return changes;
    }
    let place = |one: &Option<Placed>| one.as_ref().map(|placed| placed.index);
    let old = changes
        .iter()
        .find(|one| gone(one))
        .and_then(|one| one.before.clone());
    let new = changes
        .iter()
        .find(|one| is_new(one))
        .and_then(|one| one.after.clone());
    if place(&old) != place(&new) {
        return changes;
    }
    let others = changes.into_iter().filter(|one| !gone(one) && !is_new(one));
    others.chain([job_change(old, new)]).collect()
}

/// A job before and after a change; none where it is new or gone.
pub fn job_change(before: Option<Placed>, after: Option<Placed>) -> FeatureChange {
    FeatureChange {
        file: JOBS.to_owned(),
        before,
        after,
    }
}

/// A job as a change writes it down, with its place among the others.
pub fn placed(opened: &Opened, index: usize) -> Placed {
    let job = &opened.prepared.programme.jobs[index];
    Placed {
        id: job.id.to_string(),
        index,
        feature: job_feature(job, &opened.kept.jobs),
    }
}

fn files_between(before: &State, after: &State) -> Vec<FileChange> {
    let mut changes = Vec::new();
    if !Arc::ptr_eq(&before.opened.raw, &after.opened.raw) {
        let raw = |state: &State, name: &str| {
            let mut all = state.opened.raw.iter();
            all.find(|(own, _)| *own == name)
                .map(|(_, bytes)| bytes.clone())
        };
        for name in [STREETS, GANGS, METHOD, MATERIALS, WEEK, NETWORK] {
            let (before, after) = (raw(before, name), raw(after, name));
            if before != after {
                changes.push(FileChange {
                    name: name.to_owned(),
                    before,
                    after,
                });
            }
        }
    }
    if is_mended(&before.opened, &after.opened) {
        changes.push(FileChange {
            name: JOBS.to_owned(),
            before: saving::bytes_of(&before.opened, JOBS),
            after: saving::bytes_of(&after.opened, JOBS),
        });
    }
    let is_same = match (&before.plan, &after.plan) {
        (Some(one), Some(other)) => Arc::ptr_eq(one, other) || one == other,
        (None, None) => true,
        _ => false,
    };
    if !is_same {
        let bytes = |state: &State| {
            let plan = state.plan.as_deref().map(write_plan);
            state.opened.plan_files(plan).0
        };
        changes.push(FileChange {
            name: PLAN.to_owned(),
            before: bytes(before),
            after: bytes(after),
        });
        changes.extend(unread_between(before, after));
    }
    changes.extend(diary_between(&before.opened, &after.opened));
    changes
}

/// A plan that can't be read goes beside the first that takes its place, and back where that is taken away.
fn unread_between(before: &State, after: &State) -> Option<FileChange> {
    let beside = |state: &State| {
        let plan = state.plan.is_some().then(Vec::new);
        state.opened.plan_files(plan).1
    };
    let (before, after) = (beside(before), beside(after));
    (before != after).then(|| FileChange {
        name: UNREAD_PLAN.to_owned(),
        before,
        after,
    })
}

fn diary_between(before: &Opened, after: &Opened) -> Option<FileChange> {
    let (old, new) = (&before.diary, &after.diary);
    // What was issued is no edit.
    let is_same = (&old.older, &old.records) == (&new.older, &new.records);
    if Arc::ptr_eq(old, new) || is_same && old.standing == new.standing {
        return None;
    }
    Some(FileChange {
        name: DIARY.to_owned(),
        before: diary::write(old),
        after: diary::write(new),
    })
}

/// The state that an edit leads to.
///
/// # Errors
/// Where something that the edit puts back can't be read: the file was changed from outside since.
pub fn apply(state: &State, change: &Change) -> Result<State, Refusal> {
    let mut after = state.clone();
    let (mut plan, mut unread) = (None, None);
    let mut others = Vec::new();
    for file in &change.files {
        if file.name == PLAN {
            plan = Some(&file.after);
        } else if file.name == UNREAD_PLAN {
            unread = Some(file);
        } else if file.name == DIARY {
            let (then, faults) = diary::read(file.after.as_deref(), None);
            if !faults.is_empty() {
                let text = "The diary of that time can't be read any more.";
                return Err(Refusal::because(text, &faults));
            }
            after.opened.diary = Arc::new(state.opened.diary.at_the_time_of(&then));
        } else {
            others.push(file);
        }
    }
    if !others.is_empty() {
        after.opened = with_files(&after.opened, &others);
    }
    if !change.features.is_empty() {
        after.opened = with_jobs_as_they_were(&after.opened, &change.features)?;
    }
    if let Some(bytes) = plan {
        lay(&mut after, bytes.as_deref(), unread)?;
    }
    after.opened.look_back(after.plan.as_deref());
    Ok(after)
}

/// Lays the plan of a time on the desk; one that couldn't be read then goes with what stood beside it.
fn lay(
    after: &mut State,
    bytes: Option<&[u8]>,
    beside: Option<&FileChange>,
) -> Result<(), Refusal> {
    let read = bytes.map(read_plan).transpose();
    let Some(beside) = beside else {
        let plan = read.map_err(|faults| {
            Refusal::because("The plan of that time can't be read any more.", &faults)
        })?;
        after.plan = plan.map(Arc::new);
        return Ok(());
    };
    let unread = bytes.filter(|_| read.is_err());
    after.opened.unread_plan = unread.map(Into::into);
    after.opened.older_plans = beside.after.as_deref().map(Into::into);
    after.plan = read.ok().flatten().map(Arc::new);
    Ok(())
}

/// The programme with other files, read anew; its roads are made ready anew only where they may be
/// others.
fn with_files(opened: &Opened, changes: &[&FileChange]) -> Opened {
    let mut files = saving::programme_files(opened);
    for change in changes {
        files.retain(|(name, _)| *name != change.name);
        let known = [JOBS, STREETS, GANGS, METHOD, MATERIALS, WEEK, NETWORK];
        let name = known.into_iter().find(|known| *known == change.name);
        files.extend(name.zip(change.after.clone()));
    }
    let backdrop = opened.backdrop.as_deref().map(str::as_bytes);
    let get = |name: &str| {
        let file = files.iter().find(|(known, _)| *known == name);
        let file = file.map(|(_, bytes)| bytes.as_slice());
        file.or(backdrop.filter(|_| name == BACKDROP))
    };
    let of_roads = [STREETS, METHOD, NETWORK];
    let is_of_roads = |change: &&FileChange| of_roads.contains(&change.name.as_str());
    let mut read = if changes.iter().any(is_of_roads) {
        Opened::of_files(&opened.prepared.programme.name, get)
    } else {
        Opened::of_files_on_roads_of(&opened.prepared, get)
    };
    read.carry_over(opened);
    read.demo = opened.demo;
    read
}

/// The programme with jobs as an edit has left them once already; one that is left out may have the id of one by now.
fn with_jobs_as_they_were(opened: &Opened, changes: &[FeatureChange]) -> Result<Opened, Refusal> {
    let after = with_jobs_beside(opened, changes, &[], Watch::NOBODY)?;
    let taken = |id: &str| !opened.has_job(id) && after.has_job(id);
    let is_taken = after.refused_names().any(taken);
    Ok(match is_taken {
        true => read_again(&after),
        false => after,
    })
}

/// The programme with jobs changed, added and taken out.
///
/// # Errors
/// Every job that can't be as the change says, with its faults.
pub fn with_jobs(opened: &Opened, changes: &[FeatureChange]) -> Result<Opened, Refusal> {
    with_jobs_watched(opened, changes, Watch::NOBODY)
}

/// The same with somebody who sees how far it is.
///
/// # Errors
/// As there, and where it is stopped.
pub fn with_jobs_watched(
    opened: &Opened,
    changes: &[FeatureChange],
    watch: Watch<'_>,
) -> Result<Opened, Refusal> {
    with_jobs_beside(opened, changes, &opened.refused_jobs(), watch)
}

/// The same where these ids are taken besides.
fn with_jobs_beside(
    opened: &Opened,
    changes: &[FeatureChange],
    taken: &[JobId],
    watch: Watch<'_>,
) -> Result<Opened, Refusal> {
    let (read, found) = read_all(opened, changes, watch.part(0.0, 0.3))?;
    let mut members = opened.kept.jobs.clone();
    let jobs = rearranged(opened, changes, read, &mut members);
    refuse_twice(&jobs, taken)?;
    let mut after = opened.clone();
    let watch = watch.part(0.3, 1.0);
    after.prepared = Arc::new(opened.prepared.with_jobs_watched(jobs, watch)?);
    if members != opened.kept.jobs {
        Arc::make_mut(&mut after.kept).jobs = members;
    }
    if opened.raw.iter().any(|(name, _)| *name == JOBS) {
        let raw = opened.raw.iter().filter(|(name, _)| *name != JOBS);
        after.raw = Arc::new(raw.cloned().collect());
    }
    after.intake = Arc::new(findings_after(opened, changes, found));
    after.plan = None;
    Ok(match gives_an_id_free(opened, changes, &after) {
        true => read_again(&after),
        false => after,
    })
}

/// Whether a job that reading refused because another had its id may count now.
fn gives_an_id_free(before: &Opened, changes: &[FeatureChange], after: &Opened) -> bool {
    let refused: HashSet<&str> = before.refused_names().collect();
    let befores = changes.iter().filter_map(|change| change.before.as_ref());
    let mut ids = befores.map(|before| before.id.as_str());
    ids.any(|id| refused.contains(id) && !after.has_job(id))
}

/// The same with its jobs read anew, out of the file as it would be saved.
fn read_again(opened: &Opened) -> Opened {
    let jobs = FileChange {
        name: JOBS.to_owned(),
        before: None,
        after: saving::bytes_of(opened, JOBS),
    };
    with_files(opened, &[&jobs])
}

/// The job that each change leaves, if it leaves one, with what somebody should know of them.
type Read = (Vec<Option<JobWithMembers>>, Vec<Finding>);

fn read_all(opened: &Opened, changes: &[FeatureChange], watch: Watch<'_>) -> Result<Read, Refusal> {
    let programme = &opened.prepared.programme;
    let reader = JobReader::among(&programme.jobs, &programme.streets);
    let (mut read, mut found, mut faults) = (Vec::new(), Vec::new(), Vec::new());
    for (at, change) in changes.iter().enumerate() {
        watch.row((at, changes.len()), "Job", "made")?;
        let after = change.after.as_ref();
        match after.map(|after| reader.read(&after.feature)).transpose() {
            Ok(job) => {
                let (job, findings) = job.unzip();
                read.push(job);
                found.extend(findings.unwrap_or_default());
            }
            Err(wrong) => faults.extend(wrong),
        }
    }
    if faults.is_empty() {
        return Ok((read, found));
    }
    let text = "Nothing was changed, since it would leave a job at fault.";
    Err(Refusal::because(text, &faults))
}

/// The jobs after the changes, in order, and with them the members beside their properties.
fn rearranged(
    opened: &Opened,
    changes: &[FeatureChange],
    read: Vec<Option<JobWithMembers>>,
    members: &mut KeptFile,
) -> Vec<Job> {
    let prepared = &opened.prepared;
    let mut jobs: Vec<Option<Job>> = prepared.programme.jobs.iter().cloned().map(Some).collect();
    let mut added = Vec::new();
    for change in changes {
        if let Some(before) = &change.before {
            members.beside.remove(&before.id);
        }
    }
    for (change, read) in changes.iter().zip(read) {
        let before = change.before.as_ref();
        let at = before.and_then(|before| prepared.index_of(&JobId::new(before.id.as_str())));
        let job = read.map(|(job, beside)| {
            keep_beside(members, &job, beside);
            job
        });
        match (at, job) {
            (Some(at), job) => jobs[at] = job,
            (None, Some(job)) => {
                let index = change
                    .after
                    .as_ref()
                    .map_or(usize::MAX, |after| after.index);
                added.push((index, job));
            }
            (None, None) => {}
        }
    }
    let mut jobs: Vec<Job> = jobs.into_iter().flatten().collect();
    added.sort_by_key(|(index, _)| *index);
    for (index, job) in added {
        jobs.insert(index.min(jobs.len()), job);
    }
    jobs
}

fn keep_beside(kept: &mut KeptFile, job: &Job, beside: serde_json::Map<String, serde_json::Value>) {
    if !beside.is_empty() {
        kept.beside.insert(job.id.to_string(), beside);
    }
}

fn refuse_twice(jobs: &[Job], taken: &[JobId]) -> Result<(), Refusal> {
    let mut seen: HashSet<&JobId> = taken.iter().collect();
    for job in jobs {
        if !seen.insert(&job.id) {
            let text = format!(
                "Another job is called {} already; nothing was changed.",
                job.id
            );
            return Err(Refusal::coded("D-NAMED", &text));
        }
    }
    Ok(())
}

/// What reading found, without what it said of the jobs that are others now. What is left out is none of them, though it
/// may have the id of one.
fn findings_after(opened: &Opened, changes: &[FeatureChange], found: Vec<Finding>) -> Vec<Finding> {
    let befores = changes.iter().filter_map(|change| change.before.as_ref());
    let ids: HashSet<&str> = befores.map(|before| before.id.as_str()).collect();
    let aside: HashSet<&str> = opened.refused_names().collect();
    let touched = |finding: &Finding| {
        let in_jobs = finding.place.file.as_deref() == Some(JOBS);
        let feature = finding.place.feature.as_deref();
        let is_of_job = |id: &str| ids.contains(id) && !(finding.is_fault() && aside.contains(id));
        in_jobs && feature.is_some_and(is_of_job)
    };
    let old = opened
        .intake
        .iter()
        .filter(|finding| !touched(finding))
        .cloned();
    old.chain(found).collect()
}

#[cfg(test)]
mod tests;
