//! One spelling for each crew.

use std::collections::BTreeMap;

use super::InBlock;

/// How often each spelling of a crew stands among some entries, by what tells the crew again.
pub(super) struct Names<'e>(BTreeMap<String, BTreeMap<&'e str, usize>>);

impl<'e> Names<'e> {
    pub(super) fn of(entries: &[InBlock<'e>]) -> Self {
        let mut names: BTreeMap<String, BTreeMap<&str, usize>> = BTreeMap::new();
        for entry in entries {
            let times = names.entry(entry.same_crew()).or_default().entry(entry.kept.record.crew.trim()).or_default();
            *times += 1;
        }
        Self(names)
    }

    /// The spelling used most often, the first by the alphabet where several are; empty for a crew without a
    /// name.
    pub(super) fn name(&self, crew: &str) -> &'e str {
        let spellings = self.0.get(crew).into_iter().flatten();
        let most = spellings.max_by(|(a, often), (b, more)| often.cmp(more).then_with(|| b.cmp(a)));
        most.map_or("", |(name, _)| name)
    }
}
