//! CVRPLIB's layout: `KEY : value` lines, then sections of coordinates, demands and the depot.

use gangday_model::Finding;

use super::numbers::{Line, count, fault, lines};
use super::{RoutingInstance, RoutingStop};

const SECTIONS: &str =
    "NODE_COORD_SECTION is number, x, y; DEMAND_SECTION number, demand; all whole numbers.";

pub(super) fn read(text: &str) -> Result<RoutingInstance, Vec<Finding>> {
    let mut reader = Reader::default();
    let mut section = "";
    for line in lines(text) {
        if line.text.contains(':') {
            reader.stated(line);
        } else if line
            .text
            .starts_with(|first: char| first.is_ascii_uppercase())
        {
            section = line.text;
            reader.known(line);
        } else {
            reader.row(section, line);
        }
    }
    reader.finish()
}

#[derive(Default)]
struct Reader {
    capacity: Option<u32>,
    stops: Vec<RoutingStop>,
    demands: usize,
    faults: Vec<Finding>,
}

impl Reader {
    fn stated(&mut self, line: Line<'_>) {
        let (key, value) = line.text.split_once(':').unwrap_or((line.text, ""));
        let (key, value) = (key.trim(), value.trim());
        match key {
            "CAPACITY" => {
                let number = Line {
                    text: value,
                    ..line
                };
                if let Some([capacity]) = number.whole() {
                    self.capacity = Some(count(line, capacity, &mut self.faults));
                }
            }
            "TYPE" if value != "CVRP" => self.unfit(line, "TYPE", value, "CVRP"),
            "EDGE_WEIGHT_TYPE" if value != "EUC_2D" => {
                self.unfit(line, "EDGE_WEIGHT_TYPE", value, "EUC_2D");
            }
            "DISTANCE" => self.unfit(line, "DISTANCE", value, "instances without it"),
            _ => {}
        }
    }

    fn unfit(&mut self, line: Line<'_>, key: &str, value: &str, fit: &str) {
        let remedy = format!("Only {fit} can be solved.");
        self.faults
            .push(line.fault(format!("{key} is {value}."), &remedy));
    }

    fn known(&mut self, line: Line<'_>) {
        let known = [
            "NODE_COORD_SECTION",
            "DEMAND_SECTION",
            "DEPOT_SECTION",
            "EOF",
        ];
        if !known.contains(&line.text) {
            let text = format!("{} is a section that is not known.", line.text);
            self.faults.push(line.fault(text, SECTIONS));
        }
    }

    fn row(&mut self, section: &str, line: Line<'_>) {
        match section {
            "NODE_COORD_SECTION" => match line.whole() {
                Some([number, x, y]) if number == self.stops.len() as i64 + 1 => {
                    self.stops.push(RoutingStop {
                        x,
                        y,
                        ..RoutingStop::default()
                    });
                }
                _ => self.misfit(line),
            },
            "DEMAND_SECTION" => match line.whole() {
                Some([number, demand]) if number == self.demands as i64 + 1 => {
                    let demand = count(line, demand, &mut self.faults);
                    if let Some(stop) = self.stops.get_mut(self.demands) {
                        stop.demand = demand;
                    }
                    self.demands += 1;
                }
                _ => self.misfit(line),
            },
            "DEPOT_SECTION" if !matches!(line.text, "1" | "-1") => {
                let remedy = "Make node 1 the only depot.";
                self.faults
                    .push(line.fault("The depot is not node 1.", remedy));
            }
            _ => {}
        }
    }

    fn misfit(&mut self, line: Line<'_>) {
        let text = "This line is not the next row of its section.";
        self.faults.push(line.fault(text, SECTIONS));
    }

    fn finish(mut self) -> Result<RoutingInstance, Vec<Finding>> {
        if self.stops.is_empty() || self.stops.len() != self.demands {
            let text = format!("{} places, and {} demands.", self.stops.len(), self.demands);
            self.faults.push(fault(text, SECTIONS));
        }
        if self.capacity.is_none() {
            let remedy = "State it as CAPACITY : 100.";
            self.faults.push(fault("There is no capacity.", remedy));
        }
        match self.capacity {
            Some(capacity) if self.faults.is_empty() => Ok(RoutingInstance {
                vehicles: None,
                capacity,
                stops: self.stops,
                timed: false,
            }),
            _ => Err(self.faults),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Made up: a depot and two customers.
    const TINY: &str = "NAME : \tmade-up\t\r\nCOMMENT : \t\"by hand: two\"\r\nTYPE : \tCVRP\r\nDIMENSION : 3\r\nEDGE_WEIGHT_TYPE : EUC_2D\r\nCAPACITY : \t12\t\r\nNODE_COORD_SECTION\t\t\r\n1\t0\t0\r\n2\t3\t4\r\n3\t6\t8\r\nDEMAND_SECTION\r\n1\t0\t\r\n2\t5\r\n3\t7\r\nDEPOT_SECTION\r\n\t1\r\n\t-1\r\nEOF\r\n";

    #[test]
    fn places_demands_and_capacity_are_read() {
        let instance = read(TINY).unwrap();
        assert_eq!((instance.vehicles, instance.capacity), (None, 12));
        let stops: Vec<(i64, i64, u32)> = instance
            .stops
            .iter()
            .map(|s| (s.x, s.y, s.demand))
            .collect();
        assert_eq!(stops, [(0, 0, 0), (3, 4, 5), (6, 8, 7)]);
        assert!(!instance.timed);
    }

    #[test]
    fn what_cannot_be_solved_is_told_with_its_line() {
        let line = |from: &str, to: &str| {
            let faults = read(&TINY.replace(from, to)).unwrap_err();
            faults[0].place.line
        };
        assert_eq!(line("EUC_2D", "EXPLICIT"), Some(5));
        assert_eq!(line("\t1\r", "\t2\r"), Some(16));
        assert_eq!(line("2\t3\t4", "2\t3\t4.5"), Some(9));
        assert_eq!(line("3\t7", "3\t-7"), Some(14));
        assert_eq!(line("CAPACITY", "CAPACITIES"), None);
    }
}
