//! Larger programmes: neighbourhoods of one and a half kilometres, laid side by side like tiles so
//! that there are as many jobs to the square kilometre however many there are.

use super::chance::Chance;
use super::curve::{along, even, length, smooth};
use super::names;
use super::noding::{join, node};
use super::plane::{Point, at};
use super::street::{Kind, Street};

/// The side of a tile, in metres.
pub const SIDE: f64 = 1500.0;

/// Jobs in a tile.
pub const JOBS: usize = 64;

/// Where the tiles lie: rows to the south and columns to the west of the middle, over open sea.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Patchwork {
    seed: u64,
    tiles: usize,
    columns: usize,
}

impl Patchwork {
    /// As many tiles as these jobs need, about as wide as high.
    #[must_use]
    pub fn of(jobs: usize, seed: u64) -> Self {
        let tiles = jobs.div_ceil(JOBS).max(1);
        let columns = (1..).find(|side| side * side >= tiles).unwrap_or(1);
        Self {
            seed,
            tiles,
            columns,
        }
    }

    /// How many tiles.
    #[must_use]
    pub fn tiles(self) -> usize {
        self.tiles
    }

    /// The streets of one tile: its own, and those on its edges that no other tile brings.
    #[must_use]
    pub fn streets(self, tile: usize) -> Vec<Street> {
        let (row, column) = (tile / self.columns, tile % self.columns);
        let frame = Frame::of(self, row, column);
        let mut chance = Chance::new(self.seed, 1_000_000 + tile as u64);
        let mut streets = frame.interior(&mut chance);
        let [south, east, north, west] = frame.edges;
        let mut edges = vec![north, east];
        if tile + self.columns >= self.tiles {
            edges.push(south);
        }
        if column + 1 == self.columns || tile + 1 == self.tiles {
            edges.push(west);
        }
        for edge in edges {
            streets.push(Street::new(
                names::road(&mut chance),
                Kind::Distributor,
                edge,
            ));
        }
        for (n, street) in streets.iter_mut().enumerate() {
            street.id = format!("S{:05}-{:02}", tile + 1, n + 1);
        }
        streets
    }

    /// The middle of a tile.
    #[must_use]
    pub fn middle(self, tile: usize) -> Point {
        Frame::of(self, tile / self.columns, tile % self.columns).place(0.5, 0.5)
    }

    /// A corner between tiles, a little off the square grid.
    fn corner(self, row: usize, column: usize) -> Point {
        let mut chance = Chance::new(self.seed, (row * 10_000 + column) as u64);
        let (x, y) = (chance.between(-80.0, 80.0), chance.between(-80.0, 80.0));
        at(x - SIDE * column as f64, y - SIDE * row as f64)
    }

    /// The road between two neighbouring corners; both tiles beside it see the same.
    fn edge(self, from: (usize, usize), to: (usize, usize)) -> Vec<Point> {
        let (a, b) = (self.corner(from.0, from.1), self.corner(to.0, to.1));
        let lane = 2_000_000_000 + (from.0 * 10_000 + from.1) * 2 + usize::from(from.0 == to.0);
        let mut chance = Chance::new(self.seed, lane as u64);
        let aside = (b - a).unit().left();
        let mut bend = |part: f64| a.toward(b, part) + aside * chance.between(-45.0, 45.0);
        smooth(&[a, bend(0.33), bend(0.68), b])
    }
}

/// One tile: its corners and the roads round it.
struct Frame {
    corners: [Point; 4],
    edges: [Vec<Point>; 4],
}

impl Frame {
    fn of(all: Patchwork, row: usize, column: usize) -> Self {
        let (south, west) = (row + 1, column + 1);
        Self {
            corners: [
                all.corner(south, west),
                all.corner(south, column),
                all.corner(row, column),
                all.corner(row, west),
            ],
            edges: [
                all.edge((south, column), (south, west)),
                all.edge((row, column), (south, column)),
                all.edge((row, column), (row, west)),
                all.edge((row, west), (south, west)),
            ],
        }
    }

    /// A place by its parts of the way east and north.
    fn place(&self, east: f64, north: f64) -> Point {
        let [sw, se, ne, nw] = self.corners;
        sw.toward(se, east).toward(nw.toward(ne, east), north)
    }

    /// The point of an edge's line nearest to its middle: where a street of the tile may join.
    fn gate(&self, edge: usize) -> Point {
        let line = &self.edges[edge];
        line[line.len() / 2]
    }

    fn interior(&self, chance: &mut Chance) -> Vec<Street> {
        let mut laid = Laid {
            frame: self,
            streets: Vec::new(),
        };
        laid.spines(chance);
        for quarter in 0..4 {
            match chance.below(3) {
                0 => laid.terraces(quarter, chance),
                1 => laid.loop_road(quarter, chance),
                _ => laid.crescent(quarter, chance),
            }
        }
        node(&mut laid.streets);
        laid.streets
    }
}

/// The streets of a tile as they are being laid.
struct Laid<'a> {
    frame: &'a Frame,
    streets: Vec<Street>,
}

impl Laid<'_> {
    /// Two streets through the tile that cross near its middle.
    fn spines(&mut self, chance: &mut Chance) {
        let middle = self
            .frame
            .place(chance.between(0.45, 0.55), chance.between(0.45, 0.55));
        for (from, to) in [(3, 1), (0, 2)] {
            let line = smooth(&[self.frame.gate(from), middle, self.frame.gate(to)]);
            self.streets
                .push(Street::new(names::street(chance), Kind::Town, line));
        }
    }

    /// A place of a quarter: parts of the way out from the spines, mirrored into it.
    fn quarter(&self, quarter: usize, across: f64, up: f64) -> Point {
        let (across, up) = (across * 1.2, up * 1.2);
        let east = if quarter.is_multiple_of(2) {
            0.5 - across
        } else {
            0.5 + across
        };
        let north = if quarter < 2 { 0.5 - up } else { 0.5 + up };
        self.frame.place(east, north)
    }

    /// Lays a street whose two ends join what is there.
    fn lay(&mut self, name: String, kind: Kind, mut through: Vec<Point>, ruled: bool) {
        let last = through.len() - 1;
        for end in [0, last] {
            if let Some(place) = join(&mut self.streets, through[end], 110.0) {
                through[end] = place;
            }
        }
        let line = if ruled {
            even(&through)
        } else {
            smooth(&through)
        };
        self.streets.push(Street::new(name, kind, line));
    }

    /// A back street and five terraces between it and the spine.
    fn terraces(&mut self, quarter: usize, chance: &mut Chance) {
        let back = [(0.34, 0.0), (0.345, 0.18), (0.33, 0.38)];
        let back = back
            .map(|(across, up)| self.quarter(quarter, across, up))
            .to_vec();
        self.lay(names::street(chance), Kind::Terrace, back, false);
        for row in 1..=5_u32 {
            let up = 0.068 * f64::from(row);
            let ends = vec![
                self.quarter(quarter, 0.01, up),
                self.quarter(quarter, 0.34, up),
            ];
            self.lay(names::street(chance), Kind::Terrace, ends, true);
        }
    }

    /// A loop from one spine to the other with closes off it.
    fn loop_road(&mut self, quarter: usize, chance: &mut Chance) {
        let way = [
            (0.0, 0.28),
            (0.14, 0.33),
            (0.30, 0.30),
            (0.34, 0.15),
            (0.27, 0.0),
        ];
        let way = way
            .map(|(across, up)| self.quarter(quarter, across, up))
            .to_vec();
        self.lay(names::drive(chance), Kind::Estate, way, false);
        let on = self.streets.len() - 1;
        for part in [0.25, 0.42, 0.6, 0.78] {
            let reach = chance.pick(&[-1.0, 1.0]) * chance.between(60.0, 95.0);
            self.close(on, part, reach, chance);
        }
    }

    /// A crescent off one spine with a street to the other.
    fn crescent(&mut self, quarter: usize, chance: &mut Chance) {
        let way = [
            (0.0, 0.08),
            (0.16, 0.10),
            (0.26, 0.20),
            (0.18, 0.31),
            (0.0, 0.33),
        ];
        let way = way
            .map(|(across, up)| self.quarter(quarter, across, up))
            .to_vec();
        self.lay(names::crescent(chance), Kind::Estate, way, false);
        let on = self.streets.len() - 1;
        let link = vec![
            self.quarter(quarter, 0.26, 0.20),
            self.quarter(quarter, 0.30, 0.0),
        ];
        self.lay(names::drive(chance), Kind::Estate, link, false);
        for part in [0.3, 0.7] {
            let reach = chance.pick(&[-1.0, 1.0]) * chance.between(50.0, 80.0);
            self.close(on, part, reach, chance);
        }
    }

    fn close(&mut self, on: usize, part: f64, reach: f64, chance: &mut Chance) {
        let parent = &self.streets[on].line;
        let (place, step) = along(parent, length(parent) * part);
        let root = join(&mut self.streets[on..=on], place, 60.0).unwrap_or(place);
        let out = step.left() * reach;
        let through = [
            root,
            root + out * 0.55,
            root + out + step * chance.between(-25.0, 25.0),
        ];
        self.streets.push(Street::new(
            names::close(chance),
            Kind::Close,
            smooth(&through),
        ));
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::super::noding::key;
    use super::*;

    #[test]
    fn neighbouring_tiles_share_their_corners_and_gates() {
        let all = Patchwork::of(64 * 9, 5);
        let streets: Vec<Vec<Street>> = (0..9).map(|tile| all.streets(tile)).collect();
        let points = |tile: usize| -> HashSet<(u64, u64)> {
            streets[tile]
                .iter()
                .flat_map(|street| &street.line)
                .map(|p| key(*p))
                .collect()
        };
        let spine_ends = |tile: usize| {
            let spine = &streets[tile][0].line;
            [spine[0], spine[spine.len() - 1]]
        };
        let [west_end, _] = spine_ends(4);
        assert!(
            points(5).contains(&key(west_end)),
            "the road west of a tile is its neighbour's"
        );
    }

    #[test]
    fn every_edge_of_the_patchwork_is_laid_once() {
        for tiles in [1, 2, 5, 7, 12] {
            let all = Patchwork::of(64 * tiles, 1);
            let mut seen = HashSet::new();
            for tile in 0..tiles {
                for street in all.streets(tile) {
                    if street.kind == Kind::Distributor {
                        let mut ends =
                            [street.line[0], street.line[street.line.len() - 1]].map(key);
                        ends.sort_unstable();
                        assert!(seen.insert(ends), "{tiles} tiles, tile {tile}");
                    }
                }
            }
            let (rows, least) = (tiles.div_ceil(all.columns), 2 * tiles);
            assert!(seen.len() > least && seen.len() <= least + rows + all.columns + 1);
        }
    }
}
