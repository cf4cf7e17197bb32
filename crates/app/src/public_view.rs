//! What the public meets, ready to show.

use std::collections::HashMap;

use gangday_model::{
    Arrangement, Band, Clash, Closure, Diversion, JobId, KitLine, Notice, NoticeStep, Plan, Ruling,
    WayRound, WidthLeft,
};
use gangday_traffic::{control_name, on_foot_name};
use serde::Serialize;

use crate::closures::{self, Public};
use crate::prepared::Prepared;
use crate::view::{
    ArrangementView, BandView, ClashView, ClosureDetail, ClosureView, DeadlineView, DeadlinesView,
    DiversionView, KitView, NoticeStepView, NoticeView, RulingView, WidthView,
};
use crate::words;

/// The closures with their ways round.
pub fn closures(prepared: &Prepared, public: &Public) -> Vec<ClosureView> {
    let round: HashMap<&JobId, &Diversion> = public
        .diversions
        .iter()
        .map(|one| (&one.job, one))
        .collect();
    let all = public.closures.iter();
    all.map(|one| {
        let mut view = closure(prepared, one);
        view.diversion = round.get(&one.job).map(|round| diversion(prepared, round));
        view
    })
    .collect()
}

fn closure(prepared: &Prepared, closure: &Closure) -> ClosureView {
    let date = closure.start.date();
    let (from, to) = (
        words::minutes_of(closure.start, date),
        words::minutes_of(closure.end, date),
    );
    let hours = words::stands(closure);
    let street = closure.street.as_ref();
    let known = street.filter(|id| prepared.lines.knows(id));
    ClosureView {
        job: closure.job.to_string(),
        route: closure.worked.map_or_else(String::new, |(first, _)| {
            format!("{}@{}", closure.gang, first.date())
        }),
        gang: closure.gang.to_string(),
        date: date.to_string(),
        street: street.map(ToString::to_string),
        street_name: known.map(|id| prepared.street_names().word(id).to_owned()),
        kind: words::closure_key(closure.kind).to_owned(),
        proposed: closure.proposed,
        because: closure.because.clone(),
        from,
        hold_from: words::minutes_of(closure.hold_from, date),
        to,
        footprint: closure
            .footprint
            .iter()
            .copied()
            .map(words::place)
            .collect(),
        words: format!("{} {hours}", words::closed(closure)),
        hours,
        diversion: None,
    }
}

/// The stable name of a choice, as files have it.
fn key(choice: &impl Serialize) -> String {
    let value = serde_json::to_value(choice).unwrap_or_default();
    value.as_str().unwrap_or_default().to_owned()
}

fn arrangement(led: &Arrangement) -> ArrangementView {
    ArrangementView {
        control: key(&led.control),
        control_words: control_name(led.control).to_owned(),
        on_foot: key(&led.on_foot),
        on_foot_words: on_foot_name(led.on_foot).to_owned(),
        because: led.because.clone(),
        rulings: led.rulings.iter().map(ruling).collect(),
        widths: led.widths.iter().map(width).collect(),
        coned_m: led.coned_m,
        kit: led.kit.iter().map(kit).collect(),
        section: led.section.iter().map(band).collect(),
        caution: led.caution.clone(),
    }
}

fn ruling(ruling: &Ruling) -> RulingView {
    RulingView {
        control: control_name(ruling.control).to_owned(),
        verdict: key(&ruling.verdict),
        words: ruling.words.clone(),
        source: ruling.source.clone(),
    }
}

fn width(width: &WidthLeft) -> WidthView {
    WidthView {
        of: width.of.clone(),
        left_m: width.left_m,
        wanted_m: width.wanted_m,
        least_m: width.least_m,
        words: format!(
            "{:.2} m left, at least {:.2} m",
            width.left_m, width.least_m
        ),
        why: format!("{} ({})", width.because, width.source),
    }
}

fn kit(line: &KitLine) -> KitView {
    let diagram = line.diagram.as_ref();
    let diagram = diagram.map_or(String::new(), |number| format!(", diagram {number}"));
    KitView {
        item: line.item.clone(),
        name: format!("{}{diagram}", line.name),
        count: line.count,
        why: format!("{} ({})", line.formula, line.source),
    }
}

fn band(band: &Band) -> BandView {
    BandView {
        kind: key(&band.kind),
        from_m: band.from_m,
        to_m: band.to_m,
    }
}

fn diversion(prepared: &Prepared, round: &Diversion) -> DiversionView {
    let line = |way: &Option<WayRound>| {
        way.as_ref()
            .map_or_else(Vec::new, |way| words::steps(&way.line))
    };
    let name = |id| prepared.street_names().word(id).to_owned();
    let mut cut_off: Vec<String> = round.cut_off.iter().map(name).collect();
    cut_off.dedup();
    DiversionView {
        along: line(&round.along),
        against: line(&round.against),
        words: round.words.clone(),
        cut_off,
        addresses: round.cut_off_addresses.clone(),
    }
}

/// A clash with its day and minutes.
pub fn clash(clash: &Clash) -> ClashView {
    let date = clash.from.date();
    ClashView {
        kind: key(&clash.kind),
        job: clash.job.to_string(),
        other: clash.other.to_string(),
        date: date.to_string(),
        from: words::minutes_of(clash.from, date),
        to: words::minutes_of(clash.until, date),
        weight: key(&clash.weight),
        text: clash.text.clone(),
        remedy: clash.remedy.clone(),
    }
}

/// By when what has to be told, in the order of the closures.
pub fn deadlines(prepared: &Prepared, public: &Public) -> Vec<DeadlinesView> {
    let closures = public.closures.iter().map(|one| (&one.job, one));
    let closures: HashMap<&JobId, &Closure> = closures.collect();
    let all = public.notices.iter().filter_map(|told| {
        Some(DeadlinesView {
            job: told.job.to_string(),
            late: is_late(prepared, told, closures.get(&told.job)?),
            steps: told.steps.iter().map(deadline).collect(),
        })
    });
    all.collect()
}

fn deadline(told: &NoticeStep) -> DeadlineView {
    let NoticeStepView {
        what,
        by,
        by_words,
        missed,
        ..
    } = step(told);
    DeadlineView {
        what,
        by,
        by_words,
        missed,
    }
}

/// One planned job's closure in depth; none where the plan has no closure of it.
pub fn closure_detail(prepared: &Prepared, plan: &Plan, job: &JobId) -> Option<ClosureDetail> {
    // How one job's closure is led past depends on no other's.
    let public = closures::of_job(prepared, plan, job);
    let at = public.closures.iter().position(|one| one.job == *job)?;
    let told = public.notices.iter().find(|one| one.job == *job);
    Some(ClosureDetail {
        job: job.to_string(),
        arrangement: arrangement(public.arrangements.get(at)?),
        notice: told.map(|told| notice(prepared, told, &public.closures[at])),
    })
}

/// Whether works start before the earliest lawful day, with no permit stated.
fn is_late(prepared: &Prepared, told: &Notice, closure: &Closure) -> bool {
    let job = prepared.index_of(&told.job);
    let job = job.map(|at| &prepared.programme.jobs[at]);
    let has_permit = job.is_some_and(|job| job.permit.is_some());
    let earliest = told.earliest.filter(|_| !has_permit);
    let begins = closure.worked.map(|(first, _)| first.date());
    earliest.is_some_and(|earliest| begins.is_some_and(|day| day < earliest))
}

fn notice(prepared: &Prepared, told: &Notice, closure: &Closure) -> NoticeView {
    let category = key(&told.category);
    let earliest = told
        .earliest
        .map(|day| format!("; told today, not before {}", words::day(day)));
    NoticeView {
        job: told.job.to_string(),
        because: format!("{} {} ({})", told.because, told.edition, told.source),
        steps: told.steps.iter().map(step).collect(),
        earliest: told.earliest.map(|day| day.to_string()),
        words: words::sentence(&format!("{category} works{}", earliest.unwrap_or_default())),
        late: is_late(prepared, told, closure),
        longest: told.longest.clone(),
        category,
    }
}

fn step(step: &NoticeStep) -> NoticeStepView {
    NoticeStepView {
        what: step.what.clone(),
        by: step.by.format("%Y-%m-%dT%H:%M").to_string(),
        by_words: step.by.format("%a %-d %b %Y %H:%M").to_string(),
        why: format!("{} ({})", step.rule, step.source),
        missed: step.missed,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;
    use crate::view::DemoWeek;

    /// What is told of one closure that is asked for is what all of them together give for it.
    #[test]
    fn a_closure_by_itself_is_led_past_as_among_all_of_the_plan() {
        let opened = demo::open(DemoWeek::Full);
        let (prepared, plan) = (&opened.prepared, opened.plan.clone().unwrap());
        let public = closures::of_plan(prepared, &plan);
        assert!(public.closures.len() > 40, "{}", public.closures.len());
        let all = public.closures.iter().zip(&public.arrangements);
        for (closure, led) in all {
            let own = closure_detail(prepared, &plan, &closure.job).unwrap();
            assert_eq!(own.arrangement, arrangement(led), "{}", closure.job);
            let told = public.notices.iter().find(|one| one.job == closure.job);
            let told = told.map(|told| notice(prepared, told, closure));
            assert_eq!(own.notice, told, "{}", closure.job);
        }
        assert!(closure_detail(prepared, &plan, &JobId::new("none")).is_none());
    }
}
