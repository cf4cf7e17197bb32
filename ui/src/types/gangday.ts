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
working: boolean, 
/**
 * Whether it is before the day from which is planned: nothing is put on it any more.
 */
past: boolean, };

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
 * Jobs that are left over the night, their rest done on another gang-day.
 */
left: Array<string>, 
/**
 * Jobs that were left over a night and are gone on with here.
 */
gone_on: Array<string>, 
/**
 * The way driven; none in what a change by hand would do, which is told without it.
 */
way: WayView | null, 
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

export type LayerKind = "load" | "travel" | "work" | "rest" | "idle" | "unload";

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
 * `locked` or `done` where it stays when the week is planned again.
 */
stays: string | null, 
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

export type WayView = { 
/**
 * On the map: steps from place to place in millionths of a degree, the first from longitude and
 * latitude 0.
 */
line: Array<[number, number]>, 
/**
 * Distance driven, km, by the travel model that the sheet names.
 */
km: number, };

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

export type AttachmentView = { 
/**
 * What it is called.
 */
name: string, 
/**
 * `image/jpeg`, `image/png` or `image/webp`.
 */
media: string, 
/**
 * How many bytes it is.
 */
bytes: number, 
/**
 * The same in words, with what was taken out of it.
 */
said: string, };

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
 * What people call it, or its address, where somebody has said so.
 */
called: string | null, 
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
 * The route on which its rest is done, where it is left over a night.
 */
next_route: string | null, 
/**
 * Over which nights it is left open, in words; empty where over none.
 */
left: string, 
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
 * Its pictures.
 */
attachments: Array<AttachmentView>, };

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

export type RulingView = { 
/**
 * The control, in words.
 */
control: string, 
/**
 * `met`, `not_met`, `not_stated` or `on_the_spot`.
 */
verdict: string, 
/**
 * What was held against what.
 */
words: string, 
/**
 * Document, edition and clause.
 */
source: string, };

export type WidthView = { 
/**
 * `carriageway`, `footway` or `walkway`.
 */
of: string, 
/**
 * What is left, m.
 */
left_m: number, 
/**
 * What is asked for, m.
 */
wanted_m: number, 
/**
 * What it may not fall below, m.
 */
least_m: number, 
/**
 * In words: `3.70 m left, at least 3.00 m`.
 */
words: string, 
/**
 * How it was reckoned, and by what source.
 */
why: string, };

export type KitView = { 
/**
 * Stable name.
 */
item: string, 
/**
 * As the trade calls it, with the sign's diagram where one is known.
 */
name: string, 
/**
 * How many.
 */
count: number, 
/**
 * Formula and source.
 */
why: string, };

export type BandView = { 
/**
 * `footway`, `carriageway`, `walkway`, `clearance`, `works` or `closed`.
 */
kind: string, 
/**
 * From.
 */
from_m: number, 
/**
 * To.
 */
to_m: number, };

export type ArrangementView = { 
/**
 * `none`, `both_ways`, `one_way`, `give_and_take`, `priority_signs`, `stop_go_boards`,
 * `portable_signals` or `road_closed`.
 */
control: string, 
/**
 * In words: `Give and take`.
 */
control_words: string, 
/**
 * `unaffected`, `past_works`, `walkway` or `other_footway`.
 */
on_foot: string, 
/**
 * In words.
 */
on_foot_words: string, 
/**
 * The rule that led there.
 */
because: string, 
/**
 * Every test that was looked at.
 */
rulings: Array<RulingView>, 
/**
 * Widths left.
 */
widths: Array<WidthView>, 
/**
 * First to last cone, m.
 */
coned_m: number | null, 
/**
 * What is set out.
 */
kit: Array<KitView>, 
/**
 * The street across, right to left seen along its line.
 */
section: Array<BandView>, 
/**
 * What always goes with it.
 */
caution: string, };

export type DiversionView = { 
/**
 * For traffic along the street's line, in steps as [`WayView::line`](super::WayView::line); empty where
 * there is no way.
 */
along: Array<[number, number]>, 
/**
 * For traffic against it.
 */
against: Array<[number, number]>, 
/**
 * In words, with distance and time.
 */
words: string, 
/**
 * Names of streets that are cut off.
 */
cut_off: Array<string>, 
/**
 * Addresses there, street by street.
 */
addresses: Array<string>, };

export type ClashView = { 
/**
 * `on_diversion`, `both_ends`, `one_street` or `near`.
 */
kind: string, 
/**
 * One party's job.
 */
job: string, 
/**
 * The other's.
 */
other: string, 
/**
 * ISO date of the day on which it begins.
 */
date: string, 
/**
 * From.
 */
from: number, 
/**
 * Until, counted on past midnight.
 */
to: number, 
/**
 * `warned`, `priced` or `barred`.
 */
weight: string, 
/**
 * What is the matter.
 */
text: string, 
/**
 * What to do.
 */
remedy: string, };

export type NoticeStepView = { 
/**
 * What to do.
 */
what: string, 
/**
 * By when, as an ISO date and time, local.
 */
by: string, 
/**
 * The same in words: `Wed 24 Feb 16:30`.
 */
by_words: string, 
/**
 * The rule and its source.
 */
why: string, 
/**
 * Whether it is past on the programme's day.
 */
missed: boolean, };

export type NoticeView = { 
/**
 * The job.
 */
job: string, 
/**
 * `immediate`, `minor`, `standard` or `major`.
 */
category: string, 
/**
 * The rule that led to it, with the edition of the law.
 */
because: string, 
/**
 * What to do and by when.
 */
steps: Array<NoticeStepView>, 
/**
 * The earliest start where all is told on the programme's day, as an ISO date.
 */
earliest: string | null, 
/**
 * One line: `Minor works; told today, not before Tue 2 Mar`.
 */
words: string, 
/**
 * Whether the works start before that, with no permit stated.
 */
late: boolean, 
/**
 * How long a closure may stand.
 */
longest: string | null, };

export type ClosureDetail = { 
/**
 * The job.
 */
job: string, 
/**
 * How the public is led past.
 */
arrangement: ArrangementView, 
/**
 * What has to be told; none where nothing has.
 */
notice: NoticeView | null, };

export type DeadlineView = { 
/**
 * What to do.
 */
what: string, 
/**
 * By when, as an ISO date and time, local.
 */
by: string, 
/**
 * The same in words: `Wed 24 Feb 16:30`.
 */
by_words: string, 
/**
 * Whether it is past on the programme's day.
 */
missed: boolean, };

export type DeadlinesView = { 
/**
 * The job.
 */
job: string, 
/**
 * Whether the works start before the earliest lawful day, with no permit stated.
 */
late: boolean, 
/**
 * What to do and by when.
 */
steps: Array<DeadlineView>, };

export type ClosureView = { 
/**
 * The job.
 */
job: string, 
/**
 * The route that works there first, `gang@date`; empty where nobody does in the week.
 */
route: string, 
/**
 * The gang; empty where nobody works there in the week.
 */
gang: string, 
/**
 * The day on which it is there first, an ISO date.
 */
date: string, 
/**
 * `09:30–15:30`, `to Tue 15:30`, `to the week’s end`.
 */
hours: string, 
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
words: string, 
/**
 * The way round, where the road is closed.
 */
diversion: DiversionView | null, };

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
 * What an earlier day left over and this order uses, with its unit, or empty.
 */
brought_forward: string, 
/**
 * What this order leaves over for a later day, with its unit, or empty.
 */
left_over: string, 
/**
 * The last day to order on: `Fri 26 Feb`; empty for what is not bought.
 */
order_by: string, 
/**
 * Who supplies it and in how many working days: `Quarry, 2 working days`; or empty.
 */
supplier: string, 
/**
 * What it costs: `£120.00`, or empty where nobody has set a price.
 */
price: string, 
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
materials: Array<MaterialView>, 
/**
 * What could be ordered in place of some of them; never added to them.
 */
alternatives: Array<MaterialView>, };

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

export type ChangeView = { 
/**
 * The job.
 */
job: string, 
/**
 * `added`, `dropped`, `gang`, `day` or `time`.
 */
kind: string, 
/**
 * From what to what, in words.
 */
text: string, };

export type IssueView = { 
/**
 * Its number, from 1.
 */
number: number, 
/**
 * The date that it carries, ISO.
 */
on: string, 
/**
 * One line: `58 of 64 jobs in 23 gang-days`.
 */
summary: string, 
/**
 * Whether it is the plan on the desk, unchanged.
 */
current: boolean, };

export type RecordView = { 
/**
 * The job.
 */
job: string, 
/**
 * The stage.
 */
stage: string, 
/**
 * ISO date of the day on which it ended.
 */
date: string, 
/**
 * When it ended on that day, minutes from midnight.
 */
at: number, 
/**
 * How many minutes later than planned, fewer than none where earlier; none where that is not known.
 */
late: number | null, };

export type DifferenceView = { 
/**
 * What it is: `Gang-days`.
 */
label: string, 
/**
 * Of the one, with its unit.
 */
one: string, 
/**
 * Of the other.
 */
other: string, 
/**
 * The other less the one, with its sign and unit; empty where they are equal.
 */
by: string, };

export type SideView = { 
/**
 * `Issue 2, Thu 25 Feb` or `On the desk`.
 */
name: string, 
/**
 * One line: `58 of 64 jobs in 23 gang-days`.
 */
summary: string, 
/**
 * Its gang-days.
 */
columns: Array<Column>, 
/**
 * Jobs in none of them.
 */
unplanned: Array<string>, 
/**
 * Its cost by part, the total last.
 */
costs: Array<CostLine>, };

export type ComparisonView = { 
/**
 * The one.
 */
one: SideView, 
/**
 * The other.
 */
other: SideView, 
/**
 * Their figures.
 */
differences: Array<DifferenceView>, 
/**
 * What became of each job from the one to the other.
 */
changes: Array<ChangeView>, };

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
 * Works that get in one another's way.
 */
clashes: Array<ClashView>, 
/**
 * By when what has to be told of each planned job; how and why is told of one that is asked for.
 */
deadlines: Array<DeadlinesView>, 
/**
 * Materials of the week and of each day: `week`, `day:DATE`; those of a gang-day are asked for.
 */
orders: Array<OrderView>, 
/**
 * The cost by part, the total last.
 */
costs: Array<CostLine>, 
/**
 * What planning again changed.
 */
changes: Array<ChangeView>, 
/**
 * One line: `58 of 64 jobs in 23 gang-days`.
 */
summary: string, 
/**
 * Whether the independent checker found no broken rule.
 */
verified: boolean, };

export type TracedView = { 
/**
 * The row's key, or the property that the job states instead.
 */
key: string, 
/**
 * The figure with its unit.
 */
value: string, 
/**
 * The document, "common practice, no source", "from memory", or the job.
 */
source: string, 
/**
 * When it was read or set; empty where nobody said.
 */
date: string, };

export type QuantityView = { 
/**
 * What it is.
 */
quantity: string, 
/**
 * How much, with its unit.
 */
value: string, 
/**
 * The formula in words and symbols.
 */
formula: string, 
/**
 * The formula with its numbers.
 */
numbers: string, 
/**
 * The figures that it rests on.
 */
parameters: Array<TracedView>, };

export type QuantitiesView = { 
/**
 * What they are about: `Sizes and volumes`.
 */
title: string, 
/**
 * Each.
 */
quantities: Array<QuantityView>, };

export type SectionPartView = { 
/**
 * `base_concrete`, `type1`, `surround_concrete`, `surfacing`, `topsoil`, `mortar`, `ironwork`,
 * `wall` or `opening`.
 */
what: string, 
/**
 * Its outline, a closed ring whose first point is not repeated.
 */
outline: Array<[number, number]>, };

export type DimensionView = { 
/**
 * What it measures.
 */
name: string, 
/**
 * From.
 */
from: [number, number], 
/**
 * To.
 */
to: [number, number], 
/**
 * How long it is, as it is written.
 */
mm: string, 
/**
 * Which dimension line it is drawn on, counted away from the dig: above or left of it where
 * negative, below or right of it where positive.
 */
lane: number, };

export type SectionView = { 
/**
 * Width of the dig at the surface, mm.
 */
width: number, 
/**
 * Depth of the dig, mm.
 */
depth: number, 
/**
 * Every part; they never overlap and together fill the dig.
 */
parts: Array<SectionPartView>, 
/**
 * Dimensions along a level.
 */
across: Array<DimensionView>, 
/**
 * Dimensions along a plumb line.
 */
down: Array<DimensionView>, };

export type JobDetail = { 
/**
 * The job.
 */
job: string, 
/**
 * The stages that are left to be done, as `record` names them, in order.
 */
left: Array<string>, 
/**
 * For which gang, day and temperature its times are reckoned.
 */
reckoned_for: string, 
/**
 * What the code calls the opening: `Small opening, 4th edition`, or nothing in a verge.
 */
opening: string, 
/**
 * Why, with its numbers.
 */
opening_why: string, 
/**
 * What it takes, in short.
 */
figures: Array<Figure>, 
/**
 * The cross-section.
 */
section: SectionView, 
/**
 * Every quantity, in the order of the work.
 */
quantities: Array<QuantitiesView>, 
/**
 * Pours, sides, lifting and vibration that somebody should look at.
 */
findings: Array<FindingView>, };

export type CarriedView = { 
/**
 * What it is: `Out to the jobs`.
 */
label: string, 
/**
 * Its mass.
 */
mass: string, 
/**
 * Its loose volume.
 */
volume: string, 
/**
 * `3 loads`.
 */
loads: string, 
/**
 * Formula with its numbers.
 */
why: string, };

export type ToolView = { 
/**
 * What it is called.
 */
tool: string, 
/**
 * Minutes in one operative's hands.
 */
minutes: string, 
/**
 * Vibration magnitude, m/s².
 */
magnitude: string, 
/**
 * Exposure points.
 */
points: string, };

export type VibrationView = { 
/**
 * Daily exposure, m/s²: `1.84`.
 */
a8: string, 
/**
 * The same, to draw: m/s².
 */
exposure: number, 
/**
 * Exposure action value, m/s².
 */
action: number, 
/**
 * Exposure limit value, m/s².
 */
limit: number, 
/**
 * Exposure points.
 */
points: string, 
/**
 * `below`, `action` or `limit`: past which value it is.
 */
past: string, 
/**
 * In words: `Below the action value of 2.5 m/s²`.
 */
words: string, 
/**
 * What to do where it is past one; else empty.
 */
remedy: string, 
/**
 * Each tool.
 */
tools: Array<ToolView>, };

export type GangDayView = { 
/**
 * `gang@date`.
 */
key: string, 
/**
 * What its vehicle may carry: `Payload 3.5 t`.
 */
vehicle: string, 
/**
 * What is carried, where there is any.
 */
carried: Array<CarriedView>, 
/**
 * None where a figure is missing; then `faults` say which.
 */
vibration: VibrationView | null, 
/**
 * Sections that are heavier than the guideline for lifting by hand.
 */
handling: Array<string>, 
/**
 * Why a figure could not be worked out.
 */
faults: Array<string>, };

export type GangDayDetail = { 
/**
 * `gang@date`.
 */
key: string, 
/**
 * Its materials, under `route:GANG@DATE`.
 */
order: OrderView, 
/**
 * What it carries, lifts and feels.
 */
carried: GangDayView, };

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
 * The row of a list that it is about, from 0, under the headings.
 */
row?: number | null, 
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
 * The plans that were issued, the first one first.
 */
issues: Array<IssueView>, 
/**
 * What was recorded as done, the latest last.
 */
records: Array<RecordView>, 
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

export type PutRow = { 
/**
 * Where it is inserted, from 0.
 */
at: number, 
/**
 * The row.
 */
row: unknown, };

export type ListPatch = { 
/**
 * Which: `jobs`, `plan.columns`, `plan.closures` or `plan.deadlines`.
 */
list: string, 
/**
 * The member that tells its rows apart.
 */
key: string, 
/**
 * Rows to take out, first of all.
 */
gone: Array<string>, 
/**
 * Rows to put in, in this order.
 */
put: Array<PutRow>, };

export type SheetPatch = { 
/**
 * The edition that it is for.
 */
from: number, 
/**
 * The edition that it leads to.
 */
edition: number, 
/**
 * Whether findings, closures, clashes, notices, orders and loads are those of the new edition;
 * else they come with a later patch.
 */
settled: boolean, 
/**
 * Members of the sheet that are others now, each whole.
 */
sheet: Partial<Sheet>, 
/**
 * Members of its plan that are others now, each whole.
 */
plan: Partial<PlanView>, 
/**
 * Lists of which only some rows are others, to be changed one after the other.
 */
lists: Array<ListPatch>, };

export type PlannedWork = { "what": "jobs", 
/**
 * Their ids.
 */
ids: Array<string>, } | { "what": "gang_day", 
/**
 * `gang@date`.
 */
key: string, } | { "what": "day", 
/**
 * ISO date.
 */
date: string, };

export type ChangeByHand = { "do": "move_job", 
/**
 * The job.
 */
job: string, 
/**
 * `gang@date`.
 */
to: string, 
/**
 * Minutes from midnight: it begins after every visit that starts before then; where absent, it
 * goes where it costs least.
 */
at: number | null, } | { "do": "move_visit", 
/**
 * The job.
 */
job: string, 
/**
 * The stage.
 */
stage: string, 
/**
 * Minutes from midnight: it comes after every visit that starts before then.
 */
at: number, } | { "do": "leave_out", 
/**
 * The job.
 */
job: string, } | { "do": "move_jobs", 
/**
 * The jobs.
 */
jobs: Array<string>, 
/**
 * `gang@date`.
 */
to: string, } | { "do": "split", 
/**
 * `gang@date`.
 */
day: string, 
/**
 * The first job that goes.
 */
from: string, 
/**
 * `gang@date`.
 */
to: string, } | { "do": "swap", 
/**
 * `gang@date`.
 */
one: string, 
/**
 * `gang@date`.
 */
other: string, } | { "do": "add_gang", 
/**
 * Id of the gang.
 */
like: string, };

export type BrokenView = { 
/**
 * The checker's code for it.
 */
code: string, 
/**
 * The gang-day: `gang@date`.
 */
key: string, 
/**
 * Every job that it is about; none where it is about the gang-day.
 */
jobs: Array<string>, 
/**
 * What is the matter; of many jobs a few are named and the rest counted.
 */
text: string, };

export type CostChange = { 
/**
 * What for.
 */
label: string, 
/**
 * As money, now.
 */
now: string, 
/**
 * As money, then.
 */
then: string, 
/**
 * The difference with its sign; empty where there is none.
 */
added: string, 
/**
 * The difference, in pence.
 */
added_pence: number, };

export type TimesAlike = { 
/**
 * The first.
 */
first: number, 
/**
 * The last.
 */
last: number, };

export type Becomes = { 
/**
 * What it is a figure of.
 */
label: string, 
/**
 * Now, rounded as a foreman would write it; empty for nothing.
 */
now: string, 
/**
 * Then.
 */
then: string, 
/**
 * The unit of both.
 */
unit: string, };

export type TakesChange = { 
/**
 * `gang@date`.
 */
key: string, 
/**
 * What its vehicle carries, by the stream: `Out to the jobs`.
 */
carried: Array<Becomes>, 
/**
 * Materials, net in place.
 */
materials: Array<Becomes>, };

export type WhatIfView = { 
/**
 * In one line: `Move J-014 to Gang Oak on Wed 3 Mar: costs £12.40 more`.
 */
words: string, 
/**
 * Whether it breaks no rule.
 */
sound: boolean, 
/**
 * The rules that it breaks, in words: one line for each rule and gang-day.
 */
broken: Array<BrokenView>, 
/**
 * What the plan costs more, in pence; less where negative.
 */
added_pence: number, 
/**
 * The same as money with its sign: `+£12.40`.
 */
added: string, 
/**
 * The cost by part, now and then, the total last.
 */
costs: Array<CostChange>, 
/**
 * The gang-days touched that have work in them then, without the way driven.
 */
columns: Array<Column>, 
/**
 * Keys of the gang-days touched that have nothing in them then.
 */
emptied: Array<string>, 
/**
 * What the gang-days touched take and carry, now and then; those that take the same are left out.
 */
takes: Array<TakesChange>, 
/**
 * How many jobs are left out then; what is done or stands as issued is not.
 */
left_out: number, 
/**
 * How many are now.
 */
left_out_now: number, 
/**
 * Where a time was asked for, every time that does the same.
 */
alike: TimesAlike | null, };

export type DemoWeek = "small" | "full";

export type Pin = { 
/**
 * The job.
 */
id: string, 
/**
 * Where to.
 */
at: [number, number], };

export type Yard = "gang" | "tip";

export type Correction = { 
/**
 * The row under the headings, from 0.
 */
row: number, 
/**
 * The column's heading.
 */
column: string, 
/**
 * What it is to say.
 */
value: string, };

export type ListRequest = { 
/**
 * The file's name, for messages.
 */
name: string, 
/**
 * Its bytes, in Base64 (RFC 4648, clause 4): CSV, XLSX or GeoJSON; empty where it has a path.
 */
base64: string, 
/**
 * Where it lies on this machine.
 */
path?: string | null, 
/**
 * Whose list it is: how it is laid out is remembered by this name, and what is gone from it is
 * told by it.
 */
client: string | null, 
/**
 * How its columns become jobs, as `gangday import --show-mapping` prints it; remembered or
 * guessed where absent.
 */
mapping: Record<string, unknown> | null, 
/**
 * Cells to read as something else.
 */
corrections: Array<Correction>, 
/**
 * Rows that were given a place on the map, whatever their cells say of one.
 */
places: Array<RowPlace>, 
/**
 * Rows to be shown wherever they stand, from 0: what was done to them by hand stays in sight, and
 * where those that are shown are named, so many more are shown beside them.
 */
also: Array<number>, 
/**
 * The `digest` of the file as it was looked at: another file than that is refused.
 */
seen?: string | null, };

export type Aside = { 
/**
 * The file: `jobs.geojson`, `streets.geojson` or `gangs.json`.
 */
file: string, 
/**
 * The list in it: `features`, `gangs` or `tips`.
 */
list: string, 
/**
 * Which of those refused in the list, from 0.
 */
nth: number, 
/**
 * What findings call it: its id, or `feature 3`.
 */
called: string, };

export type AsideRow = { 
/**
 * Which it is.
 */
aside: Aside, 
/**
 * Its members, as far as there are any.
 */
members: Record<string, unknown>, 
/**
 * Those of them of which only the beginning is shown: they can be taken away, by the name that is
 * shown, not written over. An id alone can be written over only.
 */
too_long: Array<string>, 
/**
 * How it stands in the file, cut off where it is long.
 */
written: string, };

export type RowPlace = { 
/**
 * The row under the headings, from 0.
 */
row: number, 
/**
 * Longitude and latitude, degrees (WGS 84).
 */
at: [number, number], };

export type ForeignWord = { 
/**
 * The job's property.
 */
property: string, 
/**
 * The word, as the list writes it.
 */
word: string, };

export type PreviewRow = { 
/**
 * Which, from 0.
 */
row: number, 
/**
 * What it says, as corrected; none for GeoJSON.
 */
cells: Array<string>, 
/**
 * The job that it makes or changes.
 */
job: string | null, 
/**
 * Where.
 */
at: [number, number] | null, 
/**
 * `new`, `changed`, `same` or `fault`.
 */
status: string, 
/**
 * `sections 3 → 4`, one each.
 */
changes: Array<string>, 
/**
 * A job that it may be the same as: `J001, 0.8 m away`.
 */
near: string | null, };

export type PreviewView = { 
/**
 * The headings; none for GeoJSON.
 */
columns: Array<string>, 
/**
 * How its columns become jobs.
 */
mapping: Record<string, unknown>, 
/**
 * Whether that is remembered from an earlier list of the client.
 */
remembered: boolean, 
/**
 * The rows that were asked for, the first 2,000, and of each kind the first 500 beside those that were
 * asked for, wherever they stand; in their order.
 */
rows: Array<PreviewRow>, 
/**
 * How many rows there are.
 */
of: number, 
/**
 * How many are new.
 */
fresh: number, 
/**
 * How many are jobs that would change.
 */
changed: number, 
/**
 * How many are jobs as they are.
 */
same: number, 
/**
 * How many can't become a job.
 */
at_fault: number, 
/**
 * How many may be the same as a job that is there, or as a row before them.
 */
near: number, 
/**
 * Words in columns of choices that are none of ours, of all rows.
 */
words: Array<ForeignWord>, 
/**
 * Jobs of this client that are no longer in the list.
 */
gone: Array<string>, 
/**
 * Those of them that are done in part or locked: they stay, whatever is asked for.
 */
staying: Array<string>, 
/**
 * What is wrong or needs a look.
 */
findings: Array<FindingView>, 
/**
 * Which bytes were looked at: their SHA-256 (FIPS 180-4), in hexadecimal digits.
 */
digest: string, };

export type Edit = { "do": "set", 
/**
 * Their ids.
 */
jobs: Array<string>, 
/**
 * The properties.
 */
properties: Record<string, unknown>, } | { "do": "move", 
/**
 * Which, and where to.
 */
pins: Array<Pin>, } | { "do": "delete", 
/**
 * Their ids.
 */
jobs: Array<string>, } | { "do": "add", 
/**
 * Where.
 */
at: [number, number], 
/**
 * What is stated of it; `id` too, if it is to have one of its own.
 */
properties: Record<string, unknown>, } | { "do": "rename", 
/**
 * Its id so far.
 */
job: string, 
/**
 * Its new id.
 */
to: string, } | { "do": "paste", 
/**
 * GeoJSON.
 */
text: string, 
/**
 * Where their middle is to be; where they were, if absent.
 */
at: [number, number] | null, } | { "do": "row", 
/**
 * The file: `method.json`, `materials.json`, `week.json`, `gangs.json` or `streets.geojson`.
 */
file: string, 
/**
 * The key of a figure, the id of a gang, a tip or a street; absent for what stands in the
 * file itself. A figure whose `value` is taken away is as it is shipped again.
 */
row: string | null, 
/**
 * Which is meant of a gang and a tip that have one id; the gang, if absent.
 */
yard?: Yard | null, 
/**
 * The members.
 */
members: Record<string, unknown>, } | { "do": "add_yard", 
/**
 * Which.
 */
yard: Yard, 
/**
 * Where.
 */
at: [number, number], } | { "do": "remove_yard", 
/**
 * Which of the two.
 */
yard: Yard, 
/**
 * Its id.
 */
id: string, } | { "do": "mend", 
/**
 * Which.
 */
aside: Aside, 
/**
 * The members: of a job or a street its properties and its `id`. A text is what was typed; what
 * it is, the member says: a figure, a truth or a list where the member is no text.
 */
members: Record<string, unknown>, 
/**
 * Where it is to be, if its place is to be another: a job alone has one that is a point.
 */
at: [number, number] | null, } | { "do": "take_out", 
/**
 * Which.
 */
aside: Aside, };

export type Stated = { 
/**
 * Its id.
 */
id: string, 
/**
 * Where it is.
 */
at: [number, number], 
/**
 * Its properties.
 */
properties: Record<string, unknown>, };

export type FieldView = { 
/**
 * Its name in `jobs.geojson`.
 */
name: string, 
/**
 * What it is called.
 */
label: string, 
/**
 * `choice`, `mm`, `count`, `date`, `text`, `texts` or `hours`.
 */
kind: string, 
/**
 * What may be chosen.
 */
choices: Array<string>, };

export type FigureRow = { 
/**
 * Its dotted name: `chamber.base`.
 */
key: string, 
/**
 * The figure.
 */
value: number, 
/**
 * Its unit.
 */
unit: string, 
/**
 * The document, "common practice, no source" or "from memory".
 */
source: string, 
/**
 * When it was read or set.
 */
date: string, 
/**
 * Whether the programme states it itself, in place of what is shipped.
 */
own: boolean, 
/**
 * What is shipped, where anything is.
 */
shipped: number | null, };

export type FigureTable = { 
/**
 * What it is about: `How a chamber is built`.
 */
title: string, 
/**
 * The programme's file that states figures of its own: `method.json`.
 */
file: string, 
/**
 * Its figures, by key.
 */
rows: Array<FigureRow>, };

export type TableSort = "jobs" | "visits" | "orders" | "closures" | "all";

export type TableFormat = "csv" | "xlsx";

export type Request = { "ask": "sheet" } | { "ask": "since", 
/**
 * The edition that the door shows.
 */
edition: number, 
/**
 * What is asked.
 */
of: Request, } | { "ask": "open_demo", 
/**
 * Which.
 */
week: DemoWeek, } | { "ask": "open", 
/**
 * Its path.
 */
folder: string, } | { "ask": "begin", 
/**
 * Its path; `.gpkg` is put to it where it has another ending.
 */
path: string, 
/**
 * Today, ISO.
 */
today: string, } | { "ask": "job", 
/**
 * Its id.
 */
id: string, } | { "ask": "closure", 
/**
 * The job.
 */
job: string, } | { "ask": "gang_days", 
/**
 * `gang@date`; what is in no plan is left out of the answer.
 */
keys: Array<string>, } | { "ask": "preview", 
/**
 * The list.
 */
list: ListRequest, } | { "ask": "take_in", 
/**
 * The list, as it was previewed.
 */
list: ListRequest, 
/**
 * Rows to leave out, from 0.
 */
skip: Array<number>, 
/**
 * Whether jobs of the client that are gone from the list are deleted.
 */
delete_gone: boolean, } | { "ask": "import_extract", 
/**
 * The file's name, for messages.
 */
name: string, 
/**
 * Its bytes, in Base64 (RFC 4648, clause 4).
 */
base64: string, } | { "ask": "read_extract", 
/**
 * The file's path.
 */
path: string, } | { "ask": "plan", 
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
seed: number | null, } | { "ask": "replan", 
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
seed: number | null, } | { "ask": "mark", 
/**
 * Which jobs.
 */
jobs: Array<string>, 
/**
 * Whether they stay.
 */
locked: boolean, } | { "ask": "record", 
/**
 * The job.
 */
job: string, 
/**
 * The stage: `dig`, `base`, `build`, `surround`, `surface` or `reopen`.
 */
stage: string, 
/**
 * When it ended, local: `2027-03-01T10:35`; absent to take the record back.
 */
at: string | null, } | { "ask": "record_as_planned", 
/**
 * Of which work.
 */
of: PlannedWork, } | { "ask": "record_as_issued", 
/**
 * Which jobs; all that stand so where absent.
 */
jobs: Array<string> | null, } | { "ask": "bring_over", 
/**
 * Which jobs; all that stand so where absent.
 */
jobs: Array<string> | null, } | { "ask": "issue", 
/**
 * The date that it carries, ISO.
 */
on: string, } | { "ask": "compare", 
/**
 * The number of an issue; 0 for the plan on the desk.
 */
one: number, 
/**
 * The same for the other.
 */
other: number, } | { "ask": "progress" } | { "ask": "stop" } | { "ask": "save", 
/**
 * The path of a new folder, or of a new file with `.gpkg` at its end; the one it was opened
 * from where absent.
 */
folder: string | null, } | { "ask": "what_if", 
/**
 * The change.
 */
change: ChangeByHand, } | { "ask": "change", 
/**
 * The change.
 */
change: ChangeByHand, } | { "ask": "undo" } | { "ask": "redo" } | { "ask": "edit", 
/**
 * What to do.
 */
edit: Edit, } | { "ask": "stated", 
/**
 * Their ids.
 */
jobs: Array<string>, } | { "ask": "copy", 
/**
 * Their ids.
 */
jobs: Array<string>, } | { "ask": "fields" } | { "ask": "figures" } | { "ask": "row", 
/**
 * The file.
 */
file: string, 
/**
 * The key of a figure, the id of a gang, a tip or a street; absent for the file itself.
 */
row: string | null, 
/**
 * Which is meant of a gang and a tip that have one id; the gang, if absent.
 */
yard?: Yard | null, } | { "ask": "aside", 
/**
 * The file.
 */
file: string, 
/**
 * What the finding's place says after the file.
 */
place: string, } | { "ask": "history" } | { "ask": "client_page" } | { "ask": "pack" } | { "ask": "attach", 
/**
 * The job.
 */
job: string, 
/**
 * What the picture is to be called.
 */
name: string, 
/**
 * Its bytes, in Base64 (RFC 4648, clause 4): JPEG, PNG or WebP, at most 10 MB; empty where it
 * has a path.
 */
base64: string, 
/**
 * Where it lies on this machine.
 */
path?: string | null, } | { "ask": "detach", 
/**
 * The job.
 */
job: string, 
/**
 * The picture.
 */
name: string, } | { "ask": "attachment", 
/**
 * The job.
 */
job: string, 
/**
 * The picture.
 */
name: string, } | { "ask": "export", 
/**
 * Of what.
 */
what: TableSort, 
/**
 * As what.
 */
format: TableFormat, } | { "ask": "remember", 
/**
 * What it is called.
 */
name: string, 
/**
 * What it is; null to forget it.
 */
value: unknown, } | { "ask": "remembered" } | { "ask": "settings" } | { "ask": "keep_setting", 
/**
 * What it is called.
 */
name: string, 
/**
 * What it is; null to forget it.
 */
value: unknown, } | { "ask": "there", 
/**
 * Their paths.
 */
paths: Array<string>, };

export type ProgressView = { 
/**
 * Whether it is still at it.
 */
running: boolean, 
/**
 * Whether it is no week that is planned: stopped, nothing is kept of it.
 */
reading: boolean, 
/**
 * What is under way, as a heading; empty where nothing is.
 */
title: string, 
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
sheet: Sheet, } | { "is": "edited", 
/**
 * The sheet after it.
 */
sheet: Sheet, 
/**
 * The jobs that it touched or made.
 */
jobs: Array<string>, 
/**
 * What it did, as a sentence; absent where its name says it.
 */
told?: string, } | { "is": "patched", 
/**
 * It.
 */
patch: SheetPatch, 
/**
 * The jobs that an edit touched or made.
 */
jobs: Array<string>, 
/**
 * What it did, as a sentence; absent where its name says it.
 */
told?: string, } | { "is": "preview", 
/**
 * It.
 */
preview: PreviewView, } | { "is": "aside", 
/**
 * Each of them.
 */
rows: Array<AsideRow>, } | { "is": "stated", 
/**
 * In the order asked for.
 */
jobs: Array<Stated>, } | { "is": "copied", 
/**
 * GeoJSON.
 */
text: string, } | { "is": "fields", 
/**
 * In the order of a form.
 */
fields: Array<FieldView>, } | { "is": "figures", 
/**
 * Table by table.
 */
tables: Array<FigureTable>, } | { "is": "row", 
/**
 * Member by member.
 */
members: Record<string, unknown>, } | { "is": "history", 
/**
 * What is done, the oldest first.
 */
past: Array<string>, 
/**
 * What is undone, what redo does next first.
 */
future: Array<string>, } | { "is": "job", 
/**
 * It.
 */
detail: JobDetail, } | { "is": "closure", 
/**
 * It.
 */
detail: ClosureDetail, } | { "is": "gang_days", 
/**
 * In the order asked for.
 */
details: Array<GangDayDetail>, } | { "is": "comparison", 
/**
 * Them.
 */
comparison: ComparisonView, } | { "is": "what_if", 
/**
 * It.
 */
outcome: WhatIfView, } | { "is": "file", 
/**
 * A name for it.
 */
name: string, 
/**
 * Its media type.
 */
media: string, 
/**
 * Its bytes, in Base64 (RFC 4648, clause 4).
 */
base64: string, } | { "is": "remembered", 
/**
 * By name.
 */
values: Record<string, unknown>, } | { "is": "settings", 
/**
 * By name.
 */
values: Record<string, unknown>, } | { "is": "there", 
/**
 * In the order asked for.
 */
there: Array<boolean>, } | { "is": "page", 
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
