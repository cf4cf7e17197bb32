//! Each planned job's closure, and all that the public meets with it.

use std::collections::HashSet;

use chrono::{NaiveTime, TimeDelta};
use gangday_files::{ClosureDetails, WEEK, write_closures};
use gangday_model::{
    Arrangement, Barred, Clash, Closure, Diversion, Finding, JobId, JobWork, Notice, Plan, Route,
    TakeOff, Week,
};
use gangday_traffic::{
    Asked, Beyond, CLASHES, NoticeTerms, Works, diversions, examine, without_ways_round,
};

use crate::attributions::attributions;
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::refusal::views;
use crate::view::FindingView;
use crate::{from_day, over, words};

/// What the public meets.
#[derive(Clone, Debug, Default)]
pub struct Public {
    /// One for each job that is planned or stands open, by start and then by job.
    pub closures: Vec<Closure>,
    /// How the public is led past each, in the same order.
    pub arrangements: Vec<Arrangement>,
    /// The way round each closed road.
    pub diversions: Vec<Diversion>,
    /// Works that get in one another's way.
    pub clashes: Vec<Clash>,
    /// What has to be told of each that is worked on, in the order of the closures.
    pub notices: Vec<Notice>,
    /// What somebody should look at.
    pub findings: Vec<Finding>,
}

/// The closures of a plan, with what somebody should look at.
#[must_use]
pub fn of_plan(prepared: &Prepared, plan: &Plan) -> Public {
    of_works(prepared, plan, &beyond(prepared, plan))
}

/// The same of the gang-days that have one job, with what stands of that alone.
#[must_use]
pub fn of_job(prepared: &Prepared, plan: &Plan, job: &JobId) -> Public {
    let mut beyond = beyond(prepared, plan);
    beyond.retain(|own| own.job == *job);
    let own = |route: &&Route| route.visits.iter().any(|visit| visit.job == *job);
    let routes = plan.routes.iter().filter(own).cloned().collect();
    let plan = Plan {
        routes,
        ..Plan::default()
    };
    of_works(prepared, &plan, &beyond)
}

fn of_works(prepared: &Prepared, plan: &Plan, beyond: &[Beyond]) -> Public {
    let known = Known::of(prepared, plan);
    let rules = &prepared.traffic;
    let programme = &prepared.programme;
    let examined = examine(&known.works(prepared, plan, beyond), rules);
    let closures = examined.closures;
    let mut findings = examined.findings;
    findings.extend(rules.street_terms(&programme.streets, &closures, prepared.street_names()));
    let (diversions, round) = ways_round(prepared, &closures);
    let mut arrangements = examined.arrangements;
    without_ways_round(&mut arrangements, &diversions);
    let asked = Asked {
        programme,
        closures: &closures,
        diversions: &diversions,
        plane: &prepared.plane,
        names: prepared.street_names(),
    };
    let (clashes, clashing) = rules.clashes(&asked);
    let (terms, doubtful) = NoticeTerms::of_week(&programme.week);
    let (notices, late) = rules.notices(programme, &closures, &terms);
    let undated = no_day(&terms).filter(|_| !notices.is_empty());
    let anew = told_anew(&programme.week).filter(|_| !notices.is_empty());
    let doubtful = doubtful.into_iter().chain(undated).chain(anew);
    let doubtful = doubtful.map(|one| one.in_file(WEEK));
    findings.extend(
        round
            .into_iter()
            .chain(clashing)
            .chain(late)
            .chain(doubtful),
    );
    Public {
        arrangements,
        closures,
        diversions,
        clashes,
        notices,
        findings,
    }
}

/// What stands beyond what the plan works there: the closures of jobs that were begun before the week from its
/// beginning on, and to its end those that are left unfinished, or on which nobody works in it.
fn beyond(prepared: &Prepared, plan: &Plan) -> Vec<Beyond> {
    let week = &prepared.programme.week;
    let begins = week.first_day.and_time(NaiveTime::MIN);
    let ends = begins + TimeDelta::days(i64::from(week.days));
    let planned: HashSet<&JobId> = plan.visits().map(|visit| &visit.job).collect();
    let done = over::listed_as_done(plan);
    let unfinished = plan.unfinished.iter().map(|one| &one.job);
    let unfinished: HashSet<&JobId> = unfinished.collect();
    let jobs = prepared.programme.jobs.iter().zip(&prepared.begun);
    let all = jobs.filter_map(|(job, begun)| {
        let stays = unfinished.contains(&job.id) || !planned.contains(&job.id);
        let stands = (begun.is_some() && !done.contains(&job.id)) || unfinished.contains(&job.id);
        stands.then(|| Beyond {
            job: job.id.clone(),
            from: begun.as_ref().map(|_| begins),
            until: stays.then_some(ends),
        })
    });
    all.collect()
}

/// Without the day on which notice would be given, neither the earliest start of works can be told
/// nor whether a deadline is missed; where there are no works to be told of, nothing lacks.
fn no_day(terms: &NoticeTerms) -> Option<Finding> {
    let text = "The week states no `today`, so neither the earliest lawful start is worked out \
                nor whether a deadline has passed.";
    let remedy = "State the day on which notice would be given as `today` in week.json.";
    let is_missing = terms.today.is_none();
    is_missing.then(|| Finding::note("T-TODAY", text, remedy).of("today"))
}

/// Deadlines are reckoned from one day; whatever is put to another day of the week later needs its notice changed or
/// given anew.
fn told_anew(week: &Week) -> Option<Finding> {
    let from = from_day::cuts_off(week)?;
    let told = week.today.filter(|today| *today < from)?;
    let text = format!(
        "Deadlines are reckoned as if notice were given on {}, but only days from {} on are planned now.",
        words::day(told),
        words::day(from)
    );
    let remedy = "Works that are put to another day need their notice changed or given anew, and what is asked for \
                  runs from when that is done: hold them to the authority's terms before the plan goes out.";
    Some(Finding::warning("T-ANEW", text, remedy).of("plan_from"))
}

/// When the street's authority keeps a job off its street or has a price, where the terms don't only
/// warn.
#[must_use]
pub fn barred(prepared: &Prepared, job: usize) -> Barred {
    let street = prepared.streets[job].map(|at| &prepared.programme.streets[at]);
    let kind = prepared.closures[job].kind;
    street.map_or_else(Barred::default, |street| {
        prepared.traffic.barred(street, kind)
    })
}

/// The way round each closed road; none are looked for where there are no roads at all.
fn ways_round(prepared: &Prepared, closures: &[Closure]) -> (Vec<Diversion>, Vec<Finding>) {
    let programme = &prepared.programme;
    prepared.roads().map_or_else(Default::default, |roads| {
        diversions(programme, closures, &prepared.plane, roads)
    })
}

/// Take-offs and stages of the jobs that have them.
struct Known {
    take_offs: Vec<TakeOff>,
    works: Vec<JobWork>,
}

impl Known {
    fn of(prepared: &Prepared, plan: &Plan) -> Self {
        Self {
            take_offs: prepared
                .take_offs
                .iter()
                .flatten()
                .map(|one| TakeOff::clone(one))
                .collect(),
            works: works(prepared, plan),
        }
    }

    fn works<'a>(
        &'a self,
        prepared: &'a Prepared,
        plan: &'a Plan,
        beyond: &'a [Beyond],
    ) -> Works<'a> {
        Works {
            programme: &prepared.programme,
            take_offs: &self.take_offs,
            works: &self.works,
            plan,
            plane: &prepared.plane,
            beyond,
        }
    }
}

/// Each job's stages: a planned one's as its gang does them on its date.
fn works(prepared: &Prepared, plan: &Plan) -> Vec<JobWork> {
    let mut works: Vec<Option<&JobWork>> = prepared.works.iter().map(Option::as_deref).collect();
    for route in &plan.routes {
        for visit in &route.visits {
            let own = prepared.work_on(&visit.job, &route.gang, route.date);
            if let (Some(at), Some(own)) = (prepared.index_of(&visit.job), own) {
                works[at] = Some(own);
            }
        }
    }
    works.into_iter().flatten().cloned().collect()
}

/// What the public meets of a plan: worked out once for all that is written or said of it.
#[must_use]
pub fn what_the_public_meets(opened: &Opened, plan: &Plan) -> Public {
    of_plan(&opened.prepared, plan)
}

impl Public {
    /// The clashes that a plan leaves, streets that are restricted or busy among them.
    #[must_use]
    pub fn clashes_left(&self) -> Vec<FindingView> {
        let clashes = self.findings.iter();
        let clashes = clashes.filter(|one| CLASHES.contains(&one.code.as_str()));
        views(&clashes.cloned().collect::<Vec<_>>())
    }
}

/// The closures of a plan as GeoJSON (RFC 7946).
#[must_use]
pub fn closures_geojson(opened: &Opened, public: &Public) -> String {
    let named = attributions(&opened.prepared);
    let details = ClosureDetails {
        arrangements: &public.arrangements,
        diversions: &public.diversions,
        clashes: &public.clashes,
        notices: &public.notices,
        attributions: &named,
    };
    let bytes = write_closures(&public.closures, &details, &opened.prepared.programme);
    String::from_utf8_lossy(&bytes).into_owned()
}

#[cfg(test)]
mod tests {
    use gangday_model::Control;

    use super::*;
    use crate::view::DemoWeek;
    use crate::{PlanOptions, make_plan};

    /// The invented town calls for each way of leading traffic past works, so that each is seen: kit,
    /// widths and words.
    #[test]
    fn the_demo_week_shows_signals_and_priority_signs() {
        let opened = crate::demo::open(DemoWeek::Full);
        let options = PlanOptions {
            iterations: Some(300),
            seed: 1,
            ..PlanOptions::default()
        };
        let plan = make_plan(&opened, &options, None, &mut |_| true).unwrap();
        let public = of_plan(&opened.prepared, &plan);
        let led = |control| {
            let mut all = public.arrangements.iter();
            all.find(|one| one.control == control)
        };
        for control in [Control::PortableSignals, Control::PrioritySigns] {
            let shown = led(control).unwrap_or_else(|| panic!("{control:?} is not shown"));
            assert!(!shown.kit.is_empty() && !shown.widths.is_empty() && !shown.section.is_empty());
        }
    }
}
