//! The cross-section of a chamber as data: outlines, levels and dimensions, true to size.

use gangday_model::{Millimetres, Position, TakeOff, Work};
use schemars::JsonSchema;
use serde::Serialize;

/// A point of the section: across the street from the chamber's middle, and below the surface, mm.
pub type Point = [f64; 2];

/// One part of the section; parts never overlap and together fill the dig.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SectionPart {
    /// What it is: `base_concrete`, `type1`, `surround_concrete`, `surfacing`, `topsoil`, `mortar`,
    /// `ironwork`, `wall` or `opening`.
    pub what: String,
    /// Its outline, a closed ring whose first point is not repeated.
    pub outline: Vec<Point>,
}

/// A level that somebody measures down to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SectionLevel {
    /// What lies there.
    pub name: String,
    /// Below the surface, mm.
    pub depth_mm: i64,
}

/// A dimension between two points on a level or on a plumb line.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Dimension {
    /// What it measures.
    pub name: String,
    /// From.
    pub from: Point,
    /// To.
    pub to: Point,
    /// How long it is, mm.
    pub mm: i64,
    /// Which dimension line it is drawn on, counted away from the dig: above or left of it where
    /// negative, below or right of it where positive.
    pub lane: i32,
}

/// The cross-section of a chamber across the street.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Section {
    /// The job.
    pub job: String,
    /// Every part.
    pub parts: Vec<SectionPart>,
    /// Levels from the surface down.
    pub levels: Vec<SectionLevel>,
    /// Dimensions along a level, from the surface down.
    pub across: Vec<Dimension>,
    /// Dimensions along a plumb line, from the surface down.
    pub down: Vec<Dimension>,
}

/// The cross-section of this chamber.
///
/// # Units
/// Millimetres, true to size.
///
/// ```
/// use gangday_calc::{section, shipped_materials, shipped_method, take_off};
/// use gangday_model::{Job, LonLat, Position, Work};
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Footway);
/// let drawn = section(&take_off(&job, &method, &materials).unwrap());
/// assert_eq!(drawn.levels.last().unwrap().depth_mm, 1150);
/// assert_eq!(drawn.across[0].mm, 1400);
/// ```
#[must_use]
pub fn section(take_off: &TakeOff) -> Section {
    let mut drawn = Section {
        job: take_off.job.to_string(),
        ..Section::default()
    };
    let cut = Cut { take_off };
    cut.rings(&mut drawn);
    cut.chamber(&mut drawn);
    drawn.levels = cut.levels();
    drawn.across = cut.across();
    drawn.down = cut.down();
    drawn
}

/// The take-off as the section cuts it.
struct Cut<'a> {
    take_off: &'a TakeOff,
}

impl Cut<'_> {
    /// From the middle to the side of the dig at this depth.
    fn side(&self, depth: Millimetres) -> f64 {
        let taken = self.take_off;
        let wider = taken.dig_width - taken.foot_width;
        let up = (taken.depth - depth).mm() as f64 / taken.depth.mm() as f64;
        half(taken.foot_width) + half(wider) * up
    }

    /// What stands in the dig, as bands of depths and how far it reaches from the middle.
    fn bands(&self) -> [(Millimetres, Millimetres, f64); 3] {
        let (taken, levels) = (self.take_off, &self.take_off.levels);
        let seat = taken.ironwork_width.min(taken.outside_width);
        [
            (
                Millimetres::ZERO,
                levels.ironwork_bottom,
                half(taken.ironwork_width),
            ),
            (levels.ironwork_bottom, levels.sections_top, half(seat)),
            (
                levels.sections_top,
                levels.sections_bottom,
                half(taken.outside_width),
            ),
        ]
    }

    /// Surfacing, surround and type 1, or topsoil, on both sides.
    fn rings(&self, drawn: &mut Section) {
        let levels = &self.take_off.levels;
        let mut top = Millimetres::ZERO;
        let mut ring = |what: &str, bottom: Millimetres| {
            if bottom > top {
                for hand in [-1.0, 1.0] {
                    drawn.parts.push(self.ring(what, (top, bottom), hand));
                }
            }
            top = top.max(bottom);
        };
        if self.take_off.position == Position::Verge {
            ring("topsoil", levels.type1_top);
        } else {
            let mut below = Millimetres::ZERO;
            for layer in &self.take_off.layers {
                below += layer.thickness;
                ring("surfacing", below);
            }
            ring("surfacing", levels.surfacing_bottom);
            ring("surround_concrete", levels.type1_top);
        }
        ring("type1", levels.base_top);
    }

    /// One side of a ring: the dig's side down, then what stands in it back up.
    fn ring(
        &self,
        what: &str,
        (top, bottom): (Millimetres, Millimetres),
        hand: f64,
    ) -> SectionPart {
        let mut outline = vec![
            [hand * self.side(top), mm(top)],
            [hand * self.side(bottom), mm(bottom)],
        ];
        for (from, to, reach) in self.bands().into_iter().rev() {
            let (from, to) = (from.max(top), to.min(bottom));
            if from < to {
                outline.extend([[hand * reach, mm(to)], [hand * reach, mm(from)]]);
            }
        }
        SectionPart {
            what: what.to_owned(),
            outline,
        }
    }

    /// Base, walls, bedding, ironwork and the opening inside.
    fn chamber(&self, drawn: &mut Section) {
        let (taken, levels) = (self.take_off, &self.take_off.levels);
        let (clear, outside) = (half(taken.clear_width), half(taken.outside_width));
        let [(_, ironwork_bottom, ironwork), (_, sections_top, seat), _] = self.bands();
        let mut push = |what: &str, outline: Vec<Point>| {
            drawn.parts.push(SectionPart {
                what: what.to_owned(),
                outline,
            });
        };
        push(
            "ironwork",
            rectangle(-ironwork, ironwork, Millimetres::ZERO, ironwork_bottom),
        );
        let beside = |from: f64, to: f64, top, bottom| {
            [
                rectangle(-to, -from, top, bottom),
                rectangle(from, to, top, bottom),
            ]
        };
        if sections_top > ironwork_bottom {
            for outline in beside(clear, seat, ironwork_bottom, sections_top) {
                push("mortar", outline);
            }
        }
        let floor = levels.base_top.max(sections_top);
        push("opening", rectangle(-clear, clear, ironwork_bottom, floor));
        for n in 0..i64::from(taken.sections) {
            let level = |n| sections_top + self.section_depth() * n;
            for outline in beside(clear, outside, level(n), level(n + 1)) {
                push("wall", outline);
            }
        }
        if taken.work != Work::Adjust {
            push("base_concrete", self.base(clear, outside));
        }
    }

    /// The base with the notches that the first section stands in.
    fn base(&self, clear: f64, outside: f64) -> Vec<Point> {
        let levels = &self.take_off.levels;
        let (top, notch, bottom) = (
            mm(levels.base_top),
            mm(levels.sections_bottom),
            mm(levels.formation),
        );
        let (upper, lower) = (self.side(levels.base_top), self.side(levels.formation));
        vec![
            [-upper, top],
            [-outside, top],
            [-outside, notch],
            [-clear, notch],
            [-clear, top],
            [clear, top],
            [clear, notch],
            [outside, notch],
            [outside, top],
            [upper, top],
            [lower, bottom],
            [-lower, bottom],
        ]
    }

    fn section_depth(&self) -> Millimetres {
        let levels = &self.take_off.levels;
        let stack = (levels.sections_bottom - levels.sections_top).mm();
        Millimetres::from_mm(stack / i64::from(self.take_off.sections.max(1)))
    }

    fn levels(&self) -> Vec<SectionLevel> {
        let levels = &self.take_off.levels;
        let built = self.take_off.work != Work::Adjust;
        let named = [
            ("surface", Millimetres::ZERO, true),
            (self.top_layer(), levels.surfacing_bottom, true),
            ("underside of ironwork", levels.ironwork_bottom, true),
            ("top of sections", levels.sections_top, true),
            ("top of type 1", levels.type1_top, built),
            ("top of base", levels.base_top, built),
            ("underside of sections", levels.sections_bottom, built),
            ("formation", levels.formation, built),
        ];
        let mut told: Vec<_> = named
            .into_iter()
            .filter(|(_, _, told)| *told)
            .map(|(name, depth, _)| SectionLevel {
                name: name.to_owned(),
                depth_mm: depth.mm(),
            })
            .collect();
        told.sort_by_key(|level| level.depth_mm);
        told
    }

    fn top_layer(&self) -> &'static str {
        if self.take_off.position == Position::Verge {
            "underside of topsoil"
        } else {
            "underside of surfacing"
        }
    }

    fn across(&self) -> Vec<Dimension> {
        let (taken, levels) = (self.take_off, &self.take_off.levels);
        let built = taken.work != Work::Adjust;
        let widths = [
            (
                "dig at the surface",
                taken.dig_width,
                Millimetres::ZERO,
                -2,
                true,
            ),
            (
                "ironwork",
                taken.ironwork_width,
                Millimetres::ZERO,
                -1,
                true,
            ),
            (
                "clear opening",
                taken.clear_width,
                levels.sections_top,
                1,
                true,
            ),
            (
                "outside of sections",
                taken.outside_width,
                levels.sections_bottom,
                2,
                built,
            ),
            (
                "dig at the formation",
                taken.foot_width,
                levels.formation,
                3,
                built,
            ),
        ];
        let told = widths.into_iter().filter(|(_, _, _, _, told)| *told);
        told.map(|(name, width, depth, lane, _)| Dimension {
            name: name.to_owned(),
            from: [-half(width), mm(depth)],
            to: [half(width), mm(depth)],
            mm: width.mm(),
            lane,
        })
        .collect()
    }

    fn down(&self) -> Vec<Dimension> {
        let levels = &self.take_off.levels;
        let top = match self.take_off.position {
            Position::Verge => "topsoil",
            _ => "surfacing",
        };
        // Where there is no such layer its two levels are the same.
        let heights = [
            (
                "depth of the dig",
                Millimetres::ZERO,
                levels.formation,
                -2_i32,
            ),
            (top, Millimetres::ZERO, levels.surfacing_bottom, -1),
            (
                "surround concrete",
                levels.surfacing_bottom,
                levels.type1_top,
                -1,
            ),
            ("type 1", levels.type1_top, levels.base_top, -1),
            ("base", levels.base_top, levels.formation, -1),
            ("ironwork", Millimetres::ZERO, levels.ironwork_bottom, 1),
            ("bedding", levels.ironwork_bottom, levels.sections_top, 2),
            ("sections", levels.sections_top, levels.sections_bottom, 1),
            (
                "set into the base",
                levels.base_top,
                levels.sections_bottom,
                2,
            ),
        ];
        let side = half(self.take_off.dig_width);
        let told = heights.into_iter().filter(|(_, from, to, _)| to > from);
        told.map(|(name, from, to, lane)| {
            let across = side * f64::from(lane.signum());
            Dimension {
                name: name.to_owned(),
                from: [across, mm(from)],
                to: [across, mm(to)],
                mm: (to - from).mm(),
                lane,
            }
        })
        .collect()
    }
}

fn mm(length: Millimetres) -> f64 {
    length.mm() as f64
}

fn half(length: Millimetres) -> f64 {
    mm(length) / 2.0
}

fn rectangle(left: f64, right: f64, top: Millimetres, bottom: Millimetres) -> Vec<Point> {
    let (top, bottom) = (mm(top), mm(bottom));
    vec![[left, top], [right, top], [right, bottom], [left, bottom]]
}
