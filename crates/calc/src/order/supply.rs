//! Who supplies an order, by when it must go out and what it costs.

use chrono::NaiveDate;
use gangday_model::{Finding, MaterialLine, Order, ParameterTable, Supply, Week};

/// The last working day to order on, so many working days before one.
///
/// Weekends and the week's holidays don't count. With no lead time it is the day itself, or the
/// working day before it.
///
/// ```
/// use chrono::NaiveDate;
/// use gangday_calc::latest_order_day;
/// # let day = |d| NaiveDate::from_ymd_opt(2027, 3, d).unwrap();
/// # let week = gangday_model::Week { nation: Default::default(), first_day: day(29), days: 5,
/// #     holidays: vec![day(26), day(29)], temperature_c: 10.0, today: None, plan_from: None, rates: Vec::new(),
/// #     nights: 0, over_weekend: false, extra: Default::default() };
/// // Good Friday 26 and Easter Monday 29 March 2027 are holidays: one working day before
/// // Tuesday 30 March is Thursday 25.
/// assert_eq!(latest_order_day(day(30), 1, &week), day(25));
/// ```
#[must_use]
pub fn latest_order_day(needed: NaiveDate, lead_days: u32, week: &Week) -> NaiveDate {
    let mut day = needed;
    let mut left = lead_days.min(LONGEST);
    while left > 0 || !week.is_working_day(day) {
        let Some(before) = day.pred_opt() else { break };
        day = before;
        left = left.saturating_sub(u32::from(week.is_working_day(day)));
    }
    day
}

/// Longer than any supplier takes: a slip, common sense.
const LONGEST: u32 = 1_000;

/// The order with supplier, lead time, last day to order and price on every line that is bought,
/// and a warning for each line that is already too late on the week's `today`.
///
/// # Source
/// Rows `lead.*` and `price.*` of the materials table; a row `lead.*` may name its `supplier`.
#[must_use]
pub fn supplied(
    mut order: Order,
    needed: NaiveDate,
    week: &Week,
    materials: &ParameterTable,
) -> (Order, Vec<Finding>) {
    let mut late = Vec::new();
    for line in &mut order.materials {
        let Some(supply) = supply(line, needed, week, materials) else {
            continue;
        };
        if week.today.is_some_and(|today| today > supply.order_by) {
            late.push(too_late(&order.key, line, &supply));
        }
        line.supply = Some(supply);
    }
    (order, late)
}

fn supply(
    line: &MaterialLine,
    needed: NaiveDate,
    week: &Week,
    materials: &ParameterTable,
) -> Option<Supply> {
    let what = row_of(line);
    let lead = materials.get(&format!("lead.{what}"))?;
    let lead_days = lead.value.clamp(0.0, f64::from(LONGEST)).ceil() as u32;
    let supplier = lead.extra.get("supplier").and_then(|name| name.as_str());
    let price = materials.get(&format!("price.{what}"));
    let price = price.filter(|row| row.value > 0.0 && row.value.is_finite());
    Some(Supply {
        supplier: supplier.map(str::to_owned),
        lead_days,
        order_by: latest_order_day(needed, lead_days, week),
        price_pence: price.map(|row| (row.value * bought(line)).round() as i64),
    })
}

/// How rows of the table spell what is bought; all hot mixtures share theirs.
fn row_of(line: &MaterialLine) -> &str {
    if line.material.starts_with("surfacing.") {
        "mixture"
    } else {
        line.material.as_str()
    }
}

/// Bags, units and tins by number, what is weighed or counted by its unit.
fn bought(line: &MaterialLine) -> f64 {
    match &line.packs {
        Some(packs) if packs.name != "load" => f64::from(packs.count),
        _ => line.ordered,
    }
}

fn too_late(order: &str, line: &MaterialLine, supply: &Supply) -> Finding {
    let (name, by, days) = (&line.name, supply.order_by, supply.lead_days);
    Finding::warning(
        "C-ORDER-LATE",
        format!("{name} for {order} should have been ordered by {by}, {days} working days ahead"),
        "Ask the supplier, choose another, or move the work.",
    )
    .in_file("materials.json")
    .at(format!("lead.{}", row_of(line)))
}
