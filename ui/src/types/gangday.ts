// Made from Rust by `cargo xtask types`; don't edit.

export type BoardDay = { 
/**
 * ISO date.
 */
date: string, 
/**
 * As a supervisor writes it: `Mon 1 Mar`.
 */
name: string, 
/**
 * Whether gangs that state no days of their own work on it.
 */
working: boolean, };

export type Column = { 
/**
 * `gang@date`: the key of the route everywhere.
 */
key: string, 
/**
 * The gang.
 */
gang: string, 
/**
 * ISO date.
 */
date: string, 
/**
 * Shift starts.
 */
shift_from: number, 
/**
 * Shift ends.
 */
shift_to: number, 
/**
 * Leaves the depot.
 */
depart: number, 
/**
 * Back at the depot.
 */
back: number, 
/**
 * What the gang does, from the shift's start to the end of the day, without gaps.
 */
layers: Array<Layer>, 
/**
 * What chemistry does meanwhile.
 */
waits: Array<WaitLayer>, 
/**
 * Jobs in the order of their first visit.
 */
jobs: Array<string>, 
/**
 * The way on the map, depot to depot.
 */
line: Array<[number, number]>, 
/**
 * Distance driven, km, by the travel model that the sheet names.
 */
travel_km: number, 
/**
 * Minutes worked, driven and stood with nothing to do.
 */
worked_min: number, 
/**
 * Minutes on the road.
 */
travel_min: number, 
/**
 * Minutes with nothing to do.
 */
idle_min: number, };

export type LayerKind = "load" | "travel" | "work" | "idle" | "unload";

export type Layer = { 
/**
 * What fills it.
 */
kind: LayerKind, 
/**
 * The job, for work and for travel towards it.
 */
job: string | null, 
/**
 * The stage, for work.
 */
stage: string | null, 
/**
 * From.
 */
from: number, 
/**
 * Until.
 */
to: number, 
/**
 * In the site's words: `Dig J-014, 85 min`.
 */
words: string, };

export type WaitLayer = { 
/**
 * The job.
 */
job: string, 
/**
 * `base_cure`, `mortar_set`, `initial_set` or `hold`.
 */
kind: string, 
/**
 * The stage before it ends.
 */
from: number, 
/**
 * It is over.
 */
to: number, 
/**
 * The next stage starts.
 */
next: number, 
/**
 * In the site's words: `Base cures until 10:40`.
 */
words: string, };

export type Figure = { 
/**
 * What it is: `Type 1`.
 */
label: string, 
/**
 * Rounded as a foreman would order.
 */
value: string, 
/**
 * Its unit.
 */
unit: string, 
/**
 * The exact value with its unit.
 */
exact: string, 
/**
 * Formula, numbers and source, in words.
 */
why: string, };

export type LevelsView = { 
/**
 * Underside of the surfacing, or of the topsoil in a verge.
 */
surfacing_bottom: number, 
/**
 * Underside of the ironwork frame.
 */
ironwork_bottom: number, 
/**
 * Top of the uppermost section.
 */
sections_top: number, 
/**
 * Top of type 1.
 */
type1_top: number, 
/**
 * Top of the base concrete.
 */
base_top: number, 
/**
 * Underside of the lowest section.
 */
sections_bottom: number, 
/**
 * Formation.
 */
formation: number, 
/**
 * Number of sections.
 */
sections: number, 
/**
 * Across the street: outside of the frames.
 */
outside_width: number, 
/**
 * Across the street: the dig.
 */
dig_width: number, 
/**
 * Across the street: the ironwork.
 */
ironwork_width: number, 
/**
 * Wall of a section.
 */
wall: number, };

export type JobView = { 
/**
 * Its id.
 */
id: string, 
/**
 * Where it is.
 */
at: [number, number], 
/**
 * The dig in plan, a closed ring; empty where the take-off was refused.
 */
outline: Array<[number, number]>, 
/**
 * The chamber in plan, a closed ring.
 */
chamber: Array<[number, number]>, 
/**
 * `new`, `replace` or `adjust`.
 */
work: string, 
/**
 * `verge`, `footway`, `cycle_track` or `carriageway`.
 */
position: string, 
/**
 * One line: `New chamber in the footway, 600 × 600, 6 sections`.
 */
title: string, 
/**
 * The street's name, or its id where it has none.
 */
street: string | null, 
/**
 * 1 (must) to 5.
 */
priority: number, 
/**
 * `none`, `footway`, `lane` or `road`: stated or proposed.
 */
closure: string, 
/**
 * Dates, hours, tickets and permit as words, one each.
 */
terms: Array<string>, 
/**
 * The route it is in: `gang@date`.
 */
route: string | null, 
/**
 * Work on it in all, minutes.
 */
work_min: number, 
/**
 * The shortest closure, minutes.
 */
closure_min: number, 
/**
 * Stages as words with minutes: `Dig 85 min`, `Base cures 73 min`.
 */
stages: Array<string>, 
/**
 * What it takes.
 */
figures: Array<Figure>, 
/**
 * Its cross-section; none where the take-off was refused.
 */
levels: LevelsView | null, };

export type StreetView = { 
/**
 * Its id.
 */
id: string, 
/**
 * Its name, if it has one.
 */
name: string | null, 
/**
 * 0 to 4, if the authority gave it.
 */
road_type: number | null, 
/**
 * Carriageway width, m.
 */
width_m: number | null, 
/**
 * Whether traffic goes one way only, along the line.
 */
one_way: boolean, 
/**
 * Its lines.
 */
lines: Array<Array<[number, number]>>, };

export type GangView = { 
/**
 * Its id.
 */
id: string, 
/**
 * What it is called.
 */
name: string, 
/**
 * Its mark beside its colour: A, B, C …
 */
mark: string, 
/**
 * Its place in the list, from 0: which of the gang colours and patterns is its own.
 */
index: number, 
/**
 * Where it loads and returns to.
 */
depot: [number, number], 
/**
 * How many people.
 */
people: number, 
/**
 * Tickets that somebody in it holds.
 */
tickets: Array<string>, 
/**
 * Shift starts.
 */
shift_from: number, 
/**
 * Shift ends.
 */
shift_to: number, };

export type TipView = { 
/**
 * Its id.
 */
id: string, 
/**
 * What it is called.
 */
name: string, 
/**
 * Where it is.
 */
at: [number, number], };

export type UnplannedView = { 
/**
 * The job.
 */
job: string, 
/**
 * Why, the tightest first.
 */
reasons: Array<string>, 
/**
 * Their codes, in the same order.
 */
codes: Array<string>, };

export type ClosureView = { 
/**
 * The job.
 */
job: string, 
/**
 * The route: `gang@date`.
 */
route: string, 
/**
 * The gang.
 */
gang: string, 
/**
 * ISO date.
 */
date: string, 
/**
 * Id of the street, if known.
 */
street: string | null, 
/**
 * Its name, if it has one.
 */
street_name: string | null, 
/**
 * `none`, `footway`, `lane` or `road`.
 */
kind: string, 
/**
 * Whether the kind was proposed by Gangday.
 */
proposed: boolean, 
/**
 * The rule that led to it.
 */
because: string, 
/**
 * Signing goes out.
 */
from: number, 
/**
 * Work ends and the hold begins.
 */
hold_from: number, 
/**
 * Signing is away.
 */
to: number, 
/**
 * The ground taken, a closed ring.
 */
footprint: Array<[number, number]>, 
/**
 * `Lane closed 08:10–14:35`.
 */
words: string, };

export type MaterialView = { 
/**
 * Key of the material.
 */
material: string, 
/**
 * What it is called.
 */
name: string, 
/**
 * Net in place, rounded as a foreman would write it.
 */
measured: string, 
/**
 * With waste and whole packs.
 */
ordered: string, 
/**
 * The unit of both.
 */
unit: string, 
/**
 * `14 bags of 25 kg`, or empty.
 */
packs: string, 
/**
 * What rounding up to packs added, with its unit, or empty.
 */
rounding: string, 
/**
 * Formula, numbers and source.
 */
why: string, 
/**
 * The exact measured and ordered values.
 */
exact: string, };

export type OrderView = { 
/**
 * `week`, `day:DATE` or `route:GANG@DATE`.
 */
key: string, 
/**
 * Its lines.
 */
materials: Array<MaterialView>, };

export type CostLine = { 
/**
 * What for.
 */
label: string, 
/**
 * As money: `£1,240.50`.
 */
amount: string, 
/**
 * The same, in pence.
 */
pence: number, };

export type PlanView = { 
/**
 * Every gang-day with work in it.
 */
columns: Array<Column>, 
/**
 * Jobs in no route.
 */
unplanned: Array<UnplannedView>, 
/**
 * Each planned job's closure.
 */
closures: Array<ClosureView>, 
/**
 * Materials by key: `week`, `day:DATE`, `route:GANG@DATE`.
 */
orders: Array<OrderView>, 
/**
 * The cost by part, the total last.
 */
costs: Array<CostLine>, 
/**
 * One line: `58 of 64 jobs in 23 gang-days`.
 */
summary: string, 
/**
 * Whether the independent checker found no broken rule.
 */
verified: boolean, };

export type FindingView = { 
/**
 * Stable code.
 */
code: string, 
/**
 * `note`, `warning` or `fault`.
 */
severity: string, 
/**
 * `jobs.geojson, J-014, sections`.
 */
place: string, 
/**
 * The job it is about, if it is about one.
 */
job: string | null, 
/**
 * What is the matter.
 */
text: string, 
/**
 * What to do.
 */
remedy: string, };

export type CautionView = { 
/**
 * Short heading.
 */
title: string, 
/**
 * What to mind.
 */
text: string, 
/**
 * Where it comes from.
 */
source: string, };

export type Sheet = { 
/**
 * What the programme is called.
 */
name: string, 
/**
 * Where it is saved, if it is.
 */
folder: string | null, 
/**
 * Whether it is invented for the demo.
 */
demo: boolean, 
/**
 * Whether anything has changed since it was saved.
 */
unsaved: boolean, 
/**
 * The nation whose law and code apply.
 */
nation: string, 
/**
 * Expected temperature, degrees Celsius.
 */
temperature_c: number, 
/**
 * The days of the week.
 */
days: Array<BoardDay>, 
/**
 * `[west, south, east, north]`.
 */
area: [number, number, number, number], 
/**
 * How places were projected, how exactly, and how travel is reckoned.
 */
notes: Array<string>, 
/**
 * Who is to be named for the streets and the road network, in one line, if anybody is.
 */
attribution: string | null, 
/**
 * The streets.
 */
streets: Array<StreetView>, 
/**
 * Water, green and the like, to draw under the streets: GeoJSON text, if there is any.
 */
backdrop: string | null, 
/**
 * The gangs.
 */
gangs: Array<GangView>, 
/**
 * The tips.
 */
tips: Array<TipView>, 
/**
 * The jobs.
 */
jobs: Array<JobView>, 
/**
 * The plan, if there is one.
 */
plan: PlanView | null, 
/**
 * What is wrong or needs a look, the gravest first.
 */
findings: Array<FindingView>, 
/**
 * What the user always sees.
 */
cautions: Array<CautionView>, 
/**
 * What undo would take back.
 */
undo: string | null, 
/**
 * What redo would do again.
 */
redo: string | null, 
/**
 * Goes up by one with every change, so that a door knows whether it shows the latest.
 */
edition: number, };

export type DemoWeek = "small" | "full";

export type Request = { "ask": "sheet" } | { "ask": "open_demo", 
/**
 * Which.
 */
week: DemoWeek, } | { "ask": "open", 
/**
 * Its path.
 */
folder: string, } | { "ask": "import", 
/**
 * The file's name, for messages.
 */
name: string, 
/**
 * Its text.
 */
text: string, } | { "ask": "import_extract", 
/**
 * The file's name, for messages.
 */
name: string, 
/**
 * Its bytes, in Base64 (RFC 4648, clause 4).
 */
base64: string, } | { "ask": "plan", 
/**
 * How long at most, seconds; 10 where absent.
 */
seconds: number | null, 
/**
 * How many iterations at most.
 */
iterations: number | null, 
/**
 * Same seed and iterations, same plan.
 */
seed: number | null, } | { "ask": "progress" } | { "ask": "stop" } | { "ask": "save", 
/**
 * A new folder's path; the one it was opened from where absent.
 */
folder: string | null, } | { "ask": "undo" } | { "ask": "redo" } | { "ask": "client_page" };

export type ProgressView = { 
/**
 * Whether it is still at it.
 */
running: boolean, 
/**
 * 0 to 1.
 */
fraction: number, 
/**
 * What it is doing, with the best so far.
 */
words: string, 
/**
 * Best total cost so far at a few moments, pence, for the picture of a plan getting better.
 */
trace: Array<number>, 
/**
 * Jobs planned so far.
 */
planned: number, 
/**
 * Jobs in all.
 */
of: number, };

export type Answer = { "is": "sheet", 
/**
 * The sheet.
 */
sheet: Sheet | null, } | { "is": "progress", 
/**
 * It.
 */
progress: ProgressView, } | { "is": "saved", 
/**
 * Where.
 */
folder: string, 
/**
 * The sheet.
 */
sheet: Sheet, } | { "is": "page", 
/**
 * A file name for it.
 */
name: string, 
/**
 * The whole page.
 */
html: string, };

export type Refusal = { 
/**
 * One line.
 */
text: string, 
/**
 * Every fault.
 */
findings: Array<FindingView>, };
