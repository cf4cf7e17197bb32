//! The take-off: from a job to its lengths, levels, volumes and masses.

use gangday_model::{
    Finding, Job, Layer, Millimetres, ParameterTable, Position, SquareMillimetres, Street, TakeOff,
};

use crate::arisings::Ground;
use crate::chamber::{Chamber, MethodSizes};

/// The tables read once, for taking off many jobs.
///
/// ```
/// use gangday_calc::{TakeOffRules, shipped_materials, shipped_method};
/// use gangday_model::{Job, LonLat, Position, Work};
///
/// let rules = TakeOffRules::read(&shipped_method(), &shipped_materials()).unwrap();
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Footway);
/// let take_off = rules.take_off(&job).unwrap();
/// assert_eq!(take_off.depth.mm(), 1150);
/// assert_eq!(take_off.volumes.filled(), take_off.volumes.excavation);
/// ```
#[derive(Clone, Debug)]
pub struct TakeOffRules {
    sizes: MethodSizes,
    ground: Ground,
}

impl TakeOffRules {
    /// Reads the figures that a take-off needs.
    ///
    /// # Errors
    /// Every figure that is missing or can't be used.
    pub fn read(method: &ParameterTable, materials: &ParameterTable) -> Result<Self, Vec<Finding>> {
        match (MethodSizes::read(method), Ground::read(method, materials)) {
            (Ok(sizes), Ok(ground)) => Ok(Self { sizes, ground }),
            (sizes, ground) => {
                let mut faults = sizes.err().unwrap_or_default();
                faults.extend(ground.err().unwrap_or_default());
                Err(faults)
            }
        }
    }

    /// What this job's chamber takes, whatever street it is in.
    ///
    /// # Errors
    /// Every size that can't be built, with the property it is about and a remedy.
    pub fn take_off(&self, job: &Job) -> Result<TakeOff, Vec<Finding>> {
        self.take_off_in(job, None)
    }

    /// What this job's chamber takes in this street, whose type and layers are its own.
    ///
    /// Surfacing is laid in the layers that the job states, or else its street, or else the method
    /// table for the road type or the position (`layers.*`); where nobody states any, it is as
    /// thick as `chamber.surfacing` says. A carriageway of road type 0 takes stated layers only.
    ///
    /// # Errors
    /// As for [`TakeOffRules::take_off`], and layers that can't be laid.
    pub fn take_off_in(&self, job: &Job, street: Option<&Street>) -> Result<TakeOff, Vec<Finding>> {
        let chamber = Chamber::of(job, street, &self.sizes)?;
        let arisings = self.ground.arisings(&chamber);
        Ok(TakeOff {
            job: job.id.clone(),
            work: job.work,
            position: job.position,
            sections: u32::try_from(chamber.sections).unwrap_or(u32::MAX),
            depth: chamber.formation(),
            outside_length: chamber.outside_length(),
            outside_width: chamber.outside_width(),
            clear_length: chamber.clear_length,
            clear_width: chamber.clear_width,
            dig_length: chamber.dig_length(),
            dig_width: chamber.dig_width(),
            dig_shape: chamber.shape,
            foot_length: chamber.foot_length(),
            foot_width: chamber.foot_width(),
            ironwork_length: chamber.ironwork_length,
            ironwork_width: chamber.ironwork_width,
            levels: chamber.levels(),
            volumes: chamber.volumes(),
            layers: layers(&chamber),
            spoil: arisings.spoil,
            old_walls: arisings.old_walls,
            bituminous: arisings.bituminous,
            section_mass: self.ground.section_mass(&chamber),
            sealed_edges: sealed_edges(&chamber),
        })
    }
}

/// What this job's chamber takes, with tables already laid over the shipped ones.
///
/// New and replaced chambers are dug round their outside to the formation; an adjustment is dug
/// round its ironwork down to the bedding, and what stands inside is not counted as dug.
///
/// # Units
/// Whole millimetres, cubic millimetres and micrograms.
///
/// # Errors
/// Every figure that is missing, or else every size that can't be built.
///
/// # Source
/// Depth `D = b - e + n*h + m + f` and the layers: common practice, no source.
pub fn take_off(
    job: &Job,
    method: &ParameterTable,
    materials: &ParameterTable,
) -> Result<TakeOff, Vec<Finding>> {
    TakeOffRules::read(method, materials)?.take_off(job)
}

/// The stated layers with what each takes of the ring.
fn layers(chamber: &Chamber) -> Vec<Layer> {
    let mut top = Millimetres::ZERO;
    let layer = |(mixture, thickness, lifts): &(String, Millimetres, u32)| {
        let from = top;
        top += *thickness;
        Layer {
            mixture: mixture.clone(),
            thickness: *thickness,
            lifts: *lifts,
            volume: chamber.ring(from, top),
        }
    };
    chamber.layers.iter().map(layer).collect()
}

/// Vertical faces of the opening and of the ironwork against which surfacing is laid.
fn sealed_edges(chamber: &Chamber) -> SquareMillimetres {
    if chamber.position == Position::Verge {
        return SquareMillimetres::ZERO;
    }
    let opening = (chamber.dig_length() + chamber.dig_width()) * 2;
    let ironwork = (chamber.ironwork_length + chamber.ironwork_width) * 2;
    opening * chamber.surfacing + ironwork * chamber.surfacing.min(chamber.ironwork_depth)
}
