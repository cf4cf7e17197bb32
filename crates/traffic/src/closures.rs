//! The closures of a plan: what the public meets, where and when.

use std::collections::HashMap;

use chrono::NaiveDateTime;
use gangday_ground::Plane;
use gangday_model::{
    Arrangement, Closure, ClosureKind, Control, Finding, GangId, Job, JobId, JobWork, LonLat,
    Nation, Plan, Programme, TakeOff, Visit,
};

use crate::control::name;
use crate::footprint::{Footprint, Site};
use crate::key;
use crate::rules::Rules;
use crate::street::{InStreet, Streets};
use crate::times::{Beyond, Times, stood, times};

/// What closures are worked out from.
#[derive(Clone, Copy, Debug)]
pub struct Works<'a> {
    /// Jobs and streets.
    pub programme: &'a Programme,
    /// Sizes of the digs; usual ones serve where a job has none here.
    pub take_offs: &'a [TakeOff],
    /// Stages and waits of the jobs; with none, no hold is known.
    pub works: &'a [JobWork],
    /// Who goes where and when.
    pub plan: &'a Plan,
    /// The working plane.
    pub plane: &'a Plane,
    /// What stands beyond what the plan works there.
    pub beyond: &'a [Beyond],
}

/// Closures, and what somebody should look at.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Examined {
    /// One for each planned job, by start and then by job.
    pub closures: Vec<Closure>,
    /// How the public is led past each, in the same order.
    pub arrangements: Vec<Arrangement>,
    /// What is doubtful about them.
    pub findings: Vec<Finding>,
}

/// The closures of a plan by the shipped rules, by start and then by job; see [`examine`].
#[must_use]
pub fn closures(works: &Works<'_>) -> Vec<Closure> {
    examine(works, Rules::shipped()).closures
}

/// The closures of a plan by these rules, with findings.
///
/// A job's closure stands from its first visit's start to its last one's finish, nights between
/// them included, and beyond these as [`Works::beyond`] says. It never looks at two jobs at once, so its time grows as the number of jobs.
#[must_use]
pub fn examine(works: &Works<'_>, rules: &Rules) -> Examined {
    let drawing = Drawing::of(works, rules);
    let stages: HashMap<&JobId, &JobWork> =
        works.works.iter().map(|work| (&work.job, work)).collect();
    let beyond: HashMap<&JobId, &Beyond> = works.beyond.iter().map(|own| (&own.job, own)).collect();
    let mut visits = by_job(works.plan);
    let mut found = Examined::default();
    let mut all: Vec<(Closure, Arrangement)> = Vec::new();
    for job in &works.programme.jobs {
        let of_job = visits.remove(&job.id).unwrap_or_default();
        let worked = times(&of_job, stages.get(&job.id).copied());
        if let Some(times) = stood(worked, beyond.get(&job.id).copied()) {
            all.push(drawing.closure(job, times, &mut found.findings));
        }
    }
    found.findings.extend(strangers(visits.into_keys()));
    all.sort_by(|(a, _), (b, _)| (a.start, &a.job).cmp(&(b.start, &b.job)));
    (found.closures, found.arrangements) = all.into_iter().unzip();
    found
}

type OfJob<'a> = Vec<(&'a GangId, &'a Visit)>;

fn by_job(plan: &Plan) -> HashMap<&JobId, OfJob<'_>> {
    let mut visits: HashMap<&JobId, OfJob<'_>> = HashMap::new();
    for route in &plan.routes {
        for visit in &route.visits {
            visits
                .entry(&visit.job)
                .or_default()
                .push((&route.gang, visit));
        }
    }
    visits
}

fn strangers<'a>(jobs: impl Iterator<Item = &'a JobId>) -> Vec<Finding> {
    let mut unknown: Vec<&JobId> = jobs.collect();
    unknown.sort();
    let finding = |job: &JobId| {
        Finding::fault(
            "T-JOB",
            format!("The plan visits job {job}, which the programme does not have."),
            "Plan again from this programme, or bring the job back.",
        )
        .at(job.as_str())
    };
    unknown.into_iter().map(finding).collect()
}

/// What one closure is drawn with.
pub(crate) struct Drawing<'a> {
    rules: &'a Rules,
    plane: &'a Plane,
    streets: Streets<'a>,
    digs: HashMap<&'a JobId, &'a TakeOff>,
    nation: Nation,
}

impl<'a> Drawing<'a> {
    fn of(works: &Works<'a>, rules: &'a Rules) -> Self {
        let reach_m = rules.value(key::STREET_REACH);
        let streets = Streets::new(&works.programme.streets, works.plane, reach_m);
        let nation = works.programme.week.nation;
        let take_offs = works.take_offs.iter();
        Self::on(streets, (works.plane, nation, rules), take_offs)
    }

    /// In streets that are known.
    pub(crate) fn on(
        streets: Streets<'a>,
        (plane, nation, rules): (&'a Plane, Nation, &'a Rules),
        take_offs: impl Iterator<Item = &'a TakeOff>,
    ) -> Self {
        Self {
            rules,
            plane,
            streets,
            digs: take_offs.map(|taken| (&taken.job, taken)).collect(),
            nation,
        }
    }
}

impl Drawing<'_> {
    pub(crate) const fn streets(&self) -> &Streets<'_> {
        &self.streets
    }

    /// A job's closure as if it always stood, for what has to be known before anything is planned; its
    /// gang is nobody.
    pub(crate) fn standing(&self, job: &Job) -> Closure {
        let always = Times {
            gang: GangId::new(""),
            worked: None,
            start: NaiveDateTime::default(),
            hold_from: NaiveDateTime::default(),
            end: NaiveDateTime::default(),
            is_reckoned: false,
        };
        self.closure(job, always, &mut Vec::new()).0
    }

    fn closure(
        &self,
        job: &Job,
        times: Times,
        findings: &mut Vec<Finding>,
    ) -> (Closure, Arrangement) {
        let at = self.plane.to_plane(job.at);
        let place = self.streets.of(job, at);
        let (kind, proposed, mut because) =
            self.rules.propose(job, place.map(|place| place.street));
        let drawn = at.and_then(|at| {
            let street = place.map(|place| place.street);
            let line = place.and_then(|place| place.line);
            self.rules.footprint(Site {
                kind,
                at,
                dig: self.dig(job),
                street,
                line,
            })
        });
        because.push_str(&drawn_words(kind, drawn.as_ref()));
        let footprint = drawn
            .as_ref()
            .and_then(|drawn| self.plane.ring_to_lonlat(&drawn.ring));
        findings.extend(self.about_street(job, place));
        findings.extend(self.about_drawing(job, drawn.as_ref(), footprint.as_ref()));
        findings.extend(times.is_reckoned.then(|| open(job)));
        let mut closure = Closure {
            job: job.id.clone(),
            gang: times.gang,
            street: place.map(|place| place.street.id.clone()),
            kind,
            closes_road: kind == ClosureKind::Road,
            proposed,
            because,
            worked: times.worked,
            start: times.start,
            hold_from: times.hold_from,
            end: times.end,
            footprint: footprint.unwrap_or_default(),
        };
        let street = place.map(|place| place.street);
        let arrangement = self
            .rules
            .arrange(job, street, &closure, drawn.as_ref(), self.nation);
        closure.closes_road = arrangement.control == Control::RoadClosed;
        findings.extend(no_control(job, kind, &arrangement));
        findings.extend(not_measured(job, kind, &arrangement));
        (closure, arrangement)
    }

    fn dig(&self, job: &Job) -> (f64, f64) {
        let assumed = || (self.rules.dig_along(job).0, self.rules.dig_across(job).0);
        let taken = self.digs.get(&job.id);
        taken.map_or_else(assumed, |taken| (taken.dig_length.m(), taken.dig_width.m()))
    }

    fn about_street(&self, job: &Job, place: Option<InStreet<'_>>) -> Option<Finding> {
        let stated = job.street.as_ref()?;
        if !self.streets.knows(job) {
            let text = format!("Job {} names street {stated}, which is not there.", job.id);
            let remedy = "Name a street of the programme, or none to take the nearest.";
            return Some(about(job, Finding::warning("T-STREET", text, remedy)).of("street"));
        }
        let place = place.filter(|place| place.line.is_none())?;
        let how_far = match place.distance_m {
            Some(distance) => format!("lies {distance:.0} m from"),
            None => "can't be placed by the line of".to_owned(),
        };
        let text = format!("Job {} {how_far} street {stated}, which it names.", job.id);
        let remedy = "Check the job's place and its street; its ground is drawn to north.";
        Some(about(job, Finding::warning("T-FAR", text, remedy)).of("street"))
    }

    fn about_drawing(
        &self,
        job: &Job,
        drawn: Option<&Footprint>,
        footprint: Option<&Vec<LonLat>>,
    ) -> Option<Finding> {
        if footprint.is_none() {
            let text = format!("The ground of job {}'s closure can't be drawn.", job.id);
            let remedy = "Check the job's place and sizes and its street's line.";
            return Some(about(job, Finding::fault("T-PLANE", text, remedy)));
        }
        let minimum = self.rules.value(key::LANE_MINIMUM);
        let left = drawn
            .and_then(|drawn| drawn.left)
            .filter(|left| *left < minimum)?;
        let text = format!(
            "As drawn, the lane closure of job {} leaves {left:.2} m of carriageway, less than \
             {minimum} m ({}).",
            job.id,
            self.rules.source(key::LANE_MINIMUM),
        );
        let remedy = "Check where the dig lies and how wide the road is, or close the road.";
        Some(about(job, Finding::warning("T-WIDTH", text, remedy)).of("closure"))
    }
}

fn about(job: &Job, finding: Finding) -> Finding {
    finding.at(job.id.as_str())
}

/// A lane closure that no control of traffic can be shown to fit; too narrow a lane is told already.
fn no_control(job: &Job, kind: ClosureKind, arrangement: &Arrangement) -> Option<Finding> {
    let mut left = arrangement.widths.iter();
    let is_told = left.any(|width| width.left_m < width.least_m);
    if kind != ClosureKind::Lane || arrangement.control != Control::RoadClosed || is_told {
        return None;
    }
    let text = format!(
        "No way of leading traffic past the lane closure of job {} can be shown to fit.",
        job.id
    );
    let remedy = "State the street's width, flow and visibility, or close the road.";
    Some(about(job, Finding::warning("T-CONTROL", text, remedy)).of("closure"))
}

/// A lane closure that leads traffic past on a width that nobody states.
fn not_measured(job: &Job, kind: ClosureKind, arrangement: &Arrangement) -> Option<Finding> {
    let is_known = arrangement.widths.iter().any(|one| one.of == "carriageway");
    if kind != ClosureKind::Lane || arrangement.control == Control::RoadClosed || is_known {
        return None;
    }
    let text = format!(
        "How much carriageway the lane closure of job {} leaves is not known: {} can't be shown to \
         fit until it is measured.",
        job.id,
        name(arrangement.control).to_lowercase(),
    );
    let remedy = "Measure the street and state its width, or close the road.";
    Some(about(job, Finding::warning("T-CONTROL", text, remedy)).of("closure"))
}

fn open(job: &Job) -> Finding {
    let text = format!("No visit takes the signing of job {} away.", job.id);
    let remedy = "Plan a visit to reopen; the end shown is the last work's finish and its hold.";
    about(job, Finding::warning("T-OPEN", text, remedy))
}

/// What is drawn before and behind the works, and how sure it is.
fn drawn_words(kind: ClosureKind, drawn: Option<&Footprint>) -> String {
    let is_traffic = matches!(kind, ClosureKind::Lane | ClosureKind::Road);
    match drawn.filter(|_| is_traffic).map(|drawn| drawn.lengths) {
        Some(Some((before, after))) => format!(
            " Drawn {before:.1} m before the works and {after:.1} m behind them: run-in and one-way \
             tapers are from memory, to be read from the code."
        ),
        Some(None) => {
            " No street line is near: only the works are drawn, without approaches.".to_owned()
        }
        None => String::new(),
    }
}
