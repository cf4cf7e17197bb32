//! A change as a door asks for it, in the numbers of the problem.

use gangday_model::JobId;
use gangday_planner::Change;

use super::board::Board;
use crate::planning::blocks_of;
use crate::reasons::gang_day_name;
use crate::view::{ChangeByHand, Refusal};
use crate::words;

/// The change in words and in numbers.
pub fn change(board: &Board<'_>, change: &ChangeByHand) -> Result<(String, Change), Refusal> {
    match change {
        ChangeByHand::MoveJob { job, to, at } => {
            let (task, gang_day) = (task(board, job)?, gang_day(board, to)?);
            let at = at.map(|minutes| minutes.saturating_mul(60));
            let words = format!("move {job} to {}", name(board, gang_day));
            Ok((words, Change::Move { task, gang_day, at }))
        }
        ChangeByHand::MoveVisit { job, stage, at } => {
            let task = task(board, job)?;
            let block = block(board, job, task, stage)?;
            let words = format!("put the {stage} of {job} to {}", words::clock(*at));
            let at = at.saturating_mul(60);
            Ok((words, Change::Shift { task, block, at }))
        }
        ChangeByHand::LeaveOut { job } => {
            let task = task(board, job)?;
            Ok((format!("leave {job} out"), Change::LeaveOut { task }))
        }
        ChangeByHand::Swap { one, other } => {
            let (one, other) = (gang_day(board, one)?, gang_day(board, other)?);
            let words = format!("swap {} and {}", name(board, one), name(board, other));
            Ok((words, Change::Swap { one, other }))
        }
        ChangeByHand::AddGang { like } => {
            let gang_days = further(board, like)?;
            Ok((
                format!("add a gang like {like}"),
                Change::Fill { gang_days },
            ))
        }
    }
}

fn name(board: &Board<'_>, gang_day: u32) -> String {
    gang_day_name(board.prepared, &board.posed, gang_day)
}

fn task(board: &Board<'_>, id: &str) -> Result<u32, Refusal> {
    let Some(at) = board.prepared.index_of(&JobId::new(id)) else {
        return Err(Refusal::plain(&format!("There is no job {id}.")));
    };
    let task = board.posed.jobs.binary_search(&at);
    let task = task.map(|task| task as u32);
    task.map_err(|_| Refusal::plain(&format!("{id} can't be planned; its findings say why.")))
}

fn gang_day(board: &Board<'_>, key: &str) -> Result<u32, Refusal> {
    board.gang_day(key).ok_or_else(|| {
        let text = format!("There is no gang-day {key}: no such gang, or it does not work then.");
        Refusal::plain(&text)
    })
}

/// The block of a job that a stage is in.
fn block(board: &Board<'_>, job: &str, task: u32, stage: &str) -> Result<u32, Refusal> {
    let work = board.prepared.works[board.posed.jobs[task as usize]].as_ref();
    let blocks = work.map(blocks_of).unwrap_or_default();
    let is_in = |stages: &&[gangday_model::StageWork]| {
        stages
            .iter()
            .any(|one| words::stage_key(one.stage) == stage)
    };
    let block = blocks.iter().position(is_in);
    let refused = || Refusal::plain(&format!("{job} has no stage {stage}."));
    block.map(|block| block as u32).ok_or_else(refused)
}

/// The gang-days of a further gang.
fn further(board: &Board<'_>, like: &str) -> Result<Vec<u32>, Refusal> {
    let gangs = &board.prepared.programme.gangs;
    let gang = gangs.iter().position(|gang| gang.id.as_str() == like);
    let gang = gang.ok_or_else(|| Refusal::plain(&format!("There is no gang {like}.")))?;
    let days = &board.posed.problem.gang_days[..board.spare as usize];
    let own = (0..).zip(days).filter(|(_, day)| day.gang as usize == gang);
    Ok(own.map(|(at, _): (u32, _)| at + board.spare).collect())
}
