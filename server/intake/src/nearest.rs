//! The nearest known name to a mistyped one.

/// Longer words are no name mistyped, and comparing them would take long.
const LONGEST: usize = 60;

/// The candidate with the fewest edits, if it is near enough to be meant.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if word.len() > LONGEST {
        return None;
    }
    let most = ((word.chars().count() + 1) / 3).clamp(1, 4);
    candidates
        .into_iter()
        .map(|candidate| (distance(word, candidate), candidate))
        .filter(|(edits, candidate)| *edits <= most || is_part(word, candidate))
        .min_by_key(|(edits, _)| *edits)
        .map(|(_, candidate)| candidate)
}

/// One name is the other with something more: `trees` for `trees_done`.
fn is_part(word: &str, candidate: &str) -> bool {
    word.len() >= 4 && (candidate.contains(word) || word.contains(candidate) && candidate.len() >= 4)
}

/// Edits (insert, delete, replace) that turn one word into the other (Levenshtein's distance).
fn distance(from: &str, to: &str) -> usize {
    let to: Vec<char> = to.chars().collect();
    let mut row: Vec<usize> = (0..=to.len()).collect();
    for (i, a) in from.chars().enumerate() {
        let mut diagonal = i;
        let mut left = i + 1;
        let mut next = vec![left];
        for (b, above) in to.iter().zip(row.iter().skip(1)) {
            let replaced = diagonal + usize::from(a != *b);
            left = replaced.min(left + 1).min(above + 1);
            diagonal = *above;
            next.push(left);
        }
        row = next;
    }
    row.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_edits() {
        for (from, to, edits) in
            [("", "", 0), ("date", "date", 0), ("dat", "date", 1), ("", "abc", 3), ("kitten", "sitting", 3)]
        {
            assert_eq!(distance(from, to), edits, "{from} {to}");
        }
    }

    #[test]
    fn finds_what_was_meant_or_nothing() {
        let names = ["date", "block", "trees_done", "note"];
        assert_eq!(nearest("tres_done", names), Some("trees_done"));
        assert_eq!(nearest("trees", names), Some("trees_done"));
        assert_eq!(nearest("blok", names), Some("block"));
        assert_eq!(nearest("temperature", names), None);
        assert_eq!(nearest(&"trees_done".repeat(1_000_000), names), None);
    }
}
