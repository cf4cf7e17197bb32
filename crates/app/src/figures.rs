//! What one chamber takes, as figures with their reasons.

use gangday_model::{CubicMillimetres, DigShape, Mass, Millimetres, TakeOff};

use crate::view::Figure;
use crate::words;

/// The figures of a take-off that are worth showing, in the order of the work.
#[must_use]
pub fn figures(taken: &TakeOff) -> Vec<Figure> {
    let volumes = &taken.volumes;
    let mut all = vec![dig(taken)];
    let layers = [
        ("Base concrete", volumes.base_concrete, base_why(taken)),
        (
            "Type 1",
            volumes.type1,
            ring_why(taken, taken.levels.type1_top, taken.levels.base_top),
        ),
        (
            "Surround concrete",
            volumes.surround_concrete,
            surround_why(taken),
        ),
        ("Surfacing", volumes.surfacing, surfacing_why(taken)),
        ("Topsoil or as found", volumes.topsoil, surround_why(taken)),
        (
            "Bedding mortar",
            volumes.mortar,
            "frame seat × bedding".to_owned(),
        ),
    ];
    for (label, volume, why) in layers {
        if volume > CubicMillimetres::ZERO {
            all.push(volume_figure(label, volume, why));
        }
    }
    all.push(mass_figure(
        "Spoil away",
        taken.spoil,
        "net volume × bank density, never bulked",
    ));
    if taken.bituminous > Mass::ZERO {
        let why = "bound layers broken out; a stream of their own, never mixed with clean spoil";
        all.push(mass_figure("Bituminous arisings", taken.bituminous, why));
    }
    all
}

fn dig(taken: &TakeOff) -> Figure {
    let why = format!(
        "{} × {} × {} mm: outside of the frames plus working space every side, to formation{}",
        mm(taken.dig_length),
        mm(taken.dig_width),
        mm(taken.depth),
        sides(taken)
    );
    volume_figure("Excavation", taken.volumes.excavation, why)
}

fn sides(taken: &TakeOff) -> String {
    match taken.dig_shape {
        DigShape::Vertical => String::new(),
        DigShape::Sheeted => ", wider by the sheets on each side".to_owned(),
        DigShape::Battered => format!(
            ", battered to {} × {} mm at the foot, by the prismoidal rule",
            mm(taken.foot_length),
            mm(taken.foot_width)
        ),
    }
}

fn base_why(taken: &TakeOff) -> String {
    format!(
        "{} × {} mm, {} to {} mm below the surface, less the wall ring that stands in it",
        mm(taken.dig_length),
        mm(taken.dig_width),
        mm(taken.levels.base_top),
        mm(taken.levels.formation)
    )
}

fn ring_why(taken: &TakeOff, top: Millimetres, bottom: Millimetres) -> String {
    format!(
        "({} × {} − {} × {} mm) ring, {} to {} mm below the surface",
        mm(taken.dig_length),
        mm(taken.dig_width),
        mm(taken.outside_length),
        mm(taken.outside_width),
        mm(top),
        mm(bottom)
    )
}

fn surround_why(taken: &TakeOff) -> String {
    let what = ring_why(taken, taken.levels.surfacing_bottom, taken.levels.type1_top);
    format!("{what}, less the ironwork frame's own outside")
}

fn surfacing_why(taken: &TakeOff) -> String {
    format!(
        "ring round the {} × {} mm ironwork, surface to {} mm, compacted",
        mm(taken.ironwork_length),
        mm(taken.ironwork_width),
        mm(taken.levels.surfacing_bottom)
    )
}

fn mm(length: Millimetres) -> String {
    words::thousands(length.mm().unsigned_abs())
}

fn volume_figure(label: &str, volume: CubicMillimetres, why: String) -> Figure {
    Figure {
        label: label.to_owned(),
        value: words::rounded(volume.m3(), "m3"),
        unit: words::unit("m3"),
        exact: format!("{} m³", volume.m3()),
        why,
    }
}

fn mass_figure(label: &str, mass: Mass, why: &str) -> Figure {
    Figure {
        label: label.to_owned(),
        value: words::rounded(mass.tonnes(), "t"),
        unit: "t".to_owned(),
        exact: format!("{} t", mass.tonnes()),
        why: why.to_owned(),
    }
}
