//! The pack at the desk: written whole where the user chooses, or given as one file.

use std::path::Path;
use std::sync::Arc;

use base64::Engine as _;
use gangday_files::Zipped;
use gangday_model::Plan;
use gangday_store::Together;

use super::Desk;
use super::doing::Doing;
use crate::changes::State;
use crate::closures;
use crate::opened::refused;
use crate::packing::{Put, each_file, folder_name};
use crate::view::{Answer, Refusal};
use crate::watching::Stopped;

impl Desk {
    /// Writes the pack into a folder of its own within this one, and says where; where it is stopped, nothing
    /// of it is left.
    ///
    /// # Errors
    /// Where there is no plan, it can't be written, or somebody has stopped it.
    pub fn save_pack(&self, within: &Path) -> Result<String, Refusal> {
        let (doing, state, plan) = self.begin_pack()?;
        let sheets = Together::begin(within).map_err(|error| refused(&error))?;
        let mut put = |name: &str, bytes: &[u8]| {
            let put = sheets.put(name, bytes);
            put.map_err(|error| refused(&error))
        };
        fill(&doing, &state, &plan, &mut put)?;
        let settled = sheets.settle(&folder_name(&state.opened, &plan));
        let path = settled.map_err(|error| refused(&error))?;
        Ok(path.display().to_string())
    }

    /// The pack as one file, for a door that writes none itself.
    pub(super) fn pack(&self) -> Result<Answer, Refusal> {
        let (doing, state, plan) = self.begin_pack()?;
        let failed = |error: std::io::Error| {
            Refusal::coded(
                "F-SAVE",
                &format!("The pack can't be put into one file: {error}."),
            )
        };
        let mut zipped = Zipped::default();
        let mut put = |name: &str, bytes: &[u8]| zipped.put(name, bytes).map_err(failed);
        fill(&doing, &state, &plan, &mut put)?;
        let bytes = zipped.finish().map_err(failed)?;
        Ok(Answer::File {
            name: format!("{}.zip", folder_name(&state.opened, &plan)),
            media: "application/zip".to_owned(),
            base64: base64::engine::general_purpose::STANDARD.encode(bytes),
        })
    }

    fn begin_pack(&self) -> Result<(Arc<Doing>, State, Plan), Refusal> {
        let mut inner = self.collected()?;
        inner.refuse_while_planning()?;
        let state = inner.planned()?;
        let plan = state.plan.as_deref().cloned().unwrap_or_default();
        let doing = Doing::begin_whole("Writing the pack", "Working out what the public meets");
        inner.doing = Arc::downgrade(&doing);
        Ok((doing, state, plan))
    }
}

fn fill(doing: &Doing, state: &State, plan: &Plan, put: &mut Put<'_>) -> Result<(), Refusal> {
    let public = closures::of_plan(&state.opened.prepared, plan);
    let done = doing.watched(|watch| each_file(&state.opened, plan, &public, watch, put));
    done?;
    // Between the last sheet and here somebody may have stopped it too.
    if doing.is_stopped() {
        return Err(Stopped.into());
    }
    Ok(())
}
