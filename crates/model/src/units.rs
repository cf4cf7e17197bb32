//! Measures as small types over a private integer: in by a named unit, out by a named unit.
//!
//! Volumes are whole cubic millimetres and masses whole micrograms, so that a sum over any number
//! of jobs comes out the same in any order and any grouping.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

use serde::{Deserialize, Serialize};

macro_rules! measure {
    ($(#[$doc:meta])* $name:ident($inner:ty), $from:ident, $to:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(
            Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
        )]
        #[serde(transparent)]
        pub struct $name($inner);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0);

            #[doc = concat!("From whole ", $unit, ".")]
            #[must_use]
            pub const fn $from(value: $inner) -> Self {
                Self(value)
            }

            #[doc = concat!("In whole ", $unit, ".")]
            #[must_use]
            pub const fn $to(self) -> $inner {
                self.0
            }

            /// Whether it is below nothing.
            #[must_use]
            pub const fn is_negative(self) -> bool {
                self.0 < 0
            }

            /// The same, but never below nothing.
            #[must_use]
            pub const fn or_nothing(self) -> Self {
                if self.0 < 0 { Self(0) } else { self }
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }

        impl Mul<$inner> for $name {
            type Output = Self;
            fn mul(self, times: $inner) -> Self {
                Self(self.0 * times)
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
                all.fold(Self::ZERO, Add::add)
            }
        }

        impl<'a> Sum<&'a Self> for $name {
            fn sum<I: Iterator<Item = &'a Self>>(all: I) -> Self {
                all.copied().sum()
            }
        }
    };
}

measure!(
    /// A length on the drawing.
    Millimetres(i64), from_mm, mm, "millimetres"
);
measure!(
    /// An area on the drawing.
    SquareMillimetres(i64), from_mm2, mm2, "square millimetres"
);
measure!(
    /// A volume, net in place unless it says otherwise.
    CubicMillimetres(i64), from_mm3, mm3, "cubic millimetres"
);
measure!(
    /// A mass, fine enough that a whole number of mm3 times a whole number of kg/m3 is exact.
    Mass(i128), from_micrograms, micrograms, "micrograms"
);
measure!(
    /// A length of time.
    Seconds(i64), from_seconds, seconds, "seconds"
);
measure!(
    /// An amount of money.
    Pence(i64), from_pence, pence, "pence"
);

impl Mul for Millimetres {
    type Output = SquareMillimetres;
    fn mul(self, other: Self) -> SquareMillimetres {
        SquareMillimetres(self.0 * other.0)
    }
}

impl Mul<Millimetres> for SquareMillimetres {
    type Output = CubicMillimetres;
    fn mul(self, depth: Millimetres) -> CubicMillimetres {
        CubicMillimetres(self.0 * depth.0)
    }
}

impl Millimetres {
    /// In metres, for showing.
    #[must_use]
    pub fn m(self) -> f64 {
        self.0 as f64 / 1e3
    }
}

impl SquareMillimetres {
    /// In square metres, for showing and for outputs per square metre.
    #[must_use]
    pub fn m2(self) -> f64 {
        self.0 as f64 / 1e6
    }
}

impl CubicMillimetres {
    /// In cubic metres, for showing and for outputs per cubic metre.
    #[must_use]
    pub fn m3(self) -> f64 {
        self.0 as f64 / 1e9
    }

    /// The mass at a whole density.
    ///
    /// # Units
    /// `density` in kg/m3: one mm3 at 1 kg/m3 is one microgram, so the product is exact.
    ///
    /// ```
    /// use gangday_model::CubicMillimetres;
    /// let one_cube = CubicMillimetres::from_mm3(1_000_000_000);
    /// assert_eq!(one_cube.at_density(2_100).tonnes(), 2.1);
    /// ```
    #[must_use]
    pub fn at_density(self, density_kg_m3: i64) -> Mass {
        Mass(i128::from(self.0) * i128::from(density_kg_m3))
    }
}

impl Mass {
    /// From kilograms, to the nearest microgram.
    #[must_use]
    pub fn from_kg(kg: f64) -> Self {
        Self((kg * 1e9).round() as i128)
    }

    /// In kilograms, for showing.
    #[must_use]
    pub fn kg(self) -> f64 {
        self.0 as f64 / 1e9
    }

    /// In tonnes, for showing.
    #[must_use]
    pub fn tonnes(self) -> f64 {
        self.0 as f64 / 1e12
    }
}

impl Seconds {
    /// From whole minutes.
    #[must_use]
    pub const fn from_minutes(minutes: i64) -> Self {
        Self(minutes * 60)
    }

    /// In minutes, the begun one counted.
    #[must_use]
    pub const fn minutes_up(self) -> i64 {
        self.0.div_euclid(60) + if self.0.rem_euclid(60) == 0 { 0 } else { 1 }
    }

    /// The same, up to the next whole minute: times on a gang sheet are whole minutes.
    ///
    /// ```
    /// use gangday_model::Seconds;
    /// assert_eq!(Seconds::from_seconds(61).up_to_minute(), Seconds::from_minutes(2));
    /// assert_eq!(Seconds::from_seconds(120).up_to_minute(), Seconds::from_minutes(2));
    /// ```
    #[must_use]
    pub const fn up_to_minute(self) -> Self {
        Self(self.minutes_up() * 60)
    }
}
