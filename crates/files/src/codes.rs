//! The codes of this room's findings, each with its meaning.

pub(crate) const MISSING: &str = "F-MISSING";
pub(crate) const EMPTY: &str = "F-EMPTY";
pub(crate) const UTF8: &str = "F-UTF8";
pub(crate) const JSON: &str = "F-JSON";
pub(crate) const TWICE: &str = "F-TWICE";
pub(crate) const SHAPE: &str = "F-SHAPE";
pub(crate) const COLLECTION: &str = "F-COLLECTION";
pub(crate) const FEATURE: &str = "F-FEATURE";
pub(crate) const LONG: &str = "F-LONG";
pub(crate) const HEIGHT: &str = "F-HEIGHT";
pub(crate) const CSV: &str = "F-CSV";
pub(crate) const XLSX: &str = "F-XLSX";
pub(crate) const LIST_BIG: &str = "F-LIST-BIG";
pub(crate) const COLUMN: &str = "F-COLUMN";
pub(crate) const MAPPING: &str = "F-MAPPING";
pub(crate) const PICTURE: &str = "F-PICTURE";
pub(crate) const PLAN: &str = "F-PLAN";
pub(crate) const ROUTING: &str = "F-ROUTING";
pub(crate) const PBF: &str = "F-PBF";
pub(crate) const PBF_PACKING: &str = "F-PBF-PACKING";
pub(crate) const PBF_BIG: &str = "F-PBF-BIG";
pub(crate) const OSM_NONE: &str = "F-OSM-NONE";
pub(crate) const OSM_WAY: &str = "F-OSM-WAY";
pub(crate) const OSM_NODE: &str = "F-OSM-NODE";
pub(crate) const OSM_TWICE: &str = "F-OSM-TWICE";
pub(crate) const OSM_TURN: &str = "F-OSM-TURN";
pub(crate) const OSM_BARRIER: &str = "F-OSM-BARRIER";
pub(crate) const OSM_EDGE: &str = "F-OSM-EDGE";
pub(crate) const OSM_WHEN: &str = "F-OSM-WHEN";
pub(crate) const OSM_HEAVY: &str = "F-OSM-HEAVY";
pub(crate) const OSM_ADDRESS: &str = "F-OSM-ADDRESS";
pub(crate) const OSM_LIMIT: &str = "F-OSM-LIMIT";
pub(crate) const NETWORK: &str = "F-NETWORK";
pub(crate) const STREET_OWN: &str = "S-OWN";
pub(crate) const STREET_CHANGED: &str = "S-CHANGED";
pub(crate) const STREET_GONE: &str = "S-GONE";
pub(crate) const JOB_PRIORITY: &str = "J-PRIORITY";
pub(crate) const JOB_ORDER: &str = "J-ORDER";
pub(crate) const JOB_SECTIONS: &str = "J-SECTIONS";
pub(crate) const JOB_EMBED: &str = "J-EMBED";
pub(crate) const JOB_USUAL: &str = "J-USUAL";
pub(crate) const JOB_STREET: &str = "J-STREET";
pub(crate) const JOB_THERE: &str = "J-THERE";
pub(crate) const JOB_SAME_PLACE: &str = "J-SAME-PLACE";
pub(crate) const JOB_REPEAT: &str = "J-REPEAT";
pub(crate) const JOB_ASSUMED: &str = "J-ASSUMED";
pub(crate) const JOB_IGNORED: &str = "J-IGNORED";
pub(crate) const JOB_DROPPED: &str = "J-DROPPED";
pub(crate) const STREET_LINE: &str = "S-LINE";
pub(crate) const GANG_NONE: &str = "G-NONE";
pub(crate) const WEEK_ABSENT: &str = "W-ABSENT";
pub(crate) const WEEK_FIRST: &str = "W-FIRST";
pub(crate) const SOURCE: &str = "P-SOURCE";

/// The codes of one noun, for the faults that every noun can have.
pub(crate) struct NounCodes {
    pub(crate) noun: &'static str,
    pub(crate) id: &'static str,
    pub(crate) dup: &'static str,
    pub(crate) number_id: &'static str,
    pub(crate) need: &'static str,
    pub(crate) kind: &'static str,
    pub(crate) value: &'static str,
    pub(crate) size: &'static str,
    pub(crate) date: &'static str,
    pub(crate) hours: &'static str,
    pub(crate) name: &'static str,
    pub(crate) geometry: &'static str,
    pub(crate) globe: &'static str,
    pub(crate) swap: &'static str,
    pub(crate) far: &'static str,
}

macro_rules! noun {
    ($prefix:literal, $noun:literal) => {
        NounCodes {
            noun: $noun,
            id: concat!($prefix, "-ID"),
            dup: concat!($prefix, "-DUP"),
            number_id: concat!($prefix, "-NUMBER"),
            need: concat!($prefix, "-NEED"),
            kind: concat!($prefix, "-TYPE"),
            value: concat!($prefix, "-VALUE"),
            size: concat!($prefix, "-SIZE"),
            date: concat!($prefix, "-DATE"),
            hours: concat!($prefix, "-HOURS"),
            name: concat!($prefix, "-NAME"),
            geometry: concat!($prefix, "-GEOM"),
            globe: concat!($prefix, "-GLOBE"),
            swap: concat!($prefix, "-SWAP"),
            far: concat!($prefix, "-FAR"),
        }
    };
}

pub(crate) const JOB: NounCodes = noun!("J", "job");
pub(crate) const STREET: NounCodes = noun!("S", "street");
pub(crate) const GANG: NounCodes = noun!("G", "gang");
pub(crate) const TIP: NounCodes = noun!("G", "tip");
pub(crate) const WEEK: NounCodes = noun!("W", "week");
pub(crate) const ROW: NounCodes = noun!("P", "row");

/// Every code that reading a file can give, with its meaning.
pub const CODES: &[(&str, &str)] = &[
    (
        MISSING,
        "A file that a plan needs is not there: the programme has no jobs or no gangs yet.",
    ),
    (EMPTY, "A file holds nothing."),
    (
        PBF,
        "A map extract is no PBF file, or it is damaged or cut off; nothing of it is used.",
    ),
    (
        PBF_PACKING,
        "A map extract is packed, or has a feature, that Gangday does not read.",
    ),
    (
        PBF_BIG,
        "A map extract holds more roads than fit into memory.",
    ),
    (
        OSM_ADDRESS,
        "Addresses of a map extract can't be placed and are left out.",
    ),
    (OSM_NONE, "A map extract has no road for vehicles in it."),
    (OSM_WAY, "Ways of a map extract are damaged and left out."),
    (OSM_NODE, "Nodes of a map extract are off the globe."),
    (
        OSM_TWICE,
        "A map extract states a node, way or relation more than once.",
    ),
    (
        OSM_TURN,
        "Turn restrictions of a map extract are incomplete and not applied.",
    ),
    (
        OSM_BARRIER,
        "Barriers of a map extract are taken as closed, or can't be applied.",
    ),
    (OSM_EDGE, "Ways are cut where a map extract ends."),
    (
        OSM_WHEN,
        "Rules of a map extract that hold only at times are not applied.",
    ),
    (
        OSM_HEAVY,
        "Rules of a map extract for heavy or large vehicles are not applied.",
    ),
    (
        OSM_LIMIT,
        "Speed limits of a map extract can't be read and are left out.",
    ),
    (
        NETWORK,
        "The road network kept with the programme is damaged; travel is reckoned without it.",
    ),
    (
        STREET_OWN,
        "A row with the id of an imported street is not from an import and stays as it is.",
    ),
    (
        STREET_CHANGED,
        "An imported street was changed by the user, and importing again leaves that as it is.",
    ),
    (
        STREET_GONE,
        "A street of an earlier import is not in the extract, and stays.",
    ),
    (UTF8, "A file is not UTF-8 text."),
    (
        LONG,
        "An id or a text in a file is longer than any ever is, as where something else was put in its place; what has it is not used.",
    ),
    (JSON, "A file is not JSON; the line and column say where."),
    (
        TWICE,
        "One object states the same name twice, or a list has two columns of one name.",
    ),
    (
        SHAPE,
        "A file's outermost value is not the object or list that belongs there.",
    ),
    (COLLECTION, "A GeoJSON file is not a FeatureCollection."),
    (FEATURE, "A member of a FeatureCollection is not a Feature."),
    (
        HEIGHT,
        "Positions carry heights, which are not used. Those of jobs are saved until a pin is moved; those of a list are not taken in.",
    ),
    (CSV, "A row of a CSV file can't be read."),
    (XLSX, "A workbook can't be read."),
    (
        LIST_BIG,
        "A list, or a cell of it, is larger than a list of works ever is, and is left alone.",
    ),
    (
        COLUMN,
        "A column that the mapping names is not in the file.",
    ),
    (
        MAPPING,
        "The mapping of foreign points names something that jobs do not have.",
    ),
    (
        PICTURE,
        "What was to be attached to a job is no JPEG, PNG or WebP picture, is damaged, or is too large.",
    ),
    (PLAN, "A part of a plan's file is not what belongs there."),
    (
        ROUTING,
        "A published routing instance is not in one of the two layouts that are read.",
    ),
    ("J-ID", "A job has no id."),
    ("J-DUP", "Two jobs have the same id."),
    (
        "J-NUMBER",
        "Ids of jobs are numbers; they were read as text.",
    ),
    (
        "J-NEED",
        "A job lacks a property that every job must state.",
    ),
    ("J-TYPE", "A property of a job has the wrong type."),
    ("J-VALUE", "A property of a job is none of the valid words."),
    (
        "J-SIZE",
        "A size of a job is not a whole number of millimetres, negative or absurd.",
    ),
    ("J-DATE", "A date of a job is not a date."),
    ("J-HOURS", "Site hours of a job are malformed or reversed."),
    (
        "J-NAME",
        "An unknown property of a job looks like a known one.",
    ),
    ("J-GEOM", "A job's geometry is missing or not a Point."),
    (
        "J-GLOBE",
        "A job's position is not on the globe in degrees.",
    ),
    ("J-SWAP", "A job's longitude and latitude are swapped."),
    ("J-FAR", "A job lies outside the area of all others."),
    (JOB_PRIORITY, "A priority is not 1 to 5."),
    (JOB_ORDER, "A job's latest date is before its earliest."),
    (
        JOB_SECTIONS,
        "The number of sections does not suit the kind of work.",
    ),
    (
        JOB_EMBED,
        "The first section is set deeper than the base is thick.",
    ),
    (JOB_USUAL, "A clear opening is outside the usual range."),
    (
        JOB_STREET,
        "A job names a street that is not among the sound streets.",
    ),
    (
        JOB_THERE,
        "An imported point has the id of a job that is already in the programme.",
    ),
    (
        JOB_SAME_PLACE,
        "An imported point is exactly where a job of the programme already is.",
    ),
    (
        JOB_REPEAT,
        "Ids of an imported list are repeated or empty; others were made for those points.",
    ),
    (
        JOB_ASSUMED,
        "An imported list does not say something that every job must state; it was assumed.",
    ),
    (
        JOB_IGNORED,
        "Columns of an imported list are kept with the jobs but not used.",
    ),
    (
        JOB_DROPPED,
        "Members of an imported file have no place in a job and were not taken over.",
    ),
    ("S-ID", "A street has no id."),
    ("S-DUP", "Two streets have the same id."),
    (
        "S-NUMBER",
        "Ids of streets are numbers; they were read as text.",
    ),
    ("S-TYPE", "A property of a street has the wrong type."),
    ("S-SIZE", "A number of a street is outside its range."),
    ("S-DATE", "A date of a street is not a date."),
    (
        "S-HOURS",
        "Traffic-sensitive hours of a street are malformed or reversed.",
    ),
    (
        "S-NAME",
        "An unknown property of a street looks like a known one.",
    ),
    ("S-GEOM", "A street's geometry is missing or no line."),
    (
        "S-GLOBE",
        "A point of a street is not on the globe in degrees.",
    ),
    ("S-SWAP", "A street's longitudes and latitudes are swapped."),
    ("S-FAR", "A street lies outside the area of all others."),
    (STREET_LINE, "A line of a street has fewer than two points."),
    ("G-ID", "A gang or tip has no id."),
    ("G-DUP", "Two gangs or two tips have the same id."),
    (
        "G-NUMBER",
        "Ids of gangs or tips are numbers; they were read as text.",
    ),
    (
        "G-NEED",
        "A gang or tip lacks something that it must state.",
    ),
    ("G-TYPE", "A property of a gang or tip has the wrong type."),
    ("G-SIZE", "A number of a gang is outside its range."),
    ("G-DATE", "A working day of a gang is not a date."),
    ("G-HOURS", "A shift is malformed or reversed."),
    (
        "G-NAME",
        "An unknown property of a gang or tip looks like a known one.",
    ),
    (
        "G-GEOM",
        "A depot or tip is not a pair of longitude and latitude.",
    ),
    ("G-GLOBE", "A depot or tip is not on the globe in degrees."),
    (
        "G-SWAP",
        "The longitude and latitude of a depot or tip are swapped.",
    ),
    ("G-FAR", "A depot or tip lies far from all jobs."),
    (GANG_NONE, "There is no sound gang."),
    (WEEK_ABSENT, "No week is stated; the defaults are used."),
    (WEEK_FIRST, "The first day is not stated; one was assumed."),
    ("W-TYPE", "A property of the week has the wrong type."),
    (
        "W-VALUE",
        "A property of the week is none of the valid words.",
    ),
    ("W-SIZE", "A number of the week is outside its range."),
    ("W-DATE", "A date of the week is not a date."),
    (
        "W-NAME",
        "An unknown property of the week looks like a known one.",
    ),
    ("P-ID", "A row of figures has no key."),
    ("P-DUP", "Two rows of figures have the same key."),
    ("P-NEED", "A row of figures lacks its value or unit."),
    (
        "P-TYPE",
        "A row of figures, or a member of it, has the wrong type.",
    ),
    ("P-SIZE", "A figure is not finite."),
    (
        "P-NAME",
        "An unknown member of a row looks like a known one.",
    ),
    (SOURCE, "A figure has no source."),
];

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;

    #[test]
    fn every_code_is_listed_once_and_has_a_meaning() {
        let codes: HashSet<&str> = CODES.iter().map(|(code, _)| *code).collect();
        assert_eq!(codes.len(), CODES.len());
        assert!(
            CODES
                .iter()
                .all(|(code, meaning)| code.len() > 3 && meaning.ends_with('.'))
        );
    }
}
