//! How each client's lists are laid out: remembered in the programme file where there is one, and for
//! as long as the desk stands in any case.

use std::collections::HashMap;

use gangday_files::PointMapping;

use super::keeping::Keeping;

/// What the file remembers mappings as.
pub const CLIENT: &str = "client";

/// Mappings by client.
#[derive(Default)]
pub struct Memory {
    mappings: HashMap<String, PointMapping>,
}

impl Memory {
    /// The mapping of this client's earlier list.
    pub fn mapping(&self, keeping: &mut Keeping, client: Option<&str>) -> Option<PointMapping> {
        let client = client?.trim();
        let kept = keeping
            .file()
            .and_then(|file| file.remembered(CLIENT, client).ok()?);
        let kept = kept.and_then(|text| serde_json::from_str(&text).ok());
        kept.or_else(|| self.mappings.get(client).cloned())
    }

    /// Takes over what a file remembers that takes nothing more.
    pub fn take_over(&mut self, kept: &[(String, String)]) {
        for (client, text) in kept {
            if let Ok(mapping) = serde_json::from_str(text) {
                self.mappings.insert(client.clone(), mapping);
            }
        }
    }

    /// Remembers a mapping that a list was taken in by.
    pub fn learn(&mut self, keeping: &mut Keeping, client: Option<&str>, mapping: &PointMapping) {
        let Some(client) = client.map(str::trim).filter(|client| !client.is_empty()) else {
            return;
        };
        self.mappings.insert(client.to_owned(), mapping.clone());
        let text = serde_json::to_string(mapping).unwrap_or_default();
        if let Some(file) = keeping.file() {
            // The list is taken in already; what is forgotten is guessed again.
            let _ = file.remember(CLIENT, client, &text);
        }
    }
}
