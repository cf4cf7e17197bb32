//! A gang's own recorded outputs in place of the usual ones.

use gangday_model::{Finding, Gang, Parameter, ParameterTable};

use crate::defaults::faults_of;

/// What a gang may record of itself: what it gets done, its machines, and what they shake.
const OWN: [&str; 6] = [
    "output.",
    "stage.",
    "lift.use.",
    "lift.walking_speed",
    "mixer.",
    "vibration.",
];

/// What the law says is nobody's own.
const LAW: [&str; 2] = ["vibration.action_value", "vibration.limit_value"];

/// The method as this gang works: its own `outputs` laid over the table, row by row.
///
/// A gang states them as a list of rows with key, value, unit, source and date, like a table's.
///
/// # Errors
/// Rows that can't be made out, that no gang can record, or in another unit than the table's.
pub fn as_recorded(method: &ParameterTable, gang: &Gang) -> Result<ParameterTable, Vec<Finding>> {
    let Some(stated) = gang.extra.get("outputs") else {
        return Ok(method.clone());
    };
    let rows: Vec<Parameter> = match serde_json::from_value(stated.clone()) {
        Ok(rows) => rows,
        Err(why) => return Err(vec![unreadable(&why.to_string()).at(gang.id.as_str())]),
    };
    let faults: Vec<Finding> = rows
        .iter()
        .flat_map(|row| {
            let shipped = method.get(&row.key);
            let own = OWN.iter().any(|prefix| row.key.starts_with(prefix))
                && !LAW.contains(&row.key.as_str());
            match shipped.filter(|_| own) {
                Some(shipped) => faults_of(row, &shipped.unit),
                None => vec![not_its_own(&row.key)],
            }
        })
        .map(|fault| {
            fault
                .in_file("gangs.json")
                .at(gang.id.as_str())
                .of("outputs")
        })
        .collect();
    if faults.is_empty() {
        Ok(method.overlaid(&ParameterTable::new(rows)))
    } else {
        Err(faults)
    }
}

fn unreadable(why: &str) -> Finding {
    Finding::fault(
        "C-OUTPUTS",
        format!("the gang's outputs can't be made out: {why}"),
        "State a list of rows with key, value, unit, source and date.",
    )
    .in_file("gangs.json")
    .of("outputs")
}

fn not_its_own(key: &str) -> Finding {
    Finding::fault(
        "C-OUTPUTS",
        format!("{key} is no output that a gang can record"),
        format!("Use a row of the method table under {}.", OWN.join(", ")),
    )
}
