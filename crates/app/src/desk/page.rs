//! What the page keeps with a programme, such as its map and filters: no edit, and never unsaved.

use serde_json::{Map, Value};

use super::keeping::Keeping;
use super::{Inner, nothing_open};
use crate::opened::{PAGE, refused};
use crate::view::{Answer, Refusal};

/// The most that it may be in all, in bytes.
const MOST: usize = 64 * 1024;

impl Inner {
    pub(super) fn remembered(&self) -> Answer {
        Answer::Remembered {
            values: self.page.clone(),
        }
    }

    pub(super) fn remember(&mut self, name: String, value: Value) -> Result<Answer, Refusal> {
        self.table.opened()?;
        let mut page = self.page.clone();
        if value.is_null() {
            page.shift_remove(&name);
        } else {
            page.insert(name, value);
        }
        let bytes = written(&page).unwrap_or_default();
        if bytes.len() > MOST {
            return Err(Refusal::coded(
                "D-MUCH",
                "The page may keep 64 kB with a programme, and no more.",
            ));
        }
        match &mut self.keeping {
            Keeping::InFile(file) => {
                let put = file.put(&[(PAGE, Some(bytes))]);
                put.map_err(|error| refused(&error))?;
            }
            Keeping::InFolder(seen) => {
                seen.put(PAGE, &bytes).map_err(|error| refused(&error))?;
            }
            // Until it is saved, and for as long as it stays open.
            Keeping::Apart | Keeping::Left(_) | Keeping::Barred(..) => {}
        }
        self.page = page;
        Ok(self.remembered())
    }

    /// The programme with what the page keeps, to be saved.
    pub(super) fn state_to_save(&self) -> Result<crate::changes::State, Refusal> {
        let mut state = self.table.state().ok_or_else(nothing_open)?.clone();
        state.opened.page = written(&self.page).map(Into::into);
        Ok(state)
    }

    /// Takes over what the page has kept with a programme that was opened.
    pub(super) fn open_page(&mut self) {
        let page = self
            .table
            .state()
            .and_then(|state| state.opened.page.clone());
        let page = page.and_then(|bytes| serde_json::from_slice(&bytes).ok());
        self.page = page.unwrap_or_default();
    }
}

/// Its file; none where there is nothing in it.
fn written(page: &Map<String, Value>) -> Option<Vec<u8>> {
    (!page.is_empty()).then(|| serde_json::to_vec_pretty(page).unwrap_or_default())
}
