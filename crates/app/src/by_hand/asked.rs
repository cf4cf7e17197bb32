//! A change as a door asks for it, in the numbers of the problem.

use gangday_model::{JobId, JobWork};
use gangday_planner::Change;

use super::board::Board;
use crate::columns::{jobs_in_order, route_key};
use crate::over;
use crate::reasons::gang_day_name;
use crate::view::{ChangeByHand, Refusal};
use crate::words;

/// The change in words and in numbers.
pub fn change(
    board: &Board<'_>,
    what_if: &gangday_planner::WhatIf<'_>,
    change: &ChangeByHand,
) -> Result<(String, Change), Refusal> {
    let (words, asked) = numbered(board, change)?;
    if !what_if.leaves_done(&asked) {
        return Ok((words, asked));
    }
    let words = match change {
        ChangeByHand::MoveJob { job, to, .. } => {
            let to = name(board, gang_day(board, to)?);
            format!("move the rest of {job} to {to}")
        }
        _ => format!("{words}; what is done stays"),
    };
    Ok((words, asked))
}

fn numbered(board: &Board<'_>, change: &ChangeByHand) -> Result<(String, Change), Refusal> {
    match change {
        ChangeByHand::MoveJob { job, to, at } => {
            let (task, gang_day) = (task(board, job)?, gang_day(board, to)?);
            let at = at.map(|minutes| minutes.saturating_mul(60));
            let words = format!("move {job} to {}", name(board, gang_day));
            Ok((words, Change::Move { task, gang_day, at }))
        }
        ChangeByHand::MoveVisit { job, stage, at } => put(board, (job, stage), *at),
        ChangeByHand::LeaveOut { job } => {
            let task = task(board, job)?;
            Ok((format!("leave {job} out"), Change::LeaveOut { task }))
        }
        ChangeByHand::MoveJobs { jobs, to } => {
            let gang_day = gang_day(board, to)?;
            let tasks: Result<Vec<u32>, Refusal> =
                jobs.iter().map(|job| task(board, job)).collect();
            let many = words::count(jobs.len(), "job", "jobs");
            let words = format!("move {many} to {}", name(board, gang_day));
            let tasks = tasks?;
            Ok((words, Change::Gather { tasks, gang_day }))
        }
        ChangeByHand::Split { day, from, to } => split(board, day, from, to),
        ChangeByHand::Swap { one, other } => {
            let (one, other) = (gang_day(board, one)?, gang_day(board, other)?);
            let words = format!("swap {} and {}", name(board, one), name(board, other));
            Ok((words, Change::Swap { one, other }))
        }
        ChangeByHand::AddGang { like } => {
            let gang_days = further(board, like)?;
            let words = format!("add a gang like {like}");
            Ok((words, Change::Fill { gang_days }))
        }
    }
}

/// One visit to another time of its gang-day.
fn put(
    board: &Board<'_>,
    (job, stage): (&str, &str),
    at: u32,
) -> Result<(String, Change), Refusal> {
    let task = task(board, job)?;
    let block = block(board, job, task, stage)?;
    let then = match board.date_of(task, block) {
        Some(date) => words::clock_on(date, at),
        None => words::clock(at),
    };
    let words = format!("put the {stage} of {job} to {then}");
    let at = at.saturating_mul(60);
    Ok((words, Change::Shift { task, block, at }))
}

/// The jobs of a gang-day whose first visit is not before that of one of them.
fn split(board: &Board<'_>, day: &str, from: &str, to: &str) -> Result<(String, Change), Refusal> {
    let (here, there) = (gang_day(board, day)?, gang_day(board, to)?);
    let mut routes = board.plan.routes.iter();
    let route = routes.find(|route| route_key(route) == day);
    let mut jobs = route.map(jobs_in_order).unwrap_or_default();
    let first = jobs.iter().position(|job| job.as_str() == from);
    let first = first.ok_or_else(|| {
        Refusal::coded(
            "D-NONE",
            &format!("{from} is not worked by {}.", name(board, here)),
        )
    })?;
    let tasks: Result<Vec<u32>, Refusal> = jobs
        .split_off(first)
        .into_iter()
        .map(|job| task(board, job.as_str()))
        .collect();
    let words = format!(
        "split {} before {from}, the rest to {}",
        name(board, here),
        name(board, there)
    );
    let (tasks, gang_day) = (tasks?, there);
    Ok((words, Change::Gather { tasks, gang_day }))
}

fn name(board: &Board<'_>, gang_day: u32) -> String {
    gang_day_name(board.prepared, &board.posed, gang_day)
}

fn task(board: &Board<'_>, id: &str) -> Result<u32, Refusal> {
    let Some(at) = board.prepared.index_of(&JobId::new(id)) else {
        return Err(Refusal::coded("D-NONE", &format!("There is no job {id}.")));
    };
    if over::is_done(board.plan, &JobId::new(id)) {
        let text = format!("{id} is done; take back what was recorded of it to plan it again.");
        return Err(Refusal::coded("D-STAYS", &text));
    }
    if over::stands(board.plan, &JobId::new(id)) {
        let text = format!(
            "{id} stands as issued in an earlier week; bring it over to plan it in this one."
        );
        return Err(Refusal::coded("U-STANDS", &text));
    }
    if board
        .plan
        .unfinished
        .iter()
        .any(|one| one.job.as_str() == id)
    {
        let text = format!(
            "{id} is left unfinished: what was done of it stays where it was, and what is left finds no day of the \
             week. Plan the rest once it has one, or plan it in a later week."
        );
        return Err(Refusal::coded("U-REST", &text));
    }
    let task = board.posed.jobs.binary_search(&at);
    let task = task.map(|task| task as u32);
    task.map_err(|_| {
        Refusal::coded(
            "D-UNFIT",
            &format!("{id} can't be planned; its findings say why."),
        )
    })
}

fn gang_day(board: &Board<'_>, key: &str) -> Result<u32, Refusal> {
    board.gang_day(key).ok_or_else(|| {
        let text = format!("There is no gang-day {key}: no such gang, or it does not work then.");
        Refusal::coded("D-NONE", &text)
    })
}

/// The block of a job that a stage is in.
fn block(board: &Board<'_>, job: &str, task: u32, stage: &str) -> Result<u32, Refusal> {
    let work = board.prepared.works[board.posed.jobs[task as usize]].as_deref();
    let blocks = work.map(JobWork::blocks).unwrap_or_default();
    let is_in = |stages: &&[gangday_model::StageWork]| {
        stages
            .iter()
            .any(|one| words::stage_key(one.stage) == stage)
    };
    let block = blocks.iter().position(is_in);
    let refused = || Refusal::coded("D-NONE", &format!("{job} has no stage {stage}."));
    block.map(|block| block as u32).ok_or_else(refused)
}

/// The gang-days of a further gang.
fn further(board: &Board<'_>, like: &str) -> Result<Vec<u32>, Refusal> {
    let gangs = &board.prepared.programme.gangs;
    let gang = gangs.iter().position(|gang| gang.id.as_str() == like);
    let gang =
        gang.ok_or_else(|| Refusal::coded("D-NONE", &format!("There is no gang {like}.")))?;
    let days = &board.posed.problem.gang_days[..board.spare as usize];
    let own = (0..).zip(days).filter(|(_, day)| day.gang as usize == gang);
    Ok(own.map(|(at, _): (u32, _)| at + board.spare).collect())
}
