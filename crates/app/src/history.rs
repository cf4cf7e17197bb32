//! What can be taken back: whole states, each under the name of the change that left it.

/// Past and future states of one thing.
#[derive(Debug)]
pub struct History<T> {
    past: Vec<(String, T)>,
    future: Vec<(String, T)>,
}

impl<T> Default for History<T> {
    fn default() -> Self {
        Self {
            past: Vec::new(),
            future: Vec::new(),
        }
    }
}

impl<T> History<T> {
    /// Records that `change` is about to replace `before`; what was undone is forgotten.
    pub fn record(&mut self, change: &str, before: T) {
        self.past.push((change.to_owned(), before));
        self.future.clear();
    }

    /// The state before the last change, taking `now` in its place.
    pub fn undo(&mut self, now: T) -> Result<T, T> {
        Self::step(&mut self.past, &mut self.future, now)
    }

    /// The state that the last undo took back, taking `now` in its place.
    pub fn redo(&mut self, now: T) -> Result<T, T> {
        Self::step(&mut self.future, &mut self.past, now)
    }

    /// Does something to every state that is kept.
    pub fn each(&mut self, mut what: impl FnMut(&mut T)) {
        let all = self.past.iter_mut().chain(&mut self.future);
        all.for_each(|(_, state)| what(state));
    }

    /// The name of the change that undo would take back.
    #[must_use]
    pub fn undoes(&self) -> Option<&str> {
        self.past.last().map(|(name, _)| name.as_str())
    }

    /// The name of the change that redo would do again.
    #[must_use]
    pub fn redoes(&self) -> Option<&str> {
        self.future.last().map(|(name, _)| name.as_str())
    }

    fn step(from: &mut Vec<(String, T)>, to: &mut Vec<(String, T)>, now: T) -> Result<T, T> {
        match from.pop() {
            Some((name, state)) => {
                to.push((name, now));
                Ok(state)
            }
            None => Err(now),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn undo_and_redo_walk_the_same_path() {
        let mut history = History::default();
        history.record("import 3 jobs", 1);
        history.record("plan the week", 2);
        assert_eq!(history.undo(3), Ok(2));
        assert_eq!(history.undoes(), Some("import 3 jobs"));
        assert_eq!(history.redoes(), Some("plan the week"));
        assert_eq!(history.redo(2), Ok(3));
        assert_eq!(history.redo(3), Err(3));
    }

    #[test]
    fn a_new_change_forgets_what_was_undone() {
        let mut history = History::default();
        history.record("import 3 jobs", 1);
        assert_eq!(history.undo(2), Ok(1));
        history.record("plan the week", 1);
        assert_eq!(history.redoes(), None);
    }
}
