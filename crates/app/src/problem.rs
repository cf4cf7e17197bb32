//! The programme as the plain integer problem that the search works on.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use gangday_ground::PlaceIndex;
use gangday_ground::roads::ONE;
use gangday_model::{Gang, Hours, JobWork, PlanePoint, Seconds, StageWork, TipId};
use gangday_planner::{Block, GangDay, Problem, Rates, Task, Travel};

use crate::barred::{apart, outside};
use crate::clashes;
use crate::closures;
use crate::cures::Cures;
use crate::journeys::Vehicles;
use crate::limits::{DayLimits, burden_task};
use crate::nights;
use crate::prepared::Prepared;
use crate::pricing;
use crate::rates;
use crate::words;

/// How many near neighbours each job is given.
const NEAR: usize = 24;

/// A gang-day ends on its own date.
const LAST_MINUTE: u32 = (24 * 60 - 1) * 60;

/// A problem with what its numbers stand for.
pub struct Posed {
    /// The problem.
    pub problem: Problem,
    /// The job of each task, as an index into the programme's.
    pub jobs: Vec<usize>,
    /// The days, in order.
    pub dates: Vec<NaiveDate>,
    /// The tickets, one for each bit.
    pub tickets: Vec<String>,
    /// The tips and their nodes.
    pub tips: Vec<(TipId, u32)>,
}

impl Posed {
    /// The gang of a gang-day; of one that is not there, the gang that it is like.
    #[must_use]
    pub fn gang<'a>(&self, prepared: &'a Prepared, day: &GangDay) -> &'a Gang {
        let gangs = &prepared.programme.gangs;
        &gangs[day.gang as usize % gangs.len()]
    }

    /// Poses the problem for every job whose stages are known.
    #[must_use]
    pub fn of(prepared: &Prepared) -> Self {
        let dates: Vec<NaiveDate> = prepared.programme.week.calendar_days().collect();
        let tickets = Tickets::of(prepared);
        let jobs: Vec<usize> = (0..prepared.programme.jobs.len())
            .filter(|at| prepared.works[*at].is_some() && prepared.points[*at].is_some())
            .collect();
        let mut nodes = Nodes::default();
        let tasks = jobs.iter().map(|at| {
            let mut task = task(prepared, *at, &dates, &tickets, &mut nodes);
            burden_task(prepared, *at, &mut task);
            task
        });
        let mut tasks: Vec<Task> = tasks.collect();
        let limits = DayLimits::of(prepared);
        let gang_days = gang_days(prepared, &dates, &tickets, &mut nodes);
        let mut gang_days = limited(prepared, &limits, gang_days);
        let tips = prepared.programme.tips.iter();
        let tips = tips.filter_map(|tip| Some((tip.id.clone(), prepared.plane.to_plane(tip.at)?)));
        let tips: Vec<(TipId, u32)> = tips.map(|(id, at)| (id, nodes.add(at))).collect();
        let (mut vehicles, hours) = vehicles(prepared, &nodes, &mut gang_days);
        let clashes = clashes::of_tasks(prepared, &jobs);
        let cures = Cures::of(prepared);
        for (task, at) in tasks.iter_mut().zip(&jobs) {
            task.placed = cures.placed(prepared, *at);
        }
        let mut problem = Problem {
            near: near(&nodes, &tasks),
            tasks,
            gang_days,
            travel: vehicles.remove(0),
            other_travel: vehicles,
            hours,
            rates: hourly(prepared, &limits),
            hauling: limits.hauling(tips.iter().map(|tip| tip.1).collect()),
            clashes,
            cures: cures.all,
            ..Problem::default()
        };
        nights::tell(prepared, &mut problem, (&jobs, &dates));
        Self {
            tips,
            problem,
            jobs,
            dates,
            tickets: tickets.names,
        }
    }
}

/// Places by node number.
#[derive(Default)]
struct Nodes {
    points: Vec<PlanePoint>,
}

impl Nodes {
    fn add(&mut self, point: PlanePoint) -> u32 {
        self.points.push(point);
        u32::try_from(self.points.len() - 1).expect("a programme has fewer places than 2^32")
    }
}

/// A bit for each ticket that any job needs.
struct Tickets {
    names: Vec<String>,
    bits: BTreeMap<String, u64>,
}

impl Tickets {
    /// No more than 64 kinds of ticket are told apart; a job that needs a further one is left out
    /// by the bit that nobody holds.
    fn of(prepared: &Prepared) -> Self {
        let mut names: Vec<String> = prepared
            .programme
            .jobs
            .iter()
            .flat_map(|job| job.tickets.iter().cloned())
            .collect();
        names.sort();
        names.dedup();
        let bit = |at: usize| 1_u64 << at.min(63);
        let bits = names
            .iter()
            .enumerate()
            .map(|(at, name)| (name.clone(), bit(at)))
            .collect();
        Self { names, bits }
    }

    fn needed(&self, names: &[String]) -> u64 {
        names
            .iter()
            .filter_map(|name| self.bits.get(name))
            .fold(0, |mask, bit| mask | bit)
    }

    fn held(&self, names: &[String]) -> u64 {
        let told_apart = if self.names.len() > 63 {
            !(1 << 63)
        } else {
            u64::MAX
        };
        self.needed(names) & told_apart
    }
}

fn task(
    prepared: &Prepared,
    at: usize,
    dates: &[NaiveDate],
    tickets: &Tickets,
    nodes: &mut Nodes,
) -> Task {
    let job = &prepared.programme.jobs[at];
    let kind = prepared.closures[at].kind;
    let point = prepared.points[at].unwrap_or(PlanePoint::from_metres(0.0, 0.0));
    let barred = closures::barred(prepared, at);
    let allows =
        |day: &NaiveDate| allows(prepared, at, *day) && barred.before.is_none_or(|b| b <= *day);
    Task {
        node: nodes.add(point),
        blocks: prepared.works[at]
            .as_deref()
            .map(blocks)
            .unwrap_or_default(),
        days: dates.iter().map(allows).collect(),
        windows: outside(&job.site_hours, &barred.hours)
            .iter()
            .map(window)
            .collect(),
        tickets: tickets.needed(&job.tickets),
        left_out: pricing::of_leaving(prepared, at),
        street: prepared.streets[at].and_then(|street| u32::try_from(street).ok()),
        busy: apart(&barred.priced),
        busy_hour: barred.pence_an_hour,
        closure_hour: rates::by_closure(&prepared.rates, "closure_hour", kind),
        set_up: rates::by_closure(&prepared.rates, "set_up", kind),
        paces: paces(prepared, at),
        open: prepared.begun[at].is_some(),
        ..Task::default()
    }
}

/// Whether a job may be worked on a day: by its own dates, by what its concrete bears, and by what was placed
/// of it in an earlier week.
fn allows(prepared: &Prepared, at: usize, day: NaiveDate) -> bool {
    let own = prepared.programme.jobs[at].allows(day);
    own && prepared.is_warm_enough(at, day) && prepared.is_ready_on(at, day)
}

/// The blocks of a job at every pace but the usual one.
fn paces(prepared: &Prepared, at: usize) -> Vec<Vec<Block>> {
    let others = prepared.paces.others().iter();
    others
        .map(|pace| pace.works[at].as_deref().map(blocks).unwrap_or_default())
        .collect()
}

/// Stages that follow one another without a wait are done in one go.
fn blocks(work: &JobWork) -> Vec<Block> {
    let block = |stages: &[StageWork]| {
        let all = stages.iter().map(|stage| seconds(stage.work));
        let last = stages.last();
        Block {
            work: all.sum(),
            wait: last.map_or(0, |stage| seconds(stage.wait())),
        }
    };
    let mut blocks: Vec<Block> = work.blocks().into_iter().map(block).collect();
    // Nobody goes there for nothing.
    blocks.pop_if(|last| last.work == 0);
    blocks
}

fn seconds(time: Seconds) -> u32 {
    u32::try_from(time.seconds()).unwrap_or(0)
}

fn window(hours: &Hours) -> (u32, u32) {
    (
        words::minutes_of_day(hours.from) * 60,
        words::minutes_of_day(hours.until) * 60,
    )
}

fn gang_days(
    prepared: &Prepared,
    dates: &[NaiveDate],
    tickets: &Tickets,
    nodes: &mut Nodes,
) -> Vec<GangDay> {
    let mut all = Vec::new();
    for (at, gang) in prepared.programme.gangs.iter().enumerate() {
        let Some(point) = prepared.plane.to_plane(gang.depot) else {
            continue;
        };
        let depot = nodes.add(point);
        for (day, date) in dates.iter().enumerate() {
            if works_on(prepared, gang, *date) {
                all.push(gang_day(
                    prepared,
                    gang,
                    (at, day),
                    dates,
                    depot,
                    tickets.held(&gang.tickets),
                ));
            }
        }
    }
    all
}

/// Whether a gang works on a day: its own days where it states them, else every working day; a
/// holiday is nobody's.
fn works_on(prepared: &Prepared, gang: &Gang, date: NaiveDate) -> bool {
    let week = &prepared.programme.week;
    match &gang.days {
        Some(days) => days.contains(&date) && !week.holidays.contains(&date),
        None => week.is_working_day(date),
    }
}

fn gang_day(
    prepared: &Prepared,
    gang: &Gang,
    (at, day): (usize, usize),
    dates: &[NaiveDate],
    depot: u32,
    tickets: u64,
) -> GangDay {
    let (start, end) = window(&gang.shift);
    GangDay {
        gang: u32::try_from(at).unwrap_or(u32::MAX),
        day: u32::try_from(day).unwrap_or(u32::MAX),
        depot,
        start,
        end,
        latest: (end + seconds(gang.overtime)).min(LAST_MINUTE),
        load: prepared.load_minutes() * 60,
        unload: prepared.unload_minutes() * 60,
        tickets,
        pace: prepared.paces.pace(at, dates[day]),
        ..GangDay::default()
    }
}

/// The travel by every factor that a vehicle has at some hour, which it is for each vehicle and hour,
/// and each gang-day told its vehicle. Where no hour differs, there is a vehicle for each factor and
/// nothing by the hour.
fn vehicles(
    prepared: &Prepared,
    nodes: &Nodes,
    gang_days: &mut [GangDay],
) -> (Vec<Travel>, Vec<[u32; 24]>) {
    let gangs = &prepared.programme.gangs;
    let own = gangs.iter().map(|gang| prepared.journey_factors(gang));
    let own: Vec<[u32; 24]> = own.collect();
    let mut factors: BTreeSet<u32> = own.iter().flatten().copied().collect();
    if factors.is_empty() {
        factors.insert(ONE);
    }
    let vehicles = Vehicles::of(&prepared.travel, &nodes.points, &factors);
    let mut hours: Vec<[u32; 24]> = own.clone();
    hours.sort_unstable();
    hours.dedup();
    let flat = hours
        .iter()
        .all(|row| row.iter().all(|hour| *hour == row[0]));
    for day in gang_days {
        let row = own[day.gang as usize];
        let at = hours.binary_search(&row).unwrap_or(0);
        day.vehicle = if flat {
            vehicles.of_factor(row[0])
        } else {
            u32::try_from(at).unwrap_or(0)
        };
    }
    let table = |row: &[u32; 24]| row.map(|factor| vehicles.of_factor(factor));
    let hours = if flat {
        Vec::new()
    } else {
        hours.iter().map(table).collect()
    };
    (vehicles.times, hours)
}

/// The gang-days under the limits of loads, breaks, driving and vibration.
fn limited(prepared: &Prepared, limits: &DayLimits, mut days: Vec<GangDay>) -> Vec<GangDay> {
    for day in &mut days {
        limits.limit(day, &prepared.programme.gangs[day.gang as usize]);
    }
    days
}

fn near(nodes: &Nodes, tasks: &[Task]) -> Vec<Vec<u32>> {
    let index = PlaceIndex::new(nodes.points[..tasks.len()].iter().copied());
    let others = |at: usize| {
        let found = index.nearest(nodes.points[at], NEAR + 1);
        found.into_iter().filter(move |other| other.index != at)
    };
    (0..tasks.len())
        .map(|at| {
            others(at)
                .filter_map(|other| u32::try_from(other.index).ok())
                .collect()
        })
        .collect()
}

fn hourly(prepared: &Prepared, limits: &DayLimits) -> Rates {
    let rate = |key: &str| rates::pence(&prepared.rates, key);
    Rates {
        crew_hour: rate("rate.crew_hour"),
        overtime_hour: rate("rate.overtime_extra_hour"),
        travel_hour: rate("rate.travel_hour"),
        gang_day: rate("rate.gang_day"),
        night: rate("rate.night"),
        moved: rate("rate.moved"),
        retimed: rate("rate.retimed"),
        at_same_time: seconds(limits.same_time),
    }
}
