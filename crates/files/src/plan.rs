//! A plan as its JSON file, and back, whoever wrote it.

use std::fmt::Display;

use gangday_model::{Finding, Halt, Plan, Route, Unplanned, Visit};
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use crate::codes;
use crate::lay_out;
use crate::tree;
use crate::words::describe;

/// The plan's file: one route, one unplanned job and one finding on each line.
#[must_use]
pub fn write_plan(plan: &Plan) -> Vec<u8> {
    lay_out::straight(plan, &["routes", "unplanned", "unfinished", "findings"])
}

/// A plan from its file; members that Gangday does not know are passed over.
///
/// Times may leave the seconds out, as in `2027-03-01T07:30`.
///
/// # Errors
/// Every fault at once, each with the route and visit it is in: the file is not JSON, not a plan,
/// or a route, visit or unplanned job is not what belongs there.
pub fn read_plan(bytes: &[u8]) -> Result<Plan, Vec<Finding>> {
    let (value, _) = tree::tree(bytes).map_err(|finding| vec![*finding])?;
    let mut read = Reading::default();
    let plan = read.plan(value);
    if read.faults.is_empty() {
        Ok(plan)
    } else {
        Err(read.faults)
    }
}

#[derive(Default)]
struct Reading {
    faults: Vec<Finding>,
}

impl Reading {
    fn plan(&mut self, value: Value) -> Plan {
        let Value::Object(mut members) = value else {
            self.fault(
                "plan",
                None,
                &format!("it is {}, not an object", describe(&value)),
            );
            return Plan::default();
        };
        if !members.contains_key("routes") {
            self.fault("plan", Some("routes"), "it has no `routes`");
        }
        let routes = self.list(&mut members, "routes");
        let unplanned = self.list(&mut members, "unplanned");
        let unfinished = self.list(&mut members, "unfinished");
        let findings = self.list(&mut members, "findings");
        let changes = self.list(&mut members, "changes");
        Plan {
            routes: number(routes)
                .filter_map(|(n, route)| self.route(n, route))
                .collect(),
            unplanned: number(unplanned)
                .filter_map(|(n, job)| self.part::<Unplanned>(&format!("unplanned job {n}"), job))
                .collect(),
            unfinished: number(unfinished)
                .filter_map(|(n, job)| self.part::<Unplanned>(&format!("unfinished job {n}"), job))
                .collect(),
            costs: members
                .shift_remove("costs")
                .and_then(|costs| self.part("costs", costs))
                .unwrap_or_default(),
            findings: number(findings)
                .filter_map(|(n, found)| self.part(&format!("finding {n}"), found))
                .collect(),
            bound: members
                .shift_remove("bound")
                .and_then(|bound| self.part("bound", bound)),
            changes: number(changes)
                .filter_map(|(n, change)| self.part(&format!("change {n}"), change))
                .collect(),
            attribution: members
                .shift_remove("attribution")
                .and_then(|named| self.part("attribution", named)),
        }
    }

    fn route(&mut self, n: usize, mut value: Value) -> Option<Route> {
        let label = format!("route {n}");
        let Some(members) = value.as_object_mut() else {
            self.fault(
                &label,
                None,
                &format!("it is {}, not an object", describe(&value)),
            );
            return None;
        };
        let visits = self.list(members, "visits");
        members.insert("visits".to_owned(), Value::Array(Vec::new()));
        let visits = number(visits)
            .filter_map(|(m, visit)| self.part::<Visit>(&format!("{label}, visit {m}"), visit))
            .collect();
        let halts = self.list(members, "halts");
        let halts = number(halts)
            .filter_map(|(m, halt)| self.part::<Halt>(&format!("{label}, halt {m}"), halt))
            .collect();
        let route = self.part::<Route>(&label, value)?;
        Some(Route {
            visits,
            halts,
            ..route
        })
    }

    fn list(&mut self, members: &mut Map<String, Value>, name: &str) -> Vec<Value> {
        match members.shift_remove(name) {
            Some(Value::Array(items)) => items,
            None | Some(Value::Null) => Vec::new(),
            Some(other) => {
                self.fault(
                    "plan",
                    Some(name),
                    &format!("`{name}` is {}, not a list", describe(&other)),
                );
                Vec::new()
            }
        }
    }

    fn part<T: DeserializeOwned>(&mut self, label: &str, mut value: Value) -> Option<T> {
        fill_seconds(&mut value);
        serde_json::from_value(value)
            .map_err(|error| self.fault(label, None, &reason(&error)))
            .ok()
    }

    fn fault(&mut self, label: &str, property: Option<&str>, reason: &str) {
        let text = format!("The plan can't be read here: {reason}.");
        let remedy = "Correct it, or plan again.";
        let fault = Finding::fault(codes::PLAN, text, remedy).at(label);
        self.faults.push(match property {
            Some(property) => fault.of(property),
            None => fault,
        });
    }
}

fn number(items: Vec<Value>) -> impl Iterator<Item = (usize, Value)> {
    items
        .into_iter()
        .enumerate()
        .map(|(index, item)| (index + 1, item))
}

fn reason(error: &impl Display) -> String {
    error.to_string().chars().take(160).collect()
}

/// ISO 8601 lets a time end with its minutes.
fn fill_seconds(value: &mut Value) {
    let Some(members) = value.as_object_mut() else {
        return;
    };
    for name in ["arrive", "start", "finish", "depart", "return", "leave"] {
        if let Some(Value::String(time)) = members.get_mut(name)
            && time.len() == 16
        {
            time.push_str(":00");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAN: &str = r#"{"routes": [{"gang": "G1", "date": "2027-03-01",
        "depart": "2027-03-01T07:30", "return": "2027-03-01T12:00:00",
        "visits": [{"job": "J1", "stage": "dig", "arrive": "2027-03-01T08:00",
                    "start": "2027-03-01T08:00", "finish": "2027-03-01T09:15"}]}],
        "unplanned": [{"job": "J2", "reasons": [{"code": "U-DATE", "text": "Too late."}]}]}"#;

    #[test]
    fn a_plan_comes_back_as_it_was_written() {
        let plan = read_plan(PLAN.as_bytes()).unwrap();
        assert_eq!(
            plan.routes[0].visits[0].finish.to_string(),
            "2027-03-01 09:15:00"
        );
        let bytes = write_plan(&plan);
        assert_eq!(read_plan(&bytes), Ok(plan.clone()));
        assert_eq!(bytes, write_plan(&plan));
    }

    #[test]
    fn every_broken_visit_is_named_at_once() {
        let broken = PLAN
            .replace("\"stage\": \"dig\"", "\"stage\": \"dug\"")
            .replace("\"job\": \"J2\"", "\"jib\": \"J2\"")
            .replace("\"date\": \"2027-03-01\"", "\"date\": \"Monday\"");
        let faults = read_plan(broken.as_bytes()).unwrap_err();
        let places: Vec<_> = faults
            .iter()
            .map(|fault| fault.place.feature.as_deref().unwrap())
            .collect();
        assert_eq!(places, ["route 1, visit 1", "route 1", "unplanned job 1"]);
        assert!(faults[0].text.contains("dug"));
    }

    #[test]
    fn what_is_no_plan_is_refused() {
        assert_eq!(read_plan(b"[]").unwrap_err()[0].code, codes::PLAN);
        assert_eq!(
            read_plan(b"{}").unwrap_err()[0].place.property.as_deref(),
            Some("routes")
        );
        assert_eq!(
            read_plan(b"{\"routes\": [").unwrap_err()[0].code,
            codes::JSON
        );
    }
}
