//! One street of the sample, and what its kind implies.

use super::plane::Point;

/// What sort of street it is; the rest follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// The main road outside the town.
    Trunk,
    /// The main road in the town.
    Main,
    /// One half of the one-way pair.
    OneWay,
    /// The ring and the other roads that collect traffic.
    Distributor,
    /// A street of shops and old houses.
    Town,
    /// A street of terraced houses.
    Terrace,
    /// A street or loop of an estate.
    Estate,
    /// A close: one end only.
    Close,
    /// A street of the works estate.
    Works,
    /// A lane in the country.
    Lane,
}

/// What the authority would say of a street of one kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// 0 to 4.
    pub road_type: u8,
    /// Speed limit, mph.
    pub mph: u32,
    /// Carriageway, m.
    pub width: f64,
    /// Vehicles both ways in three minutes.
    pub flow: u32,
    /// Grass between kerb and footway, m.
    pub verge: f64,
    /// Cycle track beyond the verge, m.
    pub track: f64,
    /// Footway, m.
    pub footway: f64,
}

impl Kind {
    /// What the authority would say.
    #[must_use]
    pub const fn standing(self) -> Standing {
        let (road_type, mph, width, flow) = match self {
            Self::Trunk => (0, 50, 7.9, 62),
            Self::Main => (1, 30, 7.3, 54),
            Self::OneWay => (2, 20, 5.6, 30),
            Self::Distributor => (2, 40, 7.3, 26),
            Self::Town => (3, 20, 5.8, 9),
            Self::Terrace => (4, 20, 5.0, 3),
            Self::Estate => (4, 20, 5.5, 4),
            Self::Close => (4, 20, 4.8, 1),
            Self::Works => (3, 30, 7.3, 11),
            Self::Lane => (4, 60, 4.2, 2),
        };
        let (verge, track, footway) = match self {
            Self::Trunk => (2.5, 0.0, 1.8),
            Self::Distributor => (2.0, 2.5, 1.8),
            Self::Main => (0.0, 2.0, 2.4),
            Self::Estate | Self::Works => (1.5, 0.0, 1.8),
            Self::Lane => (2.0, 0.0, 0.0),
            Self::OneWay | Self::Town | Self::Terrace | Self::Close => (0.0, 0.0, 1.8),
        };
        Standing {
            road_type,
            mph,
            width,
            flow,
            verge,
            track,
            footway,
        }
    }

    /// The footway as the authority would state it, m; none where there is none. Wide where many walk.
    #[must_use]
    pub const fn footway_width(self) -> Option<f64> {
        match self {
            Self::Lane => None,
            Self::Main => Some(3.8),
            Self::Works => Some(3.5),
            Self::Trunk | Self::Distributor | Self::OneWay | Self::Town => Some(2.0),
            Self::Terrace | Self::Estate | Self::Close => Some(1.8),
        }
    }

    /// Hours that the authority holds as traffic-sensitive.
    #[must_use]
    pub const fn sensitive(self) -> &'static [[&'static str; 2]] {
        match self {
            Self::Trunk | Self::Main => &[["07:30", "09:30"], ["16:00", "18:00"]],
            Self::OneWay => &[["08:00", "09:30"]],
            _ => &[],
        }
    }
}

/// The street of the terraces that is a short cut to the market.
const SHORT_CUT: &str = "Alma Road";

/// One street.
#[derive(Clone, Debug, PartialEq)]
pub struct Street {
    /// Its id, unique in the programme.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What sort it is.
    pub kind: Kind,
    /// Whether it crosses the river.
    pub bridge: bool,
    /// No works before this date.
    pub restricted_until: Option<&'static str>,
    /// Its line.
    pub line: Vec<Point>,
}

impl Street {
    /// Vehicles both ways in three minutes: a bridge, and the road that leads to it, gather the
    /// traffic of both banks; between the terraces one street is the short cut to the market.
    #[must_use]
    pub fn flow(&self) -> u32 {
        let flow = self.kind.standing().flow;
        match self.name.as_str() {
            "Bridge Road" => flow + 22,
            SHORT_CUT => flow + 15,
            _ if self.bridge => flow + 22,
            _ => flow,
        }
    }

    /// How far drivers see, m, where somebody has gone to look.
    #[must_use]
    pub fn visibility(&self) -> Option<u32> {
        (self.name == SHORT_CUT).then_some(90)
    }

    /// Heavy vehicles an hour; of the works estate's streets, those with the longer names lead to
    /// its gate.
    #[must_use]
    pub const fn heavy(&self) -> u32 {
        match self.kind {
            Kind::Trunk => 150,
            Kind::Main => 60,
            Kind::OneWay => 24,
            Kind::Distributor => 48,
            Kind::Works if self.name.len() > 10 => 40,
            Kind::Works => 14,
            Kind::Town => 8,
            Kind::Terrace | Kind::Estate | Kind::Lane => 3,
            Kind::Close => 1,
        }
    }

    /// A street with nothing special about it.
    #[must_use]
    pub fn new(name: impl Into<String>, kind: Kind, line: Vec<Point>) -> Self {
        let (id, name) = (String::new(), name.into());
        Self {
            id,
            name,
            kind,
            bridge: false,
            restricted_until: None,
            line,
        }
    }
}
