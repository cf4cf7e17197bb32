//! Minutes of work from outputs: a quantity by how much of it a gang does in an hour.

use gangday_model::{
    CubicMillimetres, Finding, Millimetres, ParameterTable, Seconds, SquareMillimetres,
};

use crate::figures::Figures;

/// Sums the minutes of one job's stages, reading outputs as it goes.
pub(crate) struct Minutes<'a> {
    read: Figures<'a>,
    /// How much longer this gang takes than the one that the outputs stand for.
    slower: f64,
}

/// Below what a clock shows: keeps a sum that should be whole from rounding up to the next minute.
const HAIR: f64 = 1e-6;

impl<'a> Minutes<'a> {
    /// # Errors
    /// A gang of nobody.
    pub(crate) fn of(
        method: &'a ParameterTable,
        people: Option<u32>,
    ) -> Result<Self, Vec<Finding>> {
        let mut read = Figures::method(method);
        let slower = match people {
            Some(0) => return Err(vec![nobody()]),
            Some(people) => {
                let most = read.rate("gang.most_useful");
                read.rate("gang.people") / f64::from(people).min(most)
            }
            None => 1.0,
        };
        Ok(Self { read, slower })
    }

    /// Minutes that do not depend on quantity or gang.
    pub(crate) fn fixed(&mut self, key: &str) -> f64 {
        self.read.number(key)
    }

    /// Minutes for a volume at an output in m3/h.
    pub(crate) fn volume(&mut self, volume: CubicMillimetres, key: &str) -> f64 {
        self.quantity(volume.m3(), key)
    }

    /// Minutes for an area at an output in m2/h.
    pub(crate) fn area(&mut self, area: SquareMillimetres, key: &str) -> f64 {
        self.quantity(area.m2(), key)
    }

    fn quantity(&mut self, quantity: f64, key: &str) -> f64 {
        quantity / self.read.rate(key) * 60.0 * self.slower
    }

    /// Minutes to mix and place concrete, batch by batch, each within the open time.
    pub(crate) fn concrete(&mut self, volume: CubicMillimetres, open_time_min: f64) -> f64 {
        let placing = self.volume(volume, "output.concrete");
        placing + (placing / open_time_min).ceil() * self.fixed("stage.batch")
    }

    /// Minutes that a plate runs: passes x area / (plate width x walking speed).
    pub(crate) fn compaction(&mut self, passes: u32, area: SquareMillimetres) -> f64 {
        let plate_m = self.read.mm("chamber.plate").m();
        f64::from(passes) * area.m2() / (plate_m * self.read.rate("lift.walking_speed"))
    }

    /// How many lifts a thickness of surfacing is laid in, and passes over all of them.
    pub(crate) fn surfacing_passes(&mut self, surfacing: Millimetres) -> u32 {
        let lifts = surfacing.mm() as f64 / self.read.rate("chamber.surfacing_lift");
        (lifts.ceil() * self.read.number("lift.surfacing_passes")) as u32
    }

    /// Everything that was the matter with the figures.
    pub(crate) fn into_faults(self) -> Vec<Finding> {
        self.read.into_faults()
    }
}

/// Longer than any stage; only a figure already refused leads there.
const LONGEST: f64 = 1e9;

/// Whole minutes, the begun one counted.
pub(crate) fn whole(minutes: f64) -> Seconds {
    Seconds::from_minutes((minutes - HAIR).ceil().clamp(0.0, LONGEST) as i64)
}

fn nobody() -> Finding {
    Finding::fault(
        "C-GANG",
        "a gang of nobody does no work",
        "State how many people are in the gang.",
    )
    .in_file("gangs.json")
    .of("people")
}
