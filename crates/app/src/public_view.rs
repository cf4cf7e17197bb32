//! What the public meets, ready to show.

use std::collections::HashMap;

use gangday_model::{
    Arrangement, Band, Clash, Closure, Diversion, JobId, KitLine, Notice, NoticeStep, Ruling,
    WayRound, WidthLeft,
};
use gangday_traffic::{control_name, on_foot_name};
use serde::Serialize;

use crate::closures::Public;
use crate::prepared::Prepared;
use crate::view::{
    ArrangementView, BandView, ClashView, ClosureView, DiversionView, KitView, NoticeStepView,
    NoticeView, RulingView, WidthView,
};
use crate::words;

/// The closures with their arrangements and ways round.
pub fn closures(prepared: &Prepared, public: &Public) -> Vec<ClosureView> {
    let round: HashMap<&JobId, &Diversion> = public
        .diversions
        .iter()
        .map(|one| (&one.job, one))
        .collect();
    let all = public.closures.iter().zip(&public.arrangements);
    all.map(|(one, led)| {
        let mut view = closure(prepared, one);
        view.arrangement = Some(arrangement(led));
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
    let street = closure
        .street
        .as_ref()
        .and_then(|id| prepared.programme.street(id));
    ClosureView {
        job: closure.job.to_string(),
        route: format!("{}@{date}", closure.gang),
        gang: closure.gang.to_string(),
        date: date.to_string(),
        street: closure.street.as_ref().map(ToString::to_string),
        street_name: street.map(|street| prepared.street_names().word(&street.id).to_owned()),
        kind: words::closure_key(closure.kind).to_owned(),
        proposed: closure.proposed,
        because: closure.because.clone(),
        from,
        hold_from: words::minutes_of(closure.hold_from, date),
        to,
        footprint: closure.footprint.iter().map(|at| (*at).into()).collect(),
        words: format!(
            "{} {}–{}",
            words::closed(closure),
            words::clock(from),
            words::clock(to)
        ),
        arrangement: None,
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
        let way = way.iter().flat_map(|way| &way.line);
        way.map(|at| (*at).into()).collect()
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

/// What has to be told, in the order of the closures.
pub fn notices(prepared: &Prepared, public: &Public) -> Vec<NoticeView> {
    let all = public.notices.iter().filter_map(|told| {
        let closure = public.closures.iter().find(|one| one.job == told.job)?;
        Some(notice(prepared, told, closure))
    });
    all.collect()
}

fn notice(prepared: &Prepared, told: &Notice, closure: &Closure) -> NoticeView {
    let job = prepared.programme.job(&told.job);
    let has_permit = job.is_some_and(|job| job.permit.is_some());
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
        late: !has_permit
            && told
                .earliest
                .is_some_and(|earliest| closure.start.date() < earliest),
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
