//! The files that a book is read from and written to, as bytes.

use std::borrow::Cow;
use std::collections::BTreeMap;

use xxhash_rust::xxh3::Xxh3;

/// The files of a book by name, as bytes.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Files(BTreeMap<String, Cow<'static, [u8]>>);

impl<B: Into<Cow<'static, [u8]>>> FromIterator<(String, B)> for Files {
    fn from_iter<I: IntoIterator<Item = (String, B)>>(files: I) -> Self {
        Files(files.into_iter().map(|(name, bytes)| (name, bytes.into())).collect())
    }
}

impl Files {
    /// The bytes of a file.
    pub fn get(&self, name: &str) -> Option<&[u8]> {
        self.0.get(name).map(AsRef::as_ref)
    }

    /// Names and bytes, sorted by name.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.0.iter().map(|(name, bytes)| (name.as_str(), bytes.as_ref()))
    }

    /// A 128-bit hash (XXH3) over names and bytes: tells whether a book has changed. It is made at
    /// every start, so it has to be quick; nobody has a reason to forge it.
    #[must_use]
    pub fn content_hash(&self) -> String {
        let mut hasher = Xxh3::new();
        for (name, bytes) in self.iter() {
            hasher.update(name.as_bytes());
            hasher.update(&(bytes.len() as u64).to_le_bytes());
            hasher.update(bytes);
        }
        format!("{:032x}", hasher.digest128())
    }
}
