//! The command line, as scripts hold on to it.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

/// Plan a week of street works: what each chamber takes, who goes where, what closes when.
#[derive(Parser, Debug)]
#[command(name = "gangday", version, about, propagate_version = true)]
#[command(
    after_help = "Exit status: 0 done (findings may be warnings), 1 faults in the input or a \
    broken rule, 2 wrong usage.\nA plan of this tool is no record of buried apparatus: locate \
    before digging. Local codes and licensed practice prevail."
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Subcommand, Debug)]
pub enum Command {
    /// Read everything and list every fault and warning with its place and remedy.
    #[command(after_help = "Example: gangday check sample-data/full-week")]
    Check(ProgrammeArgs),
    /// Total what the jobs take: measured and ordered.
    #[command(
        after_help = "Example: gangday totals sample-data/full-week --plan week.plan.json --by day\n\
        Example: gangday totals sample-data/small-week --explain J002"
    )]
    Totals(TotalsArgs),
    /// Make the week: gang-day routes that keep every rule.
    #[command(
        after_help = "Example: gangday plan sample-data/full-week --out week.plan.json --seconds 10\n\
        With --iterations and --seed the same input gives the same plan on every machine.\n\
        Ctrl-C stops and keeps the best plan found."
    )]
    Plan(PlanArgs),
    /// Hold a plan to every rule; each broken one is named.
    #[command(after_help = "Example: gangday verify sample-data/full-week week.plan.json")]
    Verify(VerifyArgs),
    /// Print each planned job's closure as GeoJSON.
    #[command(
        after_help = "Example: gangday closures sample-data/full-week week.plan.json > closures.geojson\n\
        Example: gangday closures sample-data/full-week week.plan.json --calendar works.ics"
    )]
    Closures(ClosuresArgs),
    /// Write the client page with map, works and closures, an order sheet for each supplier and a sheet
    /// for each gang-day; no network needed.
    #[command(after_help = "Example: gangday pack sample-data/full-week week.plan.json --out pack")]
    Pack(PackArgs),
    /// Bring a list of points into a programme as jobs, or a map extract as its streets and roads.
    #[command(
        after_help = "Example: gangday import list.csv --into sample-data/full-week --mapping mapping.json\n\
        Without --mapping the headings are matched by guess; --show-mapping prints the guess.\n\
        Example: gangday import area.osm.pbf --into sample-data/full-week"
    )]
    Import(ImportArgs),
    /// Make one programme file of a folder, or a folder of a programme file; nothing is lost on the way.
    #[command(
        after_help = "Example: gangday convert sample-data/full-week week.gpkg\n\
        Example: gangday convert week.gpkg week\n\
        The file is an OGC GeoPackage: any GIS opens its jobs, streets and closures. Of a damaged file,\n\
        what can be read is taken over, and what was lost is listed."
    )]
    Convert(ConvertArgs),
    /// Write jobs, visits, orders or closures as a table for other programs; no text in it is ever
    /// taken for a formula.
    #[command(
        after_help = "Example: gangday export sample-data/full-week --out jobs.csv\n\
        Example: gangday export sample-data/full-week week.plan.json --what all --out week.xlsx\n\
        The ending says what is written: .csv or .xlsx."
    )]
    Export(ExportArgs),
    /// Solve a published routing problem, to measure the search by.
    #[command(
        hide = true,
        after_help = "Example: gangday solve R103.txt --seconds 10"
    )]
    Solve(SolveArgs),
    /// Print a week as plain numbers, to hold other solvers against the same week.
    #[command(
        hide = true,
        after_help = "Example: gangday pose sample-data/full-week > week.posed.json"
    )]
    Pose(ProgrammeArgs),
    /// Print the JSON Schema of an output, or the names of all.
    #[command(after_help = "Example: gangday schema totals")]
    Schema {
        /// Name of an output; all names are listed where absent.
        name: Option<String>,
    },
    /// Serve the window's page on this machine only, for where there is no desktop.
    #[command(
        after_help = "Example: gangday view --demo\nExample: gangday view sample-data/small-week --port 8321"
    )]
    View(ViewArgs),
}

/// A programme.
#[derive(Args, Debug)]
pub struct ProgrammeArgs {
    /// The programme: a folder, or one file (.gpkg).
    pub programme: PathBuf,
    /// Machine-readable output.
    #[arg(long)]
    pub json: bool,
}

/// From where, and where to.
#[derive(Args, Debug)]
pub struct ConvertArgs {
    /// A programme, a folder or one file (.gpkg).
    pub from: PathBuf,
    /// What it becomes: a file (.gpkg) or a folder, whichever it isn't.
    pub to: PathBuf,
}

/// Which tables, and where to.
#[derive(Args, Debug)]
pub struct ExportArgs {
    /// The programme: a folder, or one file (.gpkg).
    pub programme: PathBuf,
    /// The plan; the one that was saved with the programme where absent.
    pub plan: Option<PathBuf>,
    /// Of what.
    #[arg(long, value_enum, default_value_t = What::Jobs)]
    pub what: What,
    /// The file: .csv holds one table, .xlsx one or all.
    #[arg(long)]
    pub out: PathBuf,
}

/// What a table is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum What {
    /// The jobs, planned or not.
    Jobs,
    /// The visits of the plan.
    Visits,
    /// What is ordered, by week, day and gang-day.
    Orders,
    /// The closures.
    Closures,
    /// All of them, each on a sheet of its own.
    All,
}

/// A programme and a plan of it.
#[derive(Args, Debug)]
pub struct PlannedArgs {
    /// The programme: a folder, or one file (.gpkg).
    pub programme: PathBuf,
    /// The plan.
    pub plan: PathBuf,
    /// Machine-readable output.
    #[arg(long)]
    pub json: bool,
}

/// Which plan, and what it has to keep.
#[derive(Args, Debug)]
pub struct VerifyArgs {
    /// The programme and its plan.
    #[command(flatten)]
    pub planned: PlannedArgs,
    /// A plan that was issued earlier: what is done or locked in it has to be where it was.
    #[arg(long, value_name = "PLAN")]
    pub keep: Option<PathBuf>,
}

/// Which closures, and what else to write.
#[derive(Args, Debug)]
pub struct ClosuresArgs {
    /// The programme and its plan.
    #[command(flatten)]
    pub planned: PlannedArgs,
    /// Also write closures and deadlines as an iCalendar file, whole or not at all.
    #[arg(long, value_name = "FILE.ics")]
    pub calendar: Option<PathBuf>,
}

/// What to total.
#[derive(Args, Debug)]
pub struct TotalsArgs {
    /// The programme: a folder, or one file (.gpkg).
    pub programme: PathBuf,
    /// A plan: totals then count planned jobs only.
    #[arg(long)]
    pub plan: Option<PathBuf>,
    /// One order for each.
    #[arg(long, value_enum, default_value_t = By::Week)]
    pub by: By,
    /// By day: what one day leaves over serves the next where the material keeps.
    #[arg(long)]
    pub leftovers: bool,
    /// Follow every quantity of one job back: formula, numbers, figures and sources; with --plan, its times by the
    /// gang and the day that it is planned for.
    #[arg(long, value_name = "JOB", conflicts_with_all = ["by", "leftovers"])]
    pub explain: Option<String>,
    /// Machine-readable output.
    #[arg(long)]
    pub json: bool,
}

/// What one order is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum By {
    /// A job.
    Job,
    /// A gang-day; needs a plan.
    Route,
    /// A day; needs a plan.
    Day,
    /// A depot, all gangs that load there; needs a plan.
    Depot,
    /// The whole week.
    Week,
}

/// How to plan.
#[derive(Args, Debug)]
pub struct PlanArgs {
    /// The programme: a folder, or one file (.gpkg).
    pub programme: PathBuf,
    /// Where the plan goes.
    #[arg(long)]
    pub out: PathBuf,
    /// How long at most, by the clock on the wall; 10 where neither this nor --iterations is given.
    #[arg(long, conflicts_with = "iterations", allow_negative_numbers = true, value_parser = seconds)]
    pub seconds: Option<f64>,
    /// How many iterations.
    #[arg(long)]
    pub iterations: Option<u32>,
    /// Same seed, iterations and threads, same plan.
    #[arg(long, default_value_t = 1)]
    pub seed: u32,
    /// How many searches go on at once, each with a seed of its own; the cheapest plan is kept.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=64))]
    pub threads: u32,
    /// A plan that was issued: what is done or locked in it stays, the rest changes as little as the
    /// prices of changes ask for, and every change is listed.
    #[arg(long, value_name = "PLAN")]
    pub keep: Option<PathBuf>,
    /// Machine-readable output: the plan itself, also on standard output.
    #[arg(long)]
    pub json: bool,
}

/// Which routing problem to solve, and how.
#[derive(Args, Debug)]
pub struct SolveArgs {
    /// The problem: Solomon's or Gehring and Homberger's text, or CVRPLIB's.
    pub instance: PathBuf,
    /// How long at most, by the clock on the wall; 10 where neither this nor --iterations is given.
    #[arg(long, conflicts_with = "iterations", allow_negative_numbers = true, value_parser = seconds)]
    pub seconds: Option<f64>,
    /// How many iterations.
    #[arg(long)]
    pub iterations: Option<u32>,
    /// Same seed and iterations, same routes.
    #[arg(long, default_value_t = 1)]
    pub seed: u32,
}

/// What to pack.
#[derive(Args, Debug)]
pub struct PackArgs {
    /// The programme: a folder, or one file (.gpkg).
    pub programme: PathBuf,
    /// The plan.
    pub plan: PathBuf,
    /// The folder that the pack goes into.
    #[arg(long)]
    pub out: PathBuf,
}

/// What to import.
#[derive(Args, Debug)]
pub struct ImportArgs {
    /// A GeoJSON file of points, a CSV file with a longitude and a latitude column, or an
    /// OpenStreetMap extract (PBF).
    pub file: PathBuf,
    /// The programme, a folder or one file (.gpkg), that the jobs or streets go into.
    #[arg(long)]
    pub into: PathBuf,
    /// Which columns become which properties, as JSON.
    #[arg(long)]
    pub mapping: Option<PathBuf>,
    /// Print the mapping that would be used, and change nothing.
    #[arg(long)]
    pub show_mapping: bool,
    /// Machine-readable output.
    #[arg(long)]
    pub json: bool,
}

/// What to show.
#[derive(Args, Debug)]
pub struct ViewArgs {
    /// The programme, a folder or one file (.gpkg); an empty sheet where absent.
    #[arg(conflicts_with = "demo")]
    pub programme: Option<PathBuf>,
    /// Open the invented demo week, planned.
    #[arg(long)]
    pub demo: bool,
    /// The port on 127.0.0.1; 0 lets the system choose.
    #[arg(long, default_value_t = 0)]
    pub port: u16,
}

/// A length of time to search for, in seconds.
fn seconds(text: &str) -> Result<f64, String> {
    let stated = text.parse::<f64>().ok();
    stated
        .filter(|seconds| seconds.is_finite() && *seconds > 0.0)
        .ok_or_else(|| "write a number of seconds above 0, such as 10".to_owned())
}
