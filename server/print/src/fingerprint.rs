//! The fingerprint of a block season: the same figures from the same records, whoever loaded them.

use core::fmt;

use reckon::season::BlockSeason;
use sha2::{Digest, Sha256};

use crate::json;

/// The first eight bytes of the SHA-256 of the season's JSON without record ids.
///
/// Ids differ between two loads of the same files; what was recorded does not, so the fingerprint
/// does not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fingerprint(pub [u8; 8]);

/// The fingerprint of a season.
pub fn fingerprint(season: &BlockSeason) -> Fingerprint {
    let digest = Sha256::digest(json::body(season, false).to_string().as_bytes());
    let mut first = [0; 8];
    for (to, from) in first.iter_mut().zip(digest.iter()) {
        *to = *from;
    }
    Fingerprint(first)
}

impl Fingerprint {
    /// Sixteen hexadecimal digits in groups of four, as printed in the foot of a report.
    pub fn grouped(self) -> String {
        let text = self.to_string();
        let letters: Vec<char> = text.chars().collect();
        letters.chunks(4).map(|group| group.iter().collect::<String>()).collect::<Vec<_>>().join(" ")
    }
}

/// Sixteen hexadecimal digits.
impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}
