//! A linear program with few rows and ever more columns: the cheapest mixture of columns that comes to
//! each row's need, by the revised simplex method with the inverse of the basis kept whole.
//!
//! Columns are added to a program that is solved, and it goes on from where it is. It works in floating
//! point and may stop short of the best: its prices only propose.
//!
//! # Source
//! The revised simplex method: Dantzig and Thapa, "Linear Programming 1", 1997. Needs are moved by a very
//! little each, so that no step is for nothing: Charnes, "Optimality and Degeneracy in Linear
//! Programming", Econometrica 20(2), 1952.

use smallvec::SmallVec;

/// Less than this is nothing: of a price, and of a column in a step.
const NOTHING: f64 = 1e-7;
const PIVOT: f64 = 1e-8;

/// After so many steps the inverse is worked out anew.
const ANEW: usize = 120;

/// Needs are moved by up to so much.
const MOVED: f64 = 1e-5;

/// So many numbers worked out count as one step of effort.
const NUMBERS: usize = 512;

/// What a column takes of a row.
pub(super) type Entries = SmallVec<[(u32, f64); 8]>;

/// The program and its basis.
pub(super) struct Simplex {
    rows: usize,
    needs: Vec<f64>,
    costs: Vec<f64>,
    columns: Vec<Entries>,
    /// For each row the column that is its own in the basis, and how much of it is taken.
    basis: Vec<usize>,
    taken: Vec<f64>,
    /// Row by row.
    inverse: Vec<f64>,
    prices: Vec<f64>,
    since: usize,
}

impl Simplex {
    /// Begins with a basis of one column for each row, which alone comes to one in it.
    pub(super) fn new(needs: &[f64], costs: &[f64]) -> Self {
        let rows = needs.len();
        let mut inverse = vec![0.0; rows * rows];
        (0..rows).for_each(|row| inverse[row * rows + row] = 1.0);
        let moved = (0..rows).map(|row| MOVED * ((row * 7_919 + 13) % 1_009) as f64 / 1_009.0);
        let needs: Vec<f64> = needs
            .iter()
            .zip(moved)
            .map(|(need, by)| need + by)
            .collect();
        let own = (0..rows as u32).map(|row| Entries::from_slice(&[(row, 1.0)]));
        Self {
            rows,
            taken: needs.clone(),
            needs,
            costs: costs.to_vec(),
            columns: own.collect(),
            basis: (0..rows).collect(),
            inverse,
            prices: costs.to_vec(),
            since: 0,
        }
    }

    /// Adds a column, and says its number.
    pub(super) fn add(&mut self, cost: f64, entries: Entries) -> usize {
        self.costs.push(cost);
        self.columns.push(entries);
        self.columns.len() - 1
    }

    /// What each row's need is worth.
    pub(super) fn prices(&self) -> &[f64] {
        &self.prices
    }

    /// What the mixture costs.
    pub(super) fn value(&self) -> f64 {
        let basis = self.basis.iter().zip(&self.taken);
        basis
            .map(|(&column, taken)| self.costs[column] * taken)
            .sum()
    }

    /// How much of each column the mixture takes.
    pub(super) fn parts(&self) -> Vec<f64> {
        let mut parts = vec![0.0; self.columns.len()];
        for (&column, &taken) in self.basis.iter().zip(&self.taken) {
            parts[column] = taken;
        }
        parts
    }

    /// Goes on to the cheapest mixture; nothing where `spend` ends it or numbers fail.
    pub(super) fn solve(&mut self, spend: &mut dyn FnMut(usize) -> Option<()>) -> Option<()> {
        let entries: usize = self.columns.iter().map(SmallVec::len).sum();
        let each = (entries + 2 * self.rows * self.rows) / NUMBERS + 1;
        let most = 50 * (self.rows + 100);
        for _ in 0..most {
            spend(each)?;
            let Some(column) = self.cheapest() else {
                return Some(());
            };
            self.enter(column)?;
            self.since += 1;
            if self.since >= ANEW {
                spend(self.rows * self.rows * self.rows / NUMBERS)?;
                self.anew()?;
            }
        }
        Some(())
    }

    /// The column that is cheapest against the prices, if one is cheaper than they are.
    fn cheapest(&self) -> Option<usize> {
        let mut best = (-NOTHING, None);
        for (at, entries) in self.columns.iter().enumerate() {
            let worth: f64 = entries
                .iter()
                .map(|&(row, part)| self.prices[row as usize] * part)
                .sum();
            let cost = self.costs[at];
            let over = (cost - worth) / (1.0 + cost.abs());
            if over < best.0 {
                best = (over, Some(at));
            }
        }
        best.1
    }

    /// Takes a column into the basis, for the one that it uses up first.
    fn enter(&mut self, column: usize) -> Option<()> {
        let rows = self.rows;
        let mut step = vec![0.0; rows];
        for &(row, part) in &self.columns[column] {
            for (at, own) in step.iter_mut().enumerate() {
                *own += self.inverse[at * rows + row as usize] * part;
            }
        }
        let mut leaving: Option<(f64, usize)> = None;
        for (row, &own) in step.iter().enumerate().filter(|(_, own)| **own > PIVOT) {
            let most = self.taken[row].max(0.0) / own;
            let better = leaving.is_none_or(|(least, at)| {
                most < least - 1e-12 || (most < least + 1e-12 && own > step[at])
            });
            if better {
                leaving = Some((most, row));
            }
        }
        let (most, row) = leaving?;
        for (taken, own) in self.taken.iter_mut().zip(&step) {
            *taken -= most * own;
        }
        let worth: f64 = self.columns[column]
            .iter()
            .map(|&(row, part)| self.prices[row as usize] * part)
            .sum();
        let over = self.costs[column] - worth;
        (self.taken[row], self.basis[row]) = (most, column);
        self.turn(row, &step);
        let own = &self.inverse[row * rows..(row + 1) * rows];
        for (price, part) in self.prices.iter_mut().zip(own) {
            *price += over * part;
        }
        Some(())
    }

    /// The inverse with another column for this row.
    fn turn(&mut self, row: usize, step: &[f64]) {
        let rows = self.rows;
        let own: Vec<f64> = self.inverse[row * rows..(row + 1) * rows]
            .iter()
            .map(|part| part / step[row])
            .collect();
        for (at, line) in self.inverse.chunks_exact_mut(rows).enumerate() {
            if at == row {
                line.copy_from_slice(&own);
            } else if step[at].abs() > 1e-14 {
                let by = step[at];
                line.iter_mut()
                    .zip(&own)
                    .for_each(|(part, own)| *part -= by * own);
            }
        }
    }

    /// The inverse, what is taken and the prices worked out from the basis alone.
    fn anew(&mut self) -> Option<()> {
        self.since = 0;
        self.inverse = inverse(self.rows, &self.basis, &self.columns)?;
        for (row, line) in self.inverse.chunks_exact(self.rows).enumerate() {
            let taken = line.iter().zip(&self.needs);
            self.taken[row] = taken.map(|(part, need)| part * need).sum();
        }
        self.prices.fill(0.0);
        for (row, line) in self.inverse.chunks_exact(self.rows).enumerate() {
            let cost = self.costs[self.basis[row]];
            let prices = self.prices.iter_mut().zip(line);
            prices.for_each(|(price, part)| *price += cost * part);
        }
        Some(())
    }
}

/// The inverse of the matrix of these columns, by elimination with the largest pivot of each column.
fn inverse(rows: usize, basis: &[usize], columns: &[Entries]) -> Option<Vec<f64>> {
    let width = 2 * rows;
    let mut all = vec![0.0; rows * width];
    for (at, &column) in basis.iter().enumerate() {
        for &(row, part) in &columns[column] {
            all[row as usize * width + at] += part;
        }
        all[at * width + rows + at] = 1.0;
    }
    for at in 0..rows {
        let size = |row: &usize| all[*row * width + at].abs();
        let pivot = (at..rows).max_by(|one, other| size(one).total_cmp(&size(other)))?;
        if size(&pivot) < 1e-11 {
            return None;
        }
        if pivot != at {
            (0..width).for_each(|place| all.swap(at * width + place, pivot * width + place));
        }
        let by = all[at * width + at];
        let own: Vec<f64> = all[at * width..(at + 1) * width]
            .iter()
            .map(|part| part / by)
            .collect();
        for (row, line) in all.chunks_exact_mut(width).enumerate() {
            let by = line[at];
            if row == at {
                line.copy_from_slice(&own);
            } else if by.abs() > 0.0 {
                line.iter_mut()
                    .zip(&own)
                    .for_each(|(part, own)| *part -= by * own);
            }
        }
    }
    Some(
        all.chunks_exact(width)
            .flat_map(|line| line[rows..].to_vec())
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use microlp::{ComparisonOp, OptimizationDirection, Problem as Model};

    /// Against another simplex: random mixtures of sets, added a few at a time.
    #[test]
    fn the_same_value_as_another_solver() {
        let mut seed = 7_u64;
        let mut below = |count: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) % count
        };
        for _ in 0..20 {
            let rows = 3 + below(12) as usize;
            let left_out: Vec<f64> = (0..rows).map(|_| (20 + below(80)) as f64).collect();
            let mut own = Simplex::new(&vec![1.0; rows], &left_out);
            let mut model = Model::new(OptimizationDirection::Minimize);
            let mut lines: Vec<Vec<_>> = left_out
                .iter()
                .map(|&cost| vec![(model.add_var(cost, (0.0, f64::INFINITY)), 1.0)])
                .collect();
            for row in 0..rows as u32 {
                own.add(0.0, Entries::from_slice(&[(row, -1.0)]));
            }
            for _ in 0..6 {
                for _ in 0..5 {
                    let cost = (10 + below(90)) as f64;
                    let in_it: Vec<usize> = (0..rows).filter(|_| below(3) == 0).collect();
                    let variable = model.add_var(cost, (0.0, f64::INFINITY));
                    in_it
                        .iter()
                        .for_each(|&row| lines[row].push((variable, 1.0)));
                    own.add(cost, in_it.iter().map(|&row| (row as u32, 1.0)).collect());
                }
                own.solve(&mut |_| Some(())).unwrap();
            }
            for line in lines {
                model.add_constraint(line, ComparisonOp::Ge, 1.0);
            }
            let other = model.solve().unwrap().into_solution().unwrap();
            let (value, least) = (own.value(), other.objective());
            assert!((value - least).abs() < 0.02, "{value} {least}");
        }
    }
}
