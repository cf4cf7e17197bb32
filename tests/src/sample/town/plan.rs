//! How a street is put down in the plan of the town: by the places that it runs through.

use super::super::street::Kind;

/// A street by places that it runs through; its ends join the streets laid before it.
pub struct Line {
    /// Its name.
    pub name: &'static str,
    /// What sort it is.
    pub kind: Kind,
    /// Places, metres east and north of the middle.
    pub through: &'static [(i32, i32)],
    /// Whether it is ruled straight from place to place.
    pub ruled: bool,
}

/// A smooth street.
pub const fn line(name: &'static str, kind: Kind, through: &'static [(i32, i32)]) -> Line {
    Line {
        name,
        kind,
        through,
        ruled: false,
    }
}

/// A street of straight parts.
pub const fn ruled(name: &'static str, kind: Kind, through: &'static [(i32, i32)]) -> Line {
    Line {
        name,
        kind,
        through,
        ruled: true,
    }
}

/// A close that leaves a street laid before it.
pub struct Close {
    /// Its name.
    pub name: &'static str,
    /// The street it leaves.
    pub on: &'static str,
    /// How far along that street, in hundredths of its length.
    pub hundredths: u8,
    /// Metres to the left; negative to the right.
    pub reach: i32,
    /// How far its end leans along the street, in metres.
    pub lean: i32,
}

/// A close to the left of `on`, or to the right where `reach` is negative.
pub const fn close(
    name: &'static str,
    on: &'static str,
    hundredths: u8,
    reach: i32,
    lean: i32,
) -> Close {
    Close {
        name,
        on,
        hundredths,
        reach,
        lean,
    }
}

/// One part of the town, laid after the parts before it.
pub struct Quarter {
    /// Its streets.
    pub lines: &'static [Line],
    /// Closes off them.
    pub closes: &'static [Close],
}
