//! Published routing problems, solved by the search that plans gang-days, so that its quality can be
//! held against what others reached.
//!
//! # Source
//! How distances are counted: with time windows, Euclidean cut to one decimal (12th DIMACS
//! Implementation Challenge, vehicle routing, 2021 to 2022); without, rounded to whole numbers
//! (TSPLIB 95, Reinelt, `EUC_2D`).

use std::path::Path;

use gangday_files::{RoutingInstance, RoutingStop, read_routing};
use gangday_planner::{
    Block, GangDay, Go, Problem, Progress, Rates, Solution, Task, Travel, WHOLE,
};

use crate::planning::{PlanOptions, run};
use crate::view::{ProgressView, Refusal};

/// So many places at most: the table of distances is square.
const MOST_PLACES: usize = 5_000;

/// Longer than all distances of an instance together.
const NO_END: u32 = 90_000_000;

/// More than any detour costs.
const LEFT_OUT: i64 = 1_000_000_000;

/// The routes of a published problem.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RoutingAnswer {
    /// The customers of each route in order, numbered from 1.
    pub routes: Vec<Vec<u32>>,
    /// Customers for whom there is no room.
    pub left_out: Vec<u32>,
    /// All distance, as the kind of problem counts it.
    pub distance: String,
}

/// Solves a published routing problem.
///
/// # Errors
/// Where the file can't be read, is no such problem, or has too many places.
pub fn solve_routing(
    path: &Path,
    options: &PlanOptions,
    watch: &mut dyn FnMut(&ProgressView) -> bool,
) -> Result<RoutingAnswer, Refusal> {
    let instance = read(path)?;
    let scale = Scale::of(&instance);
    let problem = scale.problem(&instance);
    let mut see = |progress: &Progress<'_>| {
        if watch(&view(scale, progress)) {
            Go::On
        } else {
            Go::Stop
        }
    };
    let solution = run(&problem, options, &mut see);
    Ok(answer(scale, &solution))
}

fn read(path: &Path) -> Result<RoutingInstance, Refusal> {
    let shown = path.display();
    let bytes = std::fs::read(path).map_err(|error| {
        Refusal::coded(
            "F-READ",
            &format!("{shown} can't be read: {error}. Check the path and its permissions."),
        )
    })?;
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let instance = read_routing(&name, &bytes).map_err(|faults| {
        let text = format!("{shown} is not a routing problem that Gangday can read.");
        Refusal::because(&text, &faults)
    })?;
    if instance.stops.len() > MOST_PLACES {
        let places = instance.stops.len();
        return Err(Refusal::coded(
            "F-LARGE",
            &format!("{shown} has {places} places, and {MOST_PLACES} are the most."),
        ));
    }
    Ok(instance)
}

/// How an instance's units become whole numbers.
#[derive(Clone, Copy)]
enum Scale {
    /// Tenths, cut.
    Tenths,
    /// Whole, rounded.
    Whole,
}

impl Scale {
    fn of(instance: &RoutingInstance) -> Self {
        if instance.timed {
            Self::Tenths
        } else {
            Self::Whole
        }
    }

    fn time(self, units: u32) -> u32 {
        match self {
            Self::Tenths => units.saturating_mul(10),
            Self::Whole => units,
        }
    }

    /// The distance of two places, in whole numbers all through.
    fn distance(self, from: &RoutingStop, to: &RoutingStop) -> u32 {
        let (x, y) = (i128::from(from.x - to.x), i128::from(from.y - to.y));
        let square = x * x + y * y;
        let distance = match self {
            Self::Tenths => (100 * square).isqrt(),
            // Half a unit up, then cut.
            Self::Whole => i128::midpoint((4 * square).isqrt(), 1),
        };
        u32::try_from(distance).unwrap_or(u32::MAX)
    }

    fn words(self, distance: i64) -> String {
        match self {
            Self::Tenths => format!("{}.{}", distance / 10, distance % 10),
            Self::Whole => distance.to_string(),
        }
    }

    /// A second of the search's is a tenth or a unit of distance, and costs a penny.
    fn problem(self, instance: &RoutingInstance) -> Problem {
        let stops = &instance.stops;
        let seconds = stops
            .iter()
            .flat_map(|from| stops.iter().map(|to| self.distance(from, to)))
            .collect();
        let customers = (0..).zip(stops).skip(1);
        let tasks: Vec<Task> = customers
            .map(|(node, stop)| self.task(instance, node, stop))
            .collect();
        Problem {
            near: vec![Vec::new(); tasks.len()],
            gang_days: self.vehicles(instance),
            tasks,
            other_travel: Vec::new(),
            travel: Travel::Matrix {
                nodes: u32::try_from(stops.len()).unwrap_or(u32::MAX),
                seconds,
            },
            rates: Rates {
                travel_hour: 3_600,
                ..Rates::default()
            },
            ..Problem::default()
        }
    }

    fn task(self, instance: &RoutingInstance, node: u32, stop: &RoutingStop) -> Task {
        let work = self.time(stop.service);
        let window = (
            self.time(stop.ready),
            self.time(stop.due).saturating_add(work),
        );
        Task {
            node,
            blocks: vec![Block { work, wait: 0 }],
            windows: if instance.timed {
                vec![window]
            } else {
                Vec::new()
            },
            left_out: LEFT_OUT,
            weight: stop.demand,
            ..Task::default()
        }
    }

    fn vehicles(self, instance: &RoutingInstance) -> Vec<GangDay> {
        let customers = u32::try_from(instance.stops.len()).unwrap_or(u32::MAX) - 1;
        let vehicles = instance.vehicles.map_or(customers, |v| v.min(customers));
        let depot = instance.stops[0];
        let end = if instance.timed {
            self.time(depot.due)
        } else {
            NO_END
        };
        let vehicle = |gang| GangDay {
            gang,
            start: self.time(depot.ready),
            end,
            latest: end,
            payload: Some(instance.capacity),
            ..GangDay::default()
        };
        (0..vehicles).map(vehicle).collect()
    }
}

fn view(scale: Scale, progress: &Progress<'_>) -> ProgressView {
    let planned = u32::try_from(progress.planned).unwrap_or(u32::MAX);
    let of = u32::try_from(progress.tasks).unwrap_or(u32::MAX);
    let distance = scale.words(progress.best_cost % LEFT_OUT);
    ProgressView {
        reading: false,
        title: String::new(),
        running: true,
        fraction: f64::from(progress.used.min(WHOLE)) / f64::from(WHOLE),
        words: format!("Best so far: {planned} of {of} customers, distance {distance}"),
        trace: Vec::new(),
        planned,
        of,
    }
}

fn answer(scale: Scale, solution: &Solution) -> RoutingAnswer {
    let days = solution.days.iter();
    RoutingAnswer {
        routes: days
            .map(|day| day.steps.iter().map(|step| step.task + 1).collect())
            .collect(),
        left_out: solution.left_out.iter().map(|task| task + 1).collect(),
        distance: scale.words(solution.costs.travel),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TIMED: &str = "MADE-UP\nVEHICLE\nNUMBER CAPACITY\n5 10\nCUSTOMER\n0 0 0 0 0 1000 0\n\
        1 1 1 6 0 900 10\n2 2 2 6 0 900 10\n3 3 3 4 0 900 10\n";
    const WEIGHED: &str = "CAPACITY : 10\nNODE_COORD_SECTION\n1 0 0\n2 1 1\n3 2 2\n4 3 3\n\
        DEMAND_SECTION\n1 0\n2 6\n3 6\n4 4\nDEPOT_SECTION\n1\n-1\nEOF\n";

    fn solved(text: &str) -> RoutingAnswer {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("made-up.txt");
        std::fs::write(&path, text).unwrap();
        let options = PlanOptions {
            iterations: Some(200),
            seed: 1,
            ..PlanOptions::default()
        };
        solve_routing(&path, &options, &mut |_| true).unwrap()
    }

    #[test]
    fn distances_are_cut_with_windows_and_rounded_without() {
        // By hand: the root of 2 is 1.414, of 8 2.828, of 18 4.243. The one of 4 rides with either.
        // Cut to tenths: out 1.4, out 2.8 + 1.4, back 4.2: 2.8 + 8.4 = 11.2.
        let timed = solved(TIMED);
        assert_eq!(timed.distance, "11.2");
        assert_eq!(timed.routes.iter().map(Vec::len).sum::<usize>(), 3);
        // Rounded: out 1, back 1; out 3, on 1, back 4: 10.
        assert_eq!(solved(WEIGHED).distance, "10");
    }

    #[test]
    fn who_has_no_room_is_named_and_what_is_no_instance_is_refused() {
        let one = solved(&TIMED.replace("5 10", "1 10"));
        assert_eq!(one.left_out.len(), 1);
        assert_eq!(one.routes.len(), 1);
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("no.txt");
        std::fs::write(&path, "nothing\n").unwrap();
        let refused = solve_routing(&path, &PlanOptions::default(), &mut |_| true);
        assert_eq!(refused.unwrap_err().findings[0].code, "F-ROUTING");
    }
}
