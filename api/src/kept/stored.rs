//! The files of a pack as they stand in Redis: a version, then their names and texts as JSON, compressed.
use flate2::{Compression, read::GzDecoder, write::GzEncoder};
use pipwright_shared::rules::{fault::Source, read::hash};
use std::io::{self, Read, Write};

/// Changes whenever what stands behind it does.
const VERSION: &[u8; 4] = b"pk1\n";
/// Names and texts of one pack are no longer than this: a pack that was sent with a book for one that is here has both.
const MOST: u64 = 32 << 20;

/// Files to bytes.
///
/// # Errors
/// None but what a writer into memory could have.
pub(super) fn bytes(files: &[Source]) -> io::Result<Vec<u8>> {
    let files: Vec<(&str, &str)> = files.iter().map(|file| (file.name.as_str(), file.text.as_str())).collect();
    let mut zip = GzEncoder::new(VERSION.to_vec(), Compression::fast());
    zip.write_all(&serde_json::to_vec(&files)?)?;
    zip.finish()
}

/// Bytes to files, where they are whole and have this very content.
pub(super) fn files(bytes: &[u8], wanted: &str) -> Option<Vec<Source>> {
    let mut text = Vec::new();
    GzDecoder::new(bytes.strip_prefix(VERSION)?).take(MOST).read_to_end(&mut text).ok()?;
    let files: Vec<(String, String)> = serde_json::from_slice(&text).ok()?;
    let files: Vec<Source> = files.into_iter().map(|(name, text)| Source::new(name, text)).collect();
    (hash(&files) == wanted).then_some(files)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_damaged_or_of_another_content_is_nothing() {
        let pack = [Source::new("rules.toml", "format = 1\n"), Source::new("units.toml", "pack = \"ü\"\n")];
        let (stored, own) = (bytes(&pack).expect("bytes"), hash(&pack));
        assert_eq!(files(&stored, &own).expect("whole"), pack);
        assert_eq!(files(&stored, &hash(&pack[..1])), None, "another content");
        for at in 0..stored.len() {
            assert_eq!(files(&stored[..at], &own), None, "cut at {at}");
        }
    }
}
