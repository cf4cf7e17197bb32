//! Pictures of jobs at the desk.

use base64::Engine as _;

use super::keeping::Keeping;
use super::{Acted, Desk, Inner, nothing_open};
use crate::attachments;
use crate::opened::refused;
use crate::view::{Answer, Refusal};

impl Desk {
    /// Attaches a picture, which is read with nothing locked.
    pub(super) fn attach(
        &self,
        job: &str,
        name: &str,
        base64: &str,
        path: Option<&str>,
    ) -> Result<Acted, Refusal> {
        let bytes = match path {
            Some(path) => attachments::read_from(path)?,
            None => base64::engine::general_purpose::STANDARD
                .decode(base64)
                .map_err(|_| Refusal::coded("F-CUT", &format!("{name:?} did not arrive whole.")))?,
        };
        self.collected()?.attach(job, name, &bytes)
    }
}

impl Inner {
    fn attach(&mut self, job: &str, name: &str, bytes: &[u8]) -> Result<Acted, Refusal> {
        self.refuse_while_planning()?;
        let state = self.table.state().ok_or_else(nothing_open)?;
        let (edited, file, bytes) = attachments::attached(state, job, name, bytes)?;
        // The picture first: a job never names one that is not kept.
        match &mut self.keeping {
            Keeping::InFile(kept) => kept
                .keep_attachments([(file.as_str(), bytes.as_slice())])
                .map_err(|error| refused(&error))?,
            Keeping::Barred(refusal, _) => return Err(refusal.clone()),
            Keeping::Apart | Keeping::InFolder(_) | Keeping::Left(_) => {
                self.pictures.hold(file, bytes);
            }
        }
        self.change(&edited.what, edited.state)?;
        self.table.is_no_demo();
        Ok(Acted::Edited(edited.jobs))
    }

    pub(super) fn detach(&mut self, job: &str, name: &str) -> Result<Acted, Refusal> {
        self.refuse_while_planning()?;
        let state = self.table.state().ok_or_else(nothing_open)?;
        let edited = attachments::detached(state, job, name)?;
        self.change(&edited.what, edited.state)?;
        self.table.is_no_demo();
        Ok(Acted::Edited(edited.jobs))
    }

    pub(super) fn attachment(&mut self, job: &str, name: &str) -> Result<Answer, Refusal> {
        let opened = self.table.opened()?;
        let (file, media) = attachments::kept_as(opened, job, name)?;
        let own = self.keeping.file();
        let own = own.and_then(|kept| kept.attachment(&file).ok().flatten());
        let bytes = match own {
            Some(bytes) => bytes,
            None => {
                let home = self.table.opened()?.folder.as_deref();
                self.pictures.get(&file, home)?
            }
        };
        Ok(Answer::File {
            name: name.to_owned(),
            media: media.to_owned(),
            base64: base64::engine::general_purpose::STANDARD.encode(bytes),
        })
    }
}
