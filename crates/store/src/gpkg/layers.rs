//! The tables that anybody's GIS sees: which there are and which columns they have.

use super::geometry::Shape;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Text.
    Text,
    /// A whole number.
    Whole,
    /// A number.
    Real,
    /// Yes or no.
    Flag,
    /// A date, ISO 8601.
    Date,
    /// A list as JSON text.
    List,
    /// A place: two columns, longitude and latitude.
    Place,
}

/// A property that has a column of its own.
pub(crate) struct Column {
    pub(crate) name: &'static str,
    pub(crate) kind: Kind,
    /// The version of the tables that first had it.
    pub(crate) since: i64,
}

impl Column {
    /// The columns in SQL with their types, as GeoPackage names them.
    pub(crate) fn sql(&self) -> Vec<(String, &'static str)> {
        let one = |kind| vec![(self.name.to_owned(), kind)];
        match self.kind {
            Kind::Text | Kind::List => one("TEXT"),
            Kind::Whole => one("INTEGER"),
            Kind::Real => one("REAL"),
            Kind::Flag => one("BOOLEAN"),
            Kind::Date => one("DATE"),
            Kind::Place => ["lon", "lat"]
                .map(|end| (format!("{}_{end}", self.name), "REAL"))
                .to_vec(),
        }
    }
}

/// A table that a GIS sees.
pub(crate) struct Layer {
    pub(crate) table: &'static str,
    pub(crate) title: &'static str,
    /// The shape of its features; none for a table without places.
    pub(crate) shape: Option<Shape>,
    pub(crate) columns: &'static [Column],
    /// Whether its rows come of several files, each row named by `file` and `list`.
    pub(crate) shared: bool,
}

pub(crate) const fn column(name: &'static str, kind: Kind) -> Column {
    later(name, kind, 1)
}

const fn later(name: &'static str, kind: Kind, since: i64) -> Column {
    Column { name, kind, since }
}

pub(crate) const JOBS: Layer = Layer {
    table: "jobs",
    title: "Jobs",
    shape: Some(Shape::Point),
    columns: &[
        column("title", Kind::Text),
        column("work", Kind::Text),
        column("position", Kind::Text),
        column("clear_length_mm", Kind::Whole),
        column("clear_width_mm", Kind::Whole),
        column("sections", Kind::Whole),
        column("section_depth_mm", Kind::Whole),
        column("wall_mm", Kind::Whole),
        column("base_mm", Kind::Whole),
        column("embed_mm", Kind::Whole),
        column("ironwork_depth_mm", Kind::Whole),
        column("ironwork_length_mm", Kind::Whole),
        column("ironwork_width_mm", Kind::Whole),
        column("bedding_mm", Kind::Whole),
        column("margin_mm", Kind::Whole),
        column("load_class", Kind::Text),
        column("ground", Kind::Text),
        column("street", Kind::Text),
        column("closure", Kind::Text),
        column("earliest", Kind::Date),
        column("latest", Kind::Date),
        column("site_hours", Kind::List),
        column("tickets", Kind::List),
        column("priority", Kind::Whole),
        column("permit", Kind::Text),
        later("nights", Kind::Whole, 4),
        later("over_weekend", Kind::Flag, 4),
    ],
    shared: false,
};

pub(crate) const STREETS: Layer = Layer {
    table: "streets",
    title: "Streets",
    shape: Some(Shape::MultiLine),
    columns: &[
        column("name", Kind::Text),
        column("road_type", Kind::Whole),
        column("speed_limit_mph", Kind::Whole),
        column("width_m", Kind::Real),
        column("one_way", Kind::Flag),
        column("flow_per_3_min", Kind::Real),
        column("traffic_sensitive", Kind::List),
        column("restricted_until", Kind::Date),
    ],
    shared: false,
};

pub(crate) const CLOSURES: Layer = Layer {
    table: "closures",
    title: "Closures of the plan",
    shape: Some(Shape::Polygon),
    columns: &[
        column("job", Kind::Text),
        column("gang", Kind::Text),
        column("street", Kind::Text),
        column("street_name", Kind::Text),
        column("kind", Kind::Text),
        column("control", Kind::Text),
        column("start", Kind::Text),
        column("hold_from", Kind::Text),
        column("end", Kind::Text),
    ],
    shared: false,
};

pub(crate) const GANGS: Layer = Layer {
    table: "gangs",
    title: "Gangs",
    shape: None,
    columns: &[
        column("id", Kind::Text),
        column("name", Kind::Text),
        column("depot", Kind::Place),
        column("people", Kind::Whole),
        column("tickets", Kind::List),
        column("payload_kg", Kind::Real),
        column("volume_m3", Kind::Real),
        column("shift", Kind::List),
        column("overtime_min", Kind::Real),
        column("days", Kind::List),
    ],
    shared: false,
};

pub(crate) const TIPS: Layer = Layer {
    table: "tips",
    title: "Tips",
    shape: None,
    columns: &[
        column("id", Kind::Text),
        column("name", Kind::Text),
        column("at", Kind::Place),
    ],
    shared: false,
};

pub(crate) const PARAMETERS: Layer = Layer {
    table: "parameters",
    title: "Figures of method and materials",
    shape: None,
    columns: &[
        column("key", Kind::Text),
        column("value", Kind::Real),
        column("unit", Kind::Text),
        column("source", Kind::Text),
        column("date", Kind::Date),
    ],
    shared: true,
};

pub(crate) const WEEK: Layer = Layer {
    table: "week",
    title: "The week",
    shape: None,
    columns: &[
        column("name", Kind::Text),
        column("nation", Kind::Text),
        column("first_day", Kind::Date),
        column("days", Kind::Whole),
        column("holidays", Kind::List),
        column("temperature_c", Kind::Real),
        column("today", Kind::Date),
        later("nights", Kind::Whole, 4),
        later("over_weekend", Kind::Flag, 4),
    ],
    shared: false,
};

pub(crate) const VISITS: Layer = Layer {
    table: "visits",
    title: "Visits of the plan",
    shape: None,
    columns: &[
        column("gang", Kind::Text),
        column("date", Kind::Date),
        column("job", Kind::Text),
        column("stage", Kind::Text),
        column("arrive", Kind::Text),
        column("start", Kind::Text),
        column("finish", Kind::Text),
    ],
    shared: false,
};

pub(crate) const PLANS: Layer = Layer {
    table: "plans",
    title: "Plans",
    shape: None,
    columns: &[
        column("name", Kind::Text),
        column("gang_days", Kind::Whole),
        column("visits", Kind::Whole),
        column("left_out", Kind::Whole),
        column("total_pence", Kind::Whole),
    ],
    shared: false,
};

/// Every layer, in the order in which a GIS lists them.
pub(crate) const LAYERS: [&Layer; 9] = [
    &JOBS,
    &STREETS,
    &CLOSURES,
    &GANGS,
    &TIPS,
    &PARAMETERS,
    &WEEK,
    &PLANS,
    &VISITS,
];

impl Layer {
    /// Every column but `fid`, in SQL, in the order in which rows are read and written.
    pub(crate) fn all(&self) -> Vec<(String, &'static str)> {
        self.all_at(i64::MAX)
    }

    /// The same as a version of the tables had them.
    pub(crate) fn all_at(&self, version: i64) -> Vec<(String, &'static str)> {
        let mut all = Vec::new();
        if let Some(shape) = self.shape {
            all.push(("geom".to_owned(), shape.name()));
            all.push(("id".to_owned(), "TEXT"));
        }
        if self.shared {
            all.push(("file".to_owned(), "TEXT"));
            all.push(("list".to_owned(), "TEXT"));
        }
        let own = self.columns.iter().filter(|own| own.since <= version);
        all.extend(own.flat_map(Column::sql));
        all.extend(["other", "beside", "written"].map(|name| (name.to_owned(), "TEXT")));
        all
    }
}
