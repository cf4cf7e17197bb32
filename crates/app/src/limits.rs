//! Loads, breaks, driving and vibration: the figures that a gang-day is held to, for the search and for
//! the checker alike. Only figures pass from here to both; each applies them in its own way.

use gangday_calc::{Vehicle, haulage, points};
use gangday_model::{Gang, Parameter, ParameterTable, Seconds, Stage, StageWork};
use gangday_planner::checker::{Burden, Gap};
use gangday_planner::{GangDay, Hauling, Load, Task};
use serde::Deserialize;

use crate::prepared::Prepared;

/// A hundredth of a vibration point is the search's unit.
const PER_POINT: f64 = 100.0;

/// Points of an A(8) exposure: 2 a^2 t over eight hours.
const POINTS_OF_A8: f64 = 16.0;

#[derive(Deserialize)]
struct Table {
    parameters: Vec<Parameter>,
}

/// The shipped figures.
#[must_use]
pub fn shipped() -> ParameterTable {
    let table: Table = serde_json::from_str(include_str!("../defaults/limits.json"))
        .expect("the shipped limits are tested to parse");
    ParameterTable::new(table.parameters)
}

/// The figures, the programme's own over the shipped ones.
pub struct DayLimits {
    /// How long tipping takes, and loading anew.
    pub tipping: Seconds,
    /// How long loading anew at the depot takes.
    pub reloading: Seconds,
    /// After how long a day has a break, and how long that is; none where it has none.
    pub rest: Option<(Seconds, Seconds)>,
    /// The most driving in a day.
    pub driving: Seconds,
    /// The most duty in a day, and the driving up to which it does not apply.
    pub duty: (Seconds, Seconds),
    /// The vibration limit value, A(8) in m/s2, and how many share the tools.
    pub vibration: Option<(f64, f64)>,
    /// Up to so much earlier or later is no change.
    pub same_time: Seconds,
}

impl DayLimits {
    /// Reads them.
    #[must_use]
    pub fn of(prepared: &Prepared) -> Self {
        let table = shipped().overlaid(&prepared.programme.method);
        let minutes = |key: &str| table.value(key).unwrap_or(0.0);
        let time = |key: &str| Seconds::from_minutes(minutes(key).ceil() as i64);
        let hours = |key: &str| Seconds::from_minutes((minutes(key) * 60.0).round() as i64);
        let limit = prepared.method.value("vibration.limit_value");
        let sharing = prepared.method.value("vibration.sharing").unwrap_or(1.0);
        Self {
            tipping: time("haulage.tip_min"),
            reloading: time("haulage.reload_min"),
            rest: (minutes("break.min") > 0.0).then(|| (hours("break.after_h"), time("break.min"))),
            driving: hours("driving.most_h"),
            duty: (hours("duty.most_h"), hours("driving.little_h")),
            vibration: limit.map(|limit| (limit, sharing)),
            same_time: time("change.same_time_min"),
        }
    }

    /// Puts a gang-day under them.
    pub fn limit(&self, day: &mut GangDay, gang: &Gang) {
        day.payload = gang.payload.map(|payload| whole(payload.kg()));
        day.body = gang.volume_m3.map(|volume| whole(volume * 1e3));
        if let Some((after, lasts)) = self.rest {
            (day.break_after, day.break_lasts) = (seconds(after), seconds(lasts));
        }
        // Where the day could be longer than a driver may be on duty, little driving frees it.
        let long = day.latest.saturating_sub(day.start) > seconds(self.duty.0);
        let little = if long { self.duty.1 } else { self.driving };
        let driving = self.driving.min(little);
        day.driving = Some(seconds(driving));
        day.shake = self.vibration.map(|(limit, sharing)| {
            let sharing = sharing.min(f64::from(gang.people.max(1)));
            whole(limit * limit * POINTS_OF_A8 * sharing * PER_POINT)
        });
    }

    /// Where spoil goes; `tips` are the nodes of the tips.
    #[must_use]
    pub fn hauling(&self, tips: Vec<u32>) -> Hauling {
        Hauling {
            tips,
            tip: seconds(self.tipping),
            reload: seconds(self.reloading),
        }
    }
}

/// Down to the whole.
fn whole(value: f64) -> u32 {
    (value + 1e-6).clamp(0.0, f64::from(u32::MAX)) as u32
}

fn seconds(time: Seconds) -> u32 {
    u32::try_from(time.seconds()).unwrap_or(0)
}

/// What a job takes out and brings back.
#[must_use]
pub fn burden(prepared: &Prepared, at: usize) -> Burden {
    let carried = haulage(
        prepared.left_of(at),
        &Vehicle::default(),
        &prepared.materials,
    );
    let up = |value: f64| (value * 1e3 - 1e-6).ceil().clamp(0.0, f64::from(u32::MAX)) as u32;
    let (spoil, bound) = (&carried.spoil, &carried.bituminous);
    Burden {
        job: prepared.programme.jobs[at].id.clone(),
        out_kg: up(carried.out.mass_t),
        out_litres: up(carried.out.loose_m3),
        back_kg: up(spoil.mass_t + bound.mass_t),
        back_litres: up(spoil.loose_m3 + bound.loose_m3),
    }
}

/// Gives a task its loads, its vibration and the most time between its blocks.
pub fn burden_task(prepared: &Prepared, at: usize, task: &mut Task) {
    let burden = burden(prepared, at);
    task.out = Load {
        kg: burden.out_kg,
        litres: burden.out_litres,
    };
    task.back = Load {
        kg: burden.back_kg,
        litres: burden.back_litres,
    };
    task.shake = shake(prepared, at);
    task.most = most(prepared, at);
}

/// The vibration of a job's tools, in one pair of hands, as the usual gang works.
fn shake(prepared: &Prepared, at: usize) -> u32 {
    let Some((rules, taken)) = prepared
        .stages
        .as_ref()
        .zip(prepared.take_offs[at].as_deref())
    else {
        return 0;
    };
    let job = &prepared.programme.jobs[at];
    let activities = rules.activities(job, taken, None).unwrap_or_default();
    let work = prepared.works[at].as_deref();
    let is_left = |stage: Stage| {
        let mut stages = work.iter().flat_map(|work| &work.stages);
        stages.any(|own| own.stage == stage)
    };
    let left = activities.iter().filter(|own| is_left(own.stage));
    let felt = left.filter_map(|activity| {
        let magnitude = prepared
            .method
            .value(&format!("vibration.{}", activity.tool?))?;
        Some(points(magnitude, activity.minutes / 60.0))
    });
    (felt.sum::<f64>() * PER_POINT)
        .ceil()
        .clamp(0.0, f64::from(u32::MAX)) as u32
}

/// The key of the most time after a stage, in minutes; only stages that the programme names have one.
fn gap_key(stage: Stage) -> String {
    format!("gap.after_{}_min", format!("{stage:?}").to_lowercase())
}

fn gap_after(prepared: &Prepared, stage: Stage) -> Option<Seconds> {
    let minutes = prepared.programme.method.value(&gap_key(stage))?;
    Some(Seconds::from_minutes(minutes.floor() as i64))
}

/// The most time after each block: that of its last stage.
fn most(prepared: &Prepared, at: usize) -> Vec<Option<u32>> {
    let blocks = prepared.works[at].iter().flat_map(|work| work.blocks());
    let ends = blocks.filter_map(<[StageWork]>::last);
    let most: Vec<Option<u32>> = ends
        .map(|stage| gap_after(prepared, stage.stage).map(seconds))
        .collect();
    if most.iter().all(Option::is_none) {
        return Vec::new();
    }
    most
}

/// The most time after the stages of all jobs, where the programme names any.
#[must_use]
pub fn gaps(prepared: &Prepared) -> Vec<Gap> {
    let works = prepared.works.iter().flatten().map(AsRef::as_ref);
    let of_work = |work: &gangday_model::JobWork| {
        let stages = work.stages.iter().filter_map(|stage| {
            let most = gap_after(prepared, stage.stage)?;
            let (job, stage) = (work.job.clone(), stage.stage);
            Some(Gap { job, stage, most })
        });
        stages.collect::<Vec<_>>()
    };
    works.flat_map(of_work).collect()
}

/// What all sound jobs take out and bring back.
#[must_use]
pub fn burdens(prepared: &Prepared) -> Vec<Burden> {
    (0..prepared.programme.jobs.len())
        .map(|at| burden(prepared, at))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;
    use crate::view::DemoWeek;

    #[test]
    fn every_shipped_limit_is_traced() {
        for row in shipped().rows() {
            assert!(
                !row.source.is_empty() && !row.date.is_empty(),
                "{}",
                row.key
            );
        }
    }

    /// Own arithmetic on the published formulas: 5 m/s2 over eight hours is 400 points.
    #[test]
    fn the_limit_value_is_four_hundred_points() {
        let opened = demo::open(DemoWeek::Small);
        let limits = DayLimits::of(&opened.prepared);
        let mut day = GangDay {
            start: 27_000,
            latest: 63_000,
            ..GangDay::default()
        };
        limits.limit(&mut day, &opened.prepared.programme.gangs[0]);
        assert_eq!(day.shake, Some(40_000));
        assert_eq!((day.break_after, day.break_lasts), (21_600, 1_200));
        assert_eq!(day.driving, Some(36_000));
        day.latest = day.start + 39_601;
        limits.limit(&mut day, &opened.prepared.programme.gangs[0]);
        assert_eq!(
            day.driving,
            Some(14_400),
            "over 11 h of duty only with 4 h of driving"
        );
        let limits = DayLimits {
            driving: Seconds::from_minutes(60),
            ..limits
        };
        limits.limit(&mut day, &opened.prepared.programme.gangs[0]);
        assert_eq!(day.driving, Some(3_600), "and never more than a day's");
    }

    #[test]
    fn a_job_weighs_what_its_take_off_says() {
        let opened = demo::open(DemoWeek::Full);
        let burdens = burdens(&opened.prepared);
        assert!(burdens.iter().any(|burden| burden.out_kg > 1_000));
        for (burden, taken) in burdens.iter().zip(&opened.prepared.take_offs) {
            let taken = taken.as_ref().unwrap();
            let spoil = (taken.spoil.kg() + taken.bituminous.kg()).ceil() as u32;
            assert!(burden.back_kg >= spoil, "{}", burden.job);
        }
    }
}
