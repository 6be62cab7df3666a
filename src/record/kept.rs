//! What a record keeps so that it can be worked out again: the job file and the
//! stock lines word for word, and digests of what they were taken from.

use std::collections::BTreeSet;
use std::fmt::Write;

use sha2::{Digest, Sha256};

use crate::{judge::Judged, part::Part, stock::Excerpt};

/// What is kept of the inputs.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Kept {
    /// The job file, where there was one.
    pub job: Option<String>,
    /// The stock lines of every part in the sets considered.
    pub lines: Excerpt,
    /// Digest of the whole stock list.
    pub list_digest: String,
}

impl Kept {
    /// Keeps from the bytes of a stock list, read as `parts`, what `sets` use: those
    /// found and those that came nearest.
    #[must_use]
    pub fn new<'s>(
        job: Option<&str>,
        list: &[u8],
        parts: &[Part],
        sets: impl IntoIterator<Item = &'s Judged>,
    ) -> Self {
        let uses = sets.into_iter().flat_map(|judged| judged.set.uses(parts));
        let lines: BTreeSet<u64> =
            uses.filter_map(|(part, _)| parts.get(part)).map(|part| part.line).collect();
        let lines: Vec<u64> = lines.into_iter().collect();
        Self {
            job: job.map(Into::into),
            lines: Excerpt::of(list, &lines),
            list_digest: digest(list),
        }
    }
}

/// SHA-256 of `bytes` (FIPS 180-4), 64 hexadecimal digits.
#[must_use]
pub fn digest(bytes: &[u8]) -> String {
    let mut digits = String::new();
    for byte in Sha256::digest(bytes) {
        let _ = write!(digits, "{byte:02x}");
    }
    digits
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example of FIPS 180-2, appendix B.1, and the empty text (from memory).
    #[test]
    fn digests_are_those_of_the_standard() {
        assert_eq!(
            digest(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
        assert_eq!(digest(b""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    }
}
