//! The table of jobs that is written for other programs, known again when it is read.

/// Its columns, in their order.
pub const JOB_TABLE: [&str; 26] = [
    "id",
    "title",
    "what",
    "work",
    "position",
    "lon",
    "lat",
    "easting",
    "northing",
    "street",
    "clear_length_mm",
    "clear_width_mm",
    "sections",
    "depth_mm",
    "load_class",
    "closure",
    "earliest",
    "latest",
    "site_hours",
    "tickets",
    "priority",
    "permit",
    "gang",
    "date",
    "not_planned_because",
    "notes",
];

/// Those of them that are worked out, or said once already: nothing of a job is lost without them.
const WORKED_OUT: [&str; 8] = [
    "id",
    "what",
    "easting",
    "northing",
    "depth_mm",
    "gang",
    "date",
    "not_planned_because",
];

/// The columns of a file that are worked out, where it has all that the table of jobs has.
pub(super) fn worked_out(columns: &[String]) -> Vec<String> {
    let has = |name: &&str| columns.iter().any(|column| column == name);
    if JOB_TABLE.iter().all(has) {
        WORKED_OUT.map(str::to_owned).to_vec()
    } else {
        Vec::new()
    }
}
