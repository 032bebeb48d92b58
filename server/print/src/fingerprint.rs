//! The fingerprint of a block season: the same figures from the same records, whoever loaded them.

use core::fmt;

use reckon::operation_season::OperationSeason;
use reckon::season::BlockSeason;
use serde_json::Value;
use sha2::{Digest, Sha256};

use crate::json;

/// The first eight bytes of the SHA-256 of the season's JSON without record ids and without whether
/// the season is open.
///
/// Ids differ between two loads of the same files; what was recorded does not, so the fingerprint
/// does not. Closing a season changes no figure, so the report of a closed season carries the
/// fingerprint that was read before it was closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fingerprint(pub [u8; 8]);

/// The fingerprint of a season.
pub fn fingerprint(season: &BlockSeason) -> Fingerprint {
    of_body(json::body(season, false))
}

/// The fingerprint of an operation's season: of every figure of its report.
pub fn operation_fingerprint(season: &OperationSeason) -> Fingerprint {
    of_body(json::operation_body(season, false))
}

fn of_body(mut body: Value) -> Fingerprint {
    if let Some(Value::Object(of_year)) = body.get_mut("season") {
        of_year.remove("state");
    }
    of_text(&body.to_string())
}

/// The first eight bytes of a text's SHA-256.
pub(crate) fn of_text(text: &str) -> Fingerprint {
    let digest = Sha256::digest(text.as_bytes());
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

#[cfg(test)]
mod tests {
    use reckon::figure::{RecordId, RecordRef};
    use reckon::money::Money;

    use super::*;
    use crate::samples;

    /// The same files loaded into a store: other ids, nothing else.
    fn stored(refs: &mut [RecordRef]) {
        for (n, record) in refs.iter_mut().enumerate() {
            record.id = RecordId::Stored(u128::try_from(n).unwrap() << 64);
        }
    }

    #[test]
    fn ids_do_not_enter_it() {
        let season = samples::full();
        let mut other = season.clone();
        other.statement.lines.iter_mut().for_each(|line| stored(&mut line.amount.records));
        other.gaps.iter_mut().for_each(|gap| stored(&mut gap.records));
        stored(&mut other.labor.all.cost.records);
        assert_ne!(season, other);
        assert_eq!(fingerprint(&season), fingerprint(&other));
    }

    #[test]
    fn closing_the_season_does_not() {
        let season = samples::full();
        let mut closed = season.clone();
        closed.heading.season.state = reckon::block::SeasonState::Closed;
        assert_ne!(season, closed);
        assert_eq!(fingerprint(&season), fingerprint(&closed));
        closed.heading.season.last_day = closed.heading.season.first_day;
        assert_ne!(fingerprint(&season), fingerprint(&closed));
    }

    #[test]
    fn one_cent_does() {
        let season = samples::full();
        let mut other = season.clone();
        let line = &mut other.statement.lines[3];
        line.amount.value = line.amount.value.plus(Money::from_cents(1));
        assert_ne!(fingerprint(&season), fingerprint(&other));
    }

    #[test]
    fn it_is_printed_in_groups() {
        let print = Fingerprint([0x7c, 0x1e, 0x90, 0xab, 0x44, 0xd2, 0x00, 0x0f]);
        assert_eq!(print.to_string(), "7c1e90ab44d2000f");
        assert_eq!(print.grouped(), "7c1e 90ab 44d2 000f");
    }
}
