//! The chamber's sizes as they will be built: the job's own, or else the method's, all sound.

use gangday_model::{DigShape, Finding, Job, Millimetres, ParameterTable, Position, Work};

use crate::figures::Figures;
use crate::mixtures::Layering;
use crate::stated::Stated;

/// What the method says where a job says nothing.
#[derive(Clone, Debug)]
pub(crate) struct MethodSizes {
    clear_length: Millimetres,
    clear_width: Millimetres,
    sections: i64,
    section_depth: Millimetres,
    wall: Millimetres,
    base: Millimetres,
    embed: Millimetres,
    ironwork_depth: Millimetres,
    bedding: Millimetres,
    adjust_bedding: Millimetres,
    margin: Millimetres,
    plate: Millimetres,
    type1_below_top: Millimetres,
    surfacing: [Millimetres; 4],
    shape: DigShape,
    sheeting: Millimetres,
    batter: i64,
    pub(crate) layering: Layering,
}

/// All four positions, in the order of `MethodSizes::surfacing`.
pub(crate) const POSITIONS: [(Position, &str); 4] = [
    (Position::Verge, "verge"),
    (Position::Footway, "footway"),
    (Position::CycleTrack, "cycle_track"),
    (Position::Carriageway, "carriageway"),
];

/// How a dig stands, as `dig.shape` numbers it.
const SHAPES: [DigShape; 3] = [DigShape::Vertical, DigShape::Sheeted, DigShape::Battered];

/// The position's place in a table of four.
pub(crate) fn index(position: Position) -> usize {
    POSITIONS
        .iter()
        .position(|(each, _)| *each == position)
        .unwrap_or(0)
}

/// The position as keys of the tables spell it.
pub(crate) fn key(position: Position) -> &'static str {
    POSITIONS[index(position)].1
}

impl MethodSizes {
    pub(crate) fn read(method: &ParameterTable) -> Result<Self, Vec<Finding>> {
        let mut read = Figures::method(method);
        let sizes = Self {
            clear_length: read.mm("chamber.clear_length"),
            clear_width: read.mm("chamber.clear_width"),
            sections: read.whole("chamber.sections"),
            section_depth: read.mm("chamber.section_depth"),
            wall: read.mm("chamber.wall"),
            base: read.mm("chamber.base"),
            embed: read.mm("chamber.embed"),
            ironwork_depth: read.mm("chamber.ironwork_depth"),
            bedding: read.mm("chamber.bedding"),
            adjust_bedding: read.mm("chamber.adjust_bedding"),
            margin: read.mm("chamber.margin"),
            plate: read.mm("chamber.plate"),
            type1_below_top: read.mm("chamber.type1_below_top"),
            surfacing: POSITIONS.map(|(_, key)| {
                read.mm_of_first([&format!("chamber.surfacing.{key}"), "chamber.surfacing"])
            }),
            shape: SHAPES[usize::try_from(read.choice("dig.shape", 2)).unwrap_or(0)],
            sheeting: read.mm("dig.sheeting"),
            batter: read.whole("dig.batter"),
            layering: Layering::default(),
        };
        let mut faults = read.into_faults();
        let layering = Layering::read(method).map_err(|own| faults.extend(own));
        match layering {
            Ok(layering) if faults.is_empty() => Ok(Self { layering, ..sizes }),
            _ => Err(faults),
        }
    }
}

/// One chamber's sizes, checked against each other.
#[derive(Clone, Debug)]
pub(crate) struct Chamber {
    pub(crate) work: Work,
    pub(crate) position: Position,
    pub(crate) clear_length: Millimetres,
    pub(crate) clear_width: Millimetres,
    pub(crate) wall: Millimetres,
    pub(crate) sections: i64,
    pub(crate) section_depth: Millimetres,
    pub(crate) base: Millimetres,
    pub(crate) embed: Millimetres,
    pub(crate) ironwork_depth: Millimetres,
    pub(crate) ironwork_length: Millimetres,
    pub(crate) ironwork_width: Millimetres,
    pub(crate) bedding: Millimetres,
    pub(crate) margin: Millimetres,
    pub(crate) plate: Millimetres,
    pub(crate) type1_below_top: Millimetres,
    pub(crate) surfacing: Millimetres,
    pub(crate) shape: DigShape,
    pub(crate) sheeting: Millimetres,
    /// How far a battered side goes out, in mm per m of height.
    pub(crate) batter: i64,
    /// Mixture, thickness and lifts of each layer that the user states.
    pub(crate) layers: Vec<(String, Millimetres, u32)>,
}

impl Chamber {
    /// The job's sizes, with the method's in place of what it leaves out, not yet judged.
    pub(crate) fn resolved(job: &Job, stated: &Stated, method: &MethodSizes) -> Self {
        let sizes = &job.sizes;
        let adjust = job.work == Work::Adjust;
        let clear_length = sizes.clear_length.unwrap_or(method.clear_length);
        let clear_width = sizes.clear_width.unwrap_or(method.clear_width);
        let wall = sizes.wall.unwrap_or(method.wall);
        let bedding = if adjust {
            method.adjust_bedding
        } else {
            method.bedding
        };
        let sections = sizes.sections.map_or(method.sections, i64::from);
        Self {
            work: job.work,
            position: job.position,
            clear_length,
            clear_width,
            wall,
            sections: if adjust { 0 } else { sections },
            section_depth: sizes.section_depth.unwrap_or(method.section_depth),
            base: sizes.base.unwrap_or(method.base),
            embed: sizes.embed.unwrap_or(method.embed),
            ironwork_depth: sizes.ironwork_depth.unwrap_or(method.ironwork_depth),
            ironwork_length: sizes
                .ironwork_length
                .unwrap_or_else(|| outside(clear_length, wall)),
            ironwork_width: sizes
                .ironwork_width
                .unwrap_or_else(|| outside(clear_width, wall)),
            bedding: sizes.bedding.unwrap_or(bedding),
            margin: sizes.margin.unwrap_or(method.margin),
            plate: method.plate,
            type1_below_top: method.type1_below_top,
            surfacing: method.surfacing[index(job.position)],
            shape: if adjust {
                DigShape::Vertical
            } else {
                stated.shape.unwrap_or(method.shape)
            },
            sheeting: stated.sheeting.unwrap_or(method.sheeting),
            batter: stated.batter.unwrap_or(method.batter),
            layers: Vec::new(),
        }
    }

    /// Lo, outside of the frames along the street.
    pub(crate) fn outside_length(&self) -> Millimetres {
        outside(self.clear_length, self.wall)
    }

    /// Wo, outside of the frames across the street.
    pub(crate) fn outside_width(&self) -> Millimetres {
        outside(self.clear_width, self.wall)
    }

    /// Whether sections are stacked on a new base.
    pub(crate) fn is_built(&self) -> bool {
        self.work != Work::Adjust
    }
}

/// Saturating, because it is worked out before sizes are judged.
fn outside(clear: Millimetres, wall: Millimetres) -> Millimetres {
    Millimetres::from_mm(clear.mm().saturating_add(wall.mm().saturating_mul(2)))
}
