//! Several files as one: a ZIP archive (ISO/IEC 21320-1).

use std::io::{Cursor, Write as _};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

/// An archive that is being filled. The same files in the same order give the same bytes.
pub struct Zipped {
    inside: ZipWriter<Cursor<Vec<u8>>>,
}

impl Default for Zipped {
    fn default() -> Self {
        Self {
            inside: ZipWriter::new(Cursor::default()),
        }
    }
}

impl Zipped {
    /// Puts a file into it.
    ///
    /// # Errors
    /// The name is there already, or is too long for one.
    pub fn put(&mut self, name: &str, bytes: &[u8]) -> std::io::Result<()> {
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Deflated)
            .last_modified_time(DateTime::default());
        self.inside.start_file(name, options)?;
        self.inside.write_all(bytes)
    }

    /// Its bytes.
    ///
    /// # Errors
    /// There is more in it than an archive holds.
    pub fn finish(self) -> std::io::Result<Vec<u8>> {
        Ok(self.inside.finish()?.into_inner())
    }
}

#[cfg(test)]
mod tests {
    use std::io::Read as _;

    use super::*;

    #[test]
    fn what_goes_in_comes_out() {
        let mut zipped = Zipped::default();
        zipped.put("works.html", b"page").unwrap();
        zipped.put("works.ics", b"dates").unwrap();
        assert!(zipped.put("works.ics", b"again").is_err());
        let bytes = zipped.finish().unwrap();
        let mut read = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
        assert_eq!(read.len(), 2);
        let mut text = String::new();
        let mut file = read.by_name("works.ics").unwrap();
        file.read_to_string(&mut text).unwrap();
        assert_eq!(text, "dates");
    }
}
