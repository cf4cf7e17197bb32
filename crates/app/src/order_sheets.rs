//! Order sheets, one a supplier, filled from a programme and its plan.

use std::collections::{BTreeMap, HashSet};

use chrono::NaiveDate;
use gangday_calc::{order, section, section_svg};
use gangday_model::{LonLat, MaterialLine, Order, Plan, Route, TakeOff};
use gangday_reports::{OrderLine, OrderSheet, OrderSum, SheetSection};

use crate::opened::Opened;
use crate::orders::{amount, line_in_words};
use crate::prepared::Prepared;
use crate::sheet::cautions;
use crate::totals::bought_by_day;
use crate::{diary, words};

/// The scale that sections are drawn to.
const SCALE: u32 = 20;
/// How many of the usual chambers a sheet shows.
const SHOWN: usize = 4;
/// What stands in a supplier's place where the materials table names none.
const NOBODY: &str = "no supplier stated";

/// Names and lengths of a section's dimensions.
type Dimensions = Vec<(String, String)>;

/// One day's order and who it is for.
struct Day<'a> {
    date: NaiveDate,
    order: Order,
    users: Vec<User<'a>>,
}

/// One gang-day, with the jobs that are first visited on it.
struct User<'a> {
    route: &'a Route,
    jobs: Vec<(&'a TakeOff, HashSet<String>)>,
    measured: Order,
}

/// The name of a file and what is in it, for each supplier of a plan's week; what nobody is stated to
/// supply comes last, on one sheet.
#[must_use]
pub fn order_sheets(opened: &Opened, plan: &Plan) -> Vec<(String, String)> {
    let sheets = sheets(opened, plan).into_iter().enumerate();
    let file = |(at, sheet): (usize, OrderSheet)| {
        let named = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
        let supplier: String = sheet.supplier.chars().map(named).take(40).collect();
        let name = format!("order-{:02}-{supplier}.html", at + 1);
        (name, gangday_reports::order_sheet(&sheet))
    };
    sheets.map(file).collect()
}

fn sheets(opened: &Opened, plan: &Plan) -> Vec<OrderSheet> {
    let days = days(&opened.prepared, plan);
    let all = days.iter().flat_map(|day| &day.order.materials);
    let mut suppliers: Vec<Option<&str>> = all.filter_map(supplier).collect();
    // None comes before every name, and has its sheet last.
    suppliers.sort_unstable_by_key(|name| (name.is_none(), *name));
    suppliers.dedup();
    let issue = diary::label(&opened.diary, plan).words;
    let sheet = |of| of_supplier(opened, &days, of, &issue);
    suppliers.into_iter().map(sheet).collect()
}

/// Who supplies a line; none where it is not bought, as what is carried away.
fn supplier(line: &MaterialLine) -> Option<Option<&str>> {
    Some(line.supply.as_ref()?.supplier.as_deref())
}

fn days<'a>(prepared: &'a Prepared, plan: &'a Plan) -> Vec<Day<'a>> {
    let mut seen = HashSet::new();
    let mut day = |(order, date): (Order, NaiveDate)| {
        let routes = plan.routes.iter().filter(|route| route.date == date);
        Day {
            users: routes
                .map(|route| user(prepared, route, &mut seen))
                .collect(),
            date,
            order,
        }
    };
    let bought = bought_by_day(prepared, plan).into_iter();
    bought.map(&mut day).collect()
}

fn user<'a>(prepared: &'a Prepared, route: &'a Route, seen: &mut HashSet<&'a str>) -> User<'a> {
    let jobs = route.visits.iter().map(|visit| &visit.job);
    let jobs = jobs.filter(|job| seen.insert(job.as_str()));
    let taken: Vec<&TakeOff> = jobs
        .filter_map(|job| prepared.left_of(prepared.index_of(job)?))
        .collect();
    let takes = |taken: &TakeOff| {
        let own = order("", [taken], &prepared.materials).materials;
        own.into_iter().map(|line| line.material).collect()
    };
    User {
        measured: order("", taken.iter().copied(), &prepared.materials),
        jobs: taken.into_iter().map(|one| (one, takes(one))).collect(),
        route,
    }
}

fn of_supplier(opened: &Opened, days: &[Day<'_>], of: Option<&str>, issue: &str) -> OrderSheet {
    let prepared = &opened.prepared;
    let own = |line: &&MaterialLine| supplier(line) == Some(of);
    let mut sums: BTreeMap<&str, Vec<&MaterialLine>> = BTreeMap::new();
    for line in days
        .iter()
        .flat_map(|day| day.order.materials.iter().filter(own))
    {
        sums.entry(&line.material).or_default().push(line);
    }
    let lines = days.iter().flat_map(|day| {
        let own = day.order.materials.iter().filter(own);
        own.map(|line| line_of(prepared, day, line))
    });
    let first = days.first().map(|day| words::long_date(day.date));
    let last = days.last().map(|day| words::long_date(day.date));
    let (first, last) = (first.unwrap_or_default(), last.unwrap_or_default());
    OrderSheet {
        programme: prepared.programme.name.clone(),
        issue: issue.to_owned(),
        supplier: of.unwrap_or(NOBODY).to_owned(),
        days: if first == last {
            first
        } else {
            format!("{first} to {last}")
        },
        invented: opened.is_invented(),
        lines: lines.collect(),
        sections: sections(days, &sums),
        sums: sums.values().map(|lines| sum(lines)).collect(),
        cautions: told_below(prepared),
    }
}

/// Where gangs load, and what is always said.
fn told_below(prepared: &Prepared) -> Vec<String> {
    let cautions = cautions().into_iter();
    let cautions = cautions.map(|one| format!("{}: {}", one.title, one.text));
    depots(prepared).into_iter().chain(cautions).collect()
}

fn line_of(prepared: &Prepared, day: &Day<'_>, line: &MaterialLine) -> OrderLine {
    let told = line_in_words(line);
    let supply = line.supply.as_ref();
    let by = supply.map(|supply| supply.order_by);
    let late = prepared.programme.week.today > by;
    OrderLine {
        need_by: words::day(day.date),
        measured: format!("{} {}", told.measured, told.unit),
        ordered: format!("{} {}", told.ordered, told.unit),
        name: told.name,
        packs: told.packs,
        rounding: told.rounding,
        brought_forward: told.brought_forward,
        order_by: if late {
            format!("{}, which is past: ask the supplier", told.order_by)
        } else {
            told.order_by
        },
        lead: lead(supply.map_or(0, |supply| supply.lead_days)),
        price: price(supply.and_then(|supply| supply.price_pence)),
        used_by: used_by(prepared, day, line),
    }
}

fn lead(days: u32) -> String {
    match days as usize {
        0 => "same day".to_owned(),
        days => words::count(days, "working day", "working days"),
    }
}

fn price(pence: Option<i64>) -> String {
    pence.map_or_else(|| "none stated".to_owned(), words::money)
}

/// `Gang Oak 0.37 m³: J1, J2; Gang Ash 0.40 m³: J3`, each with what is measured for it.
fn used_by(prepared: &Prepared, day: &Day<'_>, line: &MaterialLine) -> String {
    let user = |user: &User<'_>| {
        let own = user.measured.materials.iter();
        let own = own
            .filter(|own| own.material == line.material)
            .map(|own| own.measured)
            .next()?;
        let jobs = user.jobs.iter();
        let jobs = jobs.filter(|(_, takes)| takes.contains(&line.material));
        let jobs: Vec<&str> = jobs.map(|(taken, _)| taken.job.as_str()).collect();
        let gang = prepared.programme.gang_name(&user.route.gang);
        let (own, unit) = (words::rounded(own, &line.unit), words::unit(&line.unit));
        let jobs = jobs.join(", ");
        Some(format!("{gang}, {own} {unit}: {jobs}"))
    };
    let users: Vec<String> = day.users.iter().filter_map(user).collect();
    users.join("; ")
}

/// Which gangs load where, if not all load at one place.
fn depots(prepared: &Prepared) -> Option<String> {
    let mut places: Vec<(LonLat, Vec<&str>)> = Vec::new();
    for gang in &prepared.programme.gangs {
        match places.iter_mut().find(|(at, _)| *at == gang.depot) {
            Some((_, gangs)) => gangs.push(&gang.name),
            None => places.push((gang.depot, vec![&gang.name])),
        }
    }
    let place = |(at, gangs): &(LonLat, Vec<&str>)| {
        let (lon, lat) = (at.lon(), at.lat());
        format!(
            "{} at {lat:.5}, {lon:.5} (latitude, longitude)",
            gangs.join(", ")
        )
    };
    let told: Vec<String> = places.iter().map(place).collect();
    (told.len() > 1).then(|| format!("Gangs load at several depots: {}.", told.join("; ")))
}

fn sum(lines: &[&MaterialLine]) -> OrderSum {
    let (Some(first), Some(last)) = (lines.first(), lines.last()) else {
        return OrderSum::default();
    };
    let unit = &first.unit;
    let told = |amount: f64| format!("{} {}", words::rounded(amount, unit), words::unit(unit));
    let prices = lines.iter().map(|line| line.supply.as_ref()?.price_pence);
    OrderSum {
        name: first.name.clone(),
        measured: told(lines.iter().map(|line| line.measured).sum()),
        ordered: told(lines.iter().map(|line| line.ordered).sum()),
        left_over: amount(last.left_over, unit),
        price: price(prices.sum()),
    }
}

/// The chambers that a sheet's materials are for: each shape once, the commonest first.
fn sections(days: &[Day<'_>], sums: &BTreeMap<&str, Vec<&MaterialLine>>) -> Vec<SheetSection> {
    let users = days.iter().flat_map(|day| &day.users);
    let jobs = users.flat_map(|user| &user.jobs);
    let mut shapes: Vec<(Dimensions, Vec<&TakeOff>)> = Vec::new();
    let mut found = std::collections::HashMap::new();
    for (taken, takes) in jobs {
        if !takes.iter().any(|own| sums.contains_key(own.as_str())) {
            continue;
        }
        let drawn = section(taken);
        let dimensions: Dimensions = drawn
            .across
            .iter()
            .chain(&drawn.down)
            .map(|one| (one.name.clone(), one.mm.to_string()))
            .collect();
        let at = *found.entry(dimensions.clone()).or_insert(shapes.len());
        match shapes.get_mut(at) {
            Some((_, same)) => same.push(taken),
            None => shapes.push((dimensions, vec![taken])),
        }
    }
    shapes.sort_by_key(|(_, same)| std::cmp::Reverse(same.len()));
    let shown = shapes.into_iter().take(SHOWN);
    shown
        .map(|(dimensions, same)| SheetSection {
            title: format!(
                "{} such as {}, 1 : {SCALE}",
                words::count(same.len(), "chamber", "chambers"),
                same[0].job
            ),
            svg: section_svg(&section(same[0]), SCALE),
            dimensions,
        })
        .collect()
}

#[cfg(test)]
mod tests;
