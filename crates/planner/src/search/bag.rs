//! Numbers without order, each of which knows its place.

/// In no place.
const NOWHERE: u32 = u32::MAX;

/// A set of numbers below a bound: asking, adding and dropping take no time to speak of.
#[derive(Clone, Debug, Default)]
pub(crate) struct Bag {
    list: Vec<u32>,
    place: Vec<u32>,
}

impl Bag {
    /// Nothing, of numbers below `bound`.
    pub(crate) fn new(bound: usize) -> Self {
        Self {
            list: Vec::new(),
            place: vec![NOWHERE; bound],
        }
    }

    pub(crate) fn list(&self) -> &[u32] {
        &self.list
    }

    pub(crate) fn holds(&self, item: u32) -> bool {
        self.place[item as usize] != NOWHERE
    }

    /// Adds it, if it isn't there.
    pub(crate) fn add(&mut self, item: u32) {
        if !self.holds(item) {
            self.place[item as usize] = self.list.len() as u32;
            self.list.push(item);
        }
    }

    /// Drops it, if it is there.
    pub(crate) fn drop(&mut self, item: u32) {
        let at = std::mem::replace(&mut self.place[item as usize], NOWHERE);
        if at != NOWHERE {
            self.list.swap_remove(at as usize);
            if let Some(&moved) = self.list.get(at as usize) {
                self.place[moved as usize] = at;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_added_stays_until_it_is_dropped() {
        let mut bag = Bag::new(5);
        for item in [3, 1, 4, 3] {
            bag.add(item);
        }
        assert_eq!(bag.list(), [3, 1, 4]);
        bag.drop(3);
        bag.drop(0);
        assert_eq!(bag.list(), [4, 1]);
        bag.drop(4);
        assert!(bag.holds(1) && !bag.holds(4));
        bag.drop(1);
        assert!(bag.list().is_empty());
    }
}
