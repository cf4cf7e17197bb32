//! Depth, plan and volumes, followed back.

use gangday_model::{CubicMillimetres, DigShape, Layer, Millimetres, Position, TakeOff, Work};

use super::Explained;
use super::traced::{Tables, plain};

/// Sizes that the plan of a chamber rests on.
const PLAN: [&str; 6] = [
    "chamber.clear_length",
    "chamber.clear_width",
    "chamber.wall",
    "chamber.margin",
    "ironwork_length_mm",
    "ironwork_width_mm",
];

/// Sizes that its levels rest on.
const LEVELS: [&str; 7] = [
    "chamber.base",
    "chamber.embed",
    "chamber.sections",
    "chamber.section_depth",
    "chamber.ironwork_depth",
    "chamber.bedding",
    "chamber.type1_below_top",
];

/// The take-off with the words for its parts.
pub(super) struct Told<'a> {
    taken: &'a TakeOff,
}

/// From cubic millimetres.
const M3: &str = "/ 1000000000";

impl<'a> Told<'a> {
    pub(super) const fn of(taken: &'a TakeOff) -> Self {
        Self { taken }
    }

    /// Side lengths of the dig at a depth.
    fn sides(&self, depth: Millimetres) -> [f64; 2] {
        let taken = self.taken;
        let up = (taken.depth - depth).mm() as f64 / taken.depth.mm() as f64;
        [
            (taken.foot_length, taken.dig_length),
            (taken.foot_width, taken.dig_width),
        ]
        .map(|(foot, top)| foot.mm() as f64 + (top - foot).mm() as f64 * up)
    }

    /// The part of the dig between two depths, in cubic millimetres.
    pub(super) fn hole(&self, from: Millimetres, to: Millimetres) -> String {
        let depth = (to - from).mm();
        let taken = self.taken;
        if taken.dig_shape != DigShape::Battered {
            return format!(
                "{} x {} x {depth}",
                taken.dig_length.mm(),
                taken.dig_width.mm()
            );
        }
        let top = self.sides(from);
        let foot = self.sides(to);
        let middle = [0, 1].map(|n| f64::midpoint(top[n], foot[n]));
        let [top, middle, foot] = [top, middle, foot]
            .map(|[length, width]| format!("{} x {}", plain(length), plain(width)));
        format!("{depth} / 6 x ({top} + 4 x {middle} + {foot})")
    }

    /// The dig less what stands in it between two depths, in cubic millimetres.
    pub(super) fn ring(&self, from: Millimetres, to: Millimetres) -> String {
        let (taken, levels) = (self.taken, &self.taken.levels);
        let seat = (
            taken.ironwork_length.min(taken.outside_length),
            taken.ironwork_width.min(taken.outside_width),
        );
        let bands = [
            (
                Millimetres::ZERO,
                levels.ironwork_bottom,
                (taken.ironwork_length, taken.ironwork_width),
            ),
            (levels.ironwork_bottom, levels.sections_top, seat),
            (
                levels.sections_top,
                levels.sections_bottom,
                (taken.outside_length, taken.outside_width),
            ),
        ];
        let mut text = self.hole(from, to);
        for (top, bottom, (length, width)) in bands {
            let depth = (bottom.min(to) - top.max(from)).or_nothing();
            if depth > Millimetres::ZERO {
                text += &format!(" - {} x {} x {}", length.mm(), width.mm(), depth.mm());
            }
        }
        text
    }
}

pub(super) fn volumes(taken: &TakeOff, tables: &Tables) -> Vec<Explained> {
    let mut all = vec![depth(taken, tables), excavation(taken, tables)];
    all.extend(sides(taken, tables));
    if taken.work != Work::Adjust {
        all.push(base(taken, tables));
    }
    all.extend(rings(taken, tables));
    all.extend(mortar(taken, tables));
    if taken.work != Work::Adjust {
        all.push(inside(taken, tables));
    }
    all.push(balance(taken, tables));
    all
}

fn depth(taken: &TakeOff, tables: &Tables) -> Explained {
    let levels = &taken.levels;
    let (frame, bedding) = (
        levels.ironwork_bottom.mm(),
        (levels.sections_top - levels.ironwork_bottom).mm(),
    );
    let value = (taken.depth.mm() as f64, "mm");
    let name = "depth of the dig";
    if taken.work == Work::Adjust {
        let keys = ["chamber.adjust_bedding", "chamber.ironwork_depth"];
        return tables.tell(name, value, "m + f", format!("{bedding} + {frame}"), &keys);
    }
    let base = (levels.formation - levels.base_top).mm();
    let embed = (levels.sections_bottom - levels.base_top).mm();
    let each =
        (levels.sections_bottom - levels.sections_top).mm() / i64::from(taken.sections.max(1));
    let sections = taken.sections;
    let numbers = format!("{base} - {embed} + {sections} x {each} + {bedding} + {frame}");
    tables.tell(name, value, "b - e + n h + m + f", numbers, &LEVELS[..6])
}

/// The plan at the surface where the sides do not stand upright against the working space.
fn sides(taken: &TakeOff, tables: &Tables) -> Option<Explained> {
    let value = (taken.dig_width.mm() as f64, "mm");
    let name = "width of the dig at the surface";
    let foot = taken.foot_width.mm();
    match taken.dig_shape {
        DigShape::Vertical => None,
        DigShape::Sheeted => {
            let outside = taken.outside_width.mm();
            let space = (taken.foot_width - taken.outside_width).mm();
            let numbers = format!("{outside} + {space}");
            let keys = ["chamber.margin", "dig.sheeting", "dig.shape"];
            Some(tables.tell(name, value, "Wo + 2 (a + sheeting)", numbers, &keys))
        }
        DigShape::Battered => {
            let out = (taken.dig_width - taken.foot_width).mm() / 2;
            let numbers = format!("{foot} + 2 x {out}");
            let formula = "We at the foot + 2 up(batter x D)";
            Some(tables.tell(name, value, formula, numbers, &["dig.batter", "dig.shape"]))
        }
    }
}

fn excavation(taken: &TakeOff, tables: &Tables) -> Explained {
    let told = Told::of(taken);
    let levels = &taken.levels;
    let (formula, numbers) = if taken.work == Work::Adjust {
        let bedding = (levels.sections_top - levels.ironwork_bottom).mm();
        let kept = format!(
            "{} - {} x {} x {} - {} x {} x {bedding}",
            told.hole(Millimetres::ZERO, levels.formation),
            taken.ironwork_length.mm(),
            taken.ironwork_width.mm(),
            levels.ironwork_bottom.mm(),
            taken.clear_length.mm(),
            taken.clear_width.mm(),
        );
        ("Le We D less ironwork and opening", kept)
    } else if taken.dig_shape == DigShape::Battered {
        let hole = told.hole(Millimetres::ZERO, levels.formation);
        ("D / 6 (top + 4 middle + foot), the prismoidal rule", hole)
    } else {
        ("Le We D", told.hole(Millimetres::ZERO, levels.formation))
    };
    volume(
        "excavation",
        taken.volumes.excavation,
        formula,
        &numbers,
        tables,
    )
}

fn base(taken: &TakeOff, tables: &Tables) -> Explained {
    let levels = &taken.levels;
    let numbers = format!(
        "{} - ({} x {} - {} x {}) x {}",
        Told::of(taken).hole(levels.base_top, levels.formation),
        taken.outside_length.mm(),
        taken.outside_width.mm(),
        taken.clear_length.mm(),
        taken.clear_width.mm(),
        (levels.sections_bottom - levels.base_top).mm(),
    );
    let formula = "Le We b - (Lo Wo - L W) e";
    volume(
        "base concrete",
        taken.volumes.base_concrete,
        formula,
        &numbers,
        tables,
    )
}

fn rings(taken: &TakeOff, tables: &Tables) -> Vec<Explained> {
    let (levels, volumes, told) = (&taken.levels, &taken.volumes, Told::of(taken));
    let ring = |name: &str, volume_of: CubicMillimetres, from, to| {
        let formula = format!(
            "dig less what stands in it, {} to {} mm down",
            Millimetres::mm(from),
            Millimetres::mm(to)
        );
        volume(name, volume_of, &formula, &told.ring(from, to), tables)
    };
    let mut all = vec![ring(
        "type 1",
        volumes.type1,
        levels.type1_top,
        levels.base_top,
    )];
    if taken.position == Position::Verge {
        all.push(ring(
            "topsoil",
            volumes.topsoil,
            Millimetres::ZERO,
            levels.type1_top,
        ));
    } else {
        let bottom = levels.surfacing_bottom;
        all.push(ring(
            "surround concrete",
            volumes.surround_concrete,
            bottom,
            levels.type1_top,
        ));
        let surfacing = ring("surfacing", volumes.surfacing, Millimetres::ZERO, bottom);
        all.push(with_surfacing(surfacing, taken, tables));
        let mut top = Millimetres::ZERO;
        for layer in &taken.layers {
            let name = format!("surfacing, {}", layer.mixture);
            let told = ring(&name, layer.volume, top, top + layer.thickness);
            all.push(with_limits(told, layer, tables));
            top += layer.thickness;
        }
    }
    all.retain(|told| told.value > 0.0);
    all
}

fn with_surfacing(mut told: Explained, taken: &TakeOff, tables: &Tables) -> Explained {
    if taken.layers.is_empty() {
        told.parameters.extend(tables.surfacing(taken));
    }
    told
}

fn with_limits(mut told: Explained, layer: &Layer, tables: &Tables) -> Explained {
    let mixture = &layer.mixture;
    let parts = ["least", "most"].map(|part| format!("mixture.{mixture}.{part}"));
    told.parameters.push(tables.layer(layer));
    told.parameters
        .extend(parts.iter().filter_map(|key| tables.traced(key)));
    told
}

fn mortar(taken: &TakeOff, tables: &Tables) -> Option<Explained> {
    let levels = &taken.levels;
    let numbers = format!(
        "({} x {} - {} x {}) x {}",
        taken.ironwork_length.min(taken.outside_length).mm(),
        taken.ironwork_width.min(taken.outside_width).mm(),
        taken.clear_length.mm(),
        taken.clear_width.mm(),
        (levels.sections_top - levels.ironwork_bottom).mm(),
    );
    let told = volume(
        "bedding mortar",
        taken.volumes.mortar,
        "(seat - L W) m",
        &numbers,
        tables,
    );
    (told.value > 0.0).then_some(told)
}

fn inside(taken: &TakeOff, tables: &Tables) -> Explained {
    let levels = &taken.levels;
    let clear = format!("{} x {}", taken.clear_length.mm(), taken.clear_width.mm());
    let numbers = format!(
        "{} x {} x {} + {clear} x {} + {} x {} x {} - {clear} x {}",
        taken.ironwork_length.mm(),
        taken.ironwork_width.mm(),
        levels.ironwork_bottom.mm(),
        (levels.sections_top - levels.ironwork_bottom).mm(),
        taken.outside_length.mm(),
        taken.outside_width.mm(),
        (levels.sections_bottom - levels.sections_top).mm(),
        (levels.sections_bottom - levels.base_top).mm(),
    );
    let formula = "ironwork f + L W m + Lo Wo n h - L W e";
    volume(
        "inside the chamber",
        taken.volumes.inside,
        formula,
        &numbers,
        tables,
    )
}

/// What goes back, which is what came out.
fn balance(taken: &TakeOff, tables: &Tables) -> Explained {
    let volumes = &taken.volumes;
    let parts = [
        volumes.base_concrete,
        volumes.type1,
        volumes.surround_concrete,
        volumes.surfacing,
        volumes.topsoil,
        volumes.mortar,
        volumes.inside,
    ];
    let numbers: Vec<String> = parts.iter().map(|part| part.mm3().to_string()).collect();
    let numbers = format!("({}) {M3}", numbers.join(" + "));
    let formula = "base + type 1 + surround + surfacing + topsoil + mortar + inside = excavation";
    let value = (volumes.filled().m3(), "m3");
    tables.tell("all that goes back", value, formula, numbers, &PLAN)
}

fn volume(
    name: &str,
    volume: CubicMillimetres,
    formula: &str,
    numbers: &str,
    tables: &Tables,
) -> Explained {
    let keys: Vec<&str> = PLAN.into_iter().chain(LEVELS).collect();
    tables.tell(
        name,
        (volume.m3(), "m3"),
        formula,
        format!("({numbers}) {M3}"),
        &keys,
    )
}
