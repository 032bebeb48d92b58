//! The fixed shares of a cost as a person limited to farms reads and writes them: blocks of other farms are
//! told by their share alone, under a name that stands for them in the form and on the way back.

use reckon::records::Shares;

/// What stands for the code of a block out of sight; a second one gets a number.
const HIDDEN: &str = "a block of another farm";

/// The name of the n-th block out of sight, from 0.
fn name(n: usize) -> String {
    if n == 0 { HIDDEN.to_owned() } else { format!("{HIDDEN} ({})", n.saturating_add(1)) }
}

/// Codes of the shares that are out of sight, each with the name that stands for it.
fn hidden<'s>(shares: &'s Shares, is_seen: &impl Fn(&str) -> bool) -> Vec<(&'s str, String)> {
    let codes = shares.parts().iter().map(|(code, _)| code.as_str()).filter(|code| !is_seen(code));
    codes.enumerate().map(|(n, code)| (code, name(n))).collect()
}

/// The shares without the codes of blocks that are not seen.
pub(crate) fn seen(shares: &Shares, is_seen: impl Fn(&str) -> bool) -> String {
    let hidden = hidden(shares, &is_seen);
    let word = |code: &str| {
        let name = hidden.iter().find(|(known, _)| *known == code).map(|(_, name)| name.clone());
        name.unwrap_or_else(|| code.to_owned())
    };
    let parts = shares.parts().iter().map(|(code, share)| format!("{}={share}", word(code)));
    parts.collect::<Vec<_>>().join(";")
}

/// Shares as typed, with the codes of the book for the names that stand for them.
pub(super) fn restored(typed: &str, stands: &Shares, is_seen: impl Fn(&str) -> bool) -> String {
    let hidden = hidden(stands, &is_seen);
    let part = |part: &str| {
        let Some((name, share)) = part.rsplit_once('=') else { return part.to_owned() };
        let code = hidden.iter().find(|(_, known)| known == name.trim()).map_or(name, |(code, _)| *code);
        format!("{code}={share}")
    };
    typed.split(';').map(part).collect::<Vec<_>>().join(";")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blocks_out_of_sight_are_not_named_and_come_back() {
        let shares = Shares::parse("RB-1=40;SD-2=35;SD-3=25").unwrap();
        let told = seen(&shares, |code| code == "RB-1");
        assert_eq!(told, "RB-1=40;a block of another farm=35;a block of another farm (2)=25");
        let back = restored(&told.replace("=35", "=34").replace("=40", "= 41"), &shares, |code| code == "RB-1");
        assert_eq!(Shares::parse(&back), Shares::parse("RB-1=41;SD-2=34;SD-3=25"));
        assert_eq!(seen(&shares, |_| true), "RB-1=40;SD-2=35;SD-3=25");
        assert_eq!(restored("nothing", &shares, |_| true), "nothing");
    }
}
