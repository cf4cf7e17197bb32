//! Solomon's layout: a line of fleet size and capacity, then one of seven numbers for the depot and
//! each customer.

use gangday_model::Finding;

use super::numbers::{Line, count, fault, lines};
use super::{RoutingInstance, RoutingStop};

const ROW: &str = "A customer's line is number, x, y, demand, ready time, due date, service time: seven whole numbers.";

pub(super) fn read(text: &str) -> Result<RoutingInstance, Vec<Finding>> {
    let mut faults = Vec::new();
    let mut fleet = None;
    let mut stops: Vec<RoutingStop> = Vec::new();
    for line in lines(text).skip(1) {
        if fleet.is_none() {
            fleet = line.whole::<2>().map(|[vehicles, capacity]| {
                [vehicles, capacity].map(|number| count(line, number, &mut faults))
            });
        } else if let Some(row) = line.whole::<7>() {
            stops.push(stop(line, row, stops.len(), &mut faults));
        } else if line.text.starts_with(|first: char| first.is_ascii_digit()) {
            faults.push(line.fault("This line is not seven whole numbers.", ROW));
        }
    }
    let Some([vehicles, capacity]) = fleet else {
        let remedy = "Below VEHICLE, state the number of vehicles and their capacity.";
        return Err(vec![fault(
            "There is no line of fleet size and capacity.",
            remedy,
        )]);
    };
    if stops.is_empty() {
        faults.push(fault("There is no depot.", ROW));
    }
    let instance = RoutingInstance {
        vehicles: Some(vehicles),
        capacity,
        stops,
        timed: true,
    };
    if faults.is_empty() {
        Ok(instance)
    } else {
        Err(faults)
    }
}

fn stop(
    line: Line<'_>,
    row: [i64; 7],
    due_number: usize,
    faults: &mut Vec<Finding>,
) -> RoutingStop {
    let [number, x, y, demand, ready, due, service] = row;
    if usize::try_from(number) != Ok(due_number) {
        faults.push(line.fault(
            format!("This is customer {number}, and {due_number} comes next."),
            "Number the depot 0 and the customers 1, 2, 3 in order.",
        ));
    }
    if due < ready {
        faults.push(line.fault(
            format!("The due date {due} is before the ready time {ready}."),
            "State the earliest and then the latest start.",
        ));
    }
    RoutingStop {
        x,
        y,
        demand: count(line, demand, faults),
        ready: count(line, ready, faults),
        due: count(line, due, faults),
        service: count(line, service, faults),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Made up: a depot and two customers.
    const TINY: &str = "MADE-UP\r\n\r\nVEHICLE\r\nNUMBER     CAPACITY\r\n  3         20\r\n\r\nCUSTOMER\r\nCUST NO.   XCOORD.   YCOORD.\r\n \r\n 0 10 10 0 0 200 0\r\n 1 13 14 5 20 60 10\r\n 2.0 4 2 9 0 150 10\r\n";

    #[test]
    fn the_depot_and_all_customers_are_read() {
        let instance = read(TINY).unwrap();
        assert_eq!((instance.vehicles, instance.capacity), (Some(3), 20));
        let windows: Vec<(u32, u32)> = instance.stops.iter().map(|s| (s.ready, s.due)).collect();
        assert_eq!(windows, [(0, 200), (20, 60), (0, 150)]);
        assert_eq!((instance.stops[2].x, instance.stops[2].demand), (4, 9));
        assert!(instance.timed);
    }

    #[test]
    fn every_fault_is_told_with_its_line() {
        let text = TINY
            .replace("1 13 14 5 20 60 10", "1 13 14 5 70 60 10")
            .replace("2.0 4 2 9 0 150 10", "5 4 2 -9 0 150");
        let lines: Vec<Option<u32>> = read(&text.replace(" 150", " 150 10"))
            .unwrap_err()
            .iter()
            .map(|fault| fault.place.line)
            .collect();
        assert_eq!(lines, [Some(11), Some(12), Some(12)]);
        assert_eq!(read(&text).unwrap_err()[1].place.line, Some(12));
        assert_eq!(read("NAME\n").unwrap_err().len(), 1);
    }
}
