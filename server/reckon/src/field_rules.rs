//! The operation's own windows and limits of field work: what it sets, and what holds until it does.
//!
//! None of these is a rule of nature. The defaults are marked common practice where no source was
//! found, and two limits have no default at all: nothing is said to be out of reach until a grower
//! says how far bees go in his trees.

use std::collections::BTreeMap;

use chrono::Weekday;

use crate::due::Settings;
use crate::exact::Hours;
use crate::wages::WeekRule;

/// One number an operation may set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FieldRule {
    /// The first pass opens so many days after full bloom.
    BloomOpens,
    /// And closes so many days after full bloom.
    BloomCloses,
    /// Without a bloom: the first pass opens so many days before ripening begins.
    RipeningOpens,
    /// And closes so many days before ripening begins.
    RipeningCloses,
    /// The second look opens so many days after the last pass.
    LookOpens,
    /// And closes so many days after the last pass.
    LookCloses,
    /// Trees to the pollinizer beyond which it is out of reach.
    PollinizerReach,
    /// Hours of a person in a week beyond which overtime is estimated.
    WeekHours,
    /// Day on which the week of wages begins: 1 = Monday.
    WeekBegins,
}

/// What a rule is, and what holds where the operation sets none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleInfo {
    /// The rule.
    pub rule: FieldRule,
    /// Key of forms and the database.
    pub name: &'static str,
    /// Words beside its field.
    pub label: &'static str,
    /// Unit.
    pub unit: &'static str,
    /// What a blank means.
    pub blank: &'static str,
    /// Where the default comes from.
    pub source: &'static str,
    /// Least value taken.
    pub low: u32,
    /// Largest value taken.
    pub high: u32,
    /// What holds until the operation sets its own; `None` where nothing does.
    pub default: Option<u32>,
}

const PRACTICE: &str = "common practice, no source";
const CALENDAR: &str = "early April to mid May in California, the earliest ripening first; University of California ANR, \
                        helpline FAQ on thinning fruit";

const fn days(
    rule: FieldRule,
    name: &'static str,
    label: &'static str,
    blank: &'static str,
    default: Option<u32>,
) -> RuleInfo {
    RuleInfo { rule, name, label, unit: "days", blank, source: PRACTICE, low: 0, high: 300, default }
}

/// Every rule, in the order of its page.
pub const RULES: [RuleInfo; 9] = [
    days(FieldRule::BloomOpens, "first_pass_opens", "First pass opens, after full bloom", "30 days", Some(30)),
    days(FieldRule::BloomCloses, "first_pass_closes", "First pass closes, after full bloom", "60 days", Some(60)),
    RuleInfo {
        source: CALENDAR,
        ..days(
            FieldRule::RipeningOpens,
            "ripening_opens",
            "Where no bloom is noted: opens, before ripening begins",
            "the calendar by ripening",
            None,
        )
    },
    RuleInfo {
        source: CALENDAR,
        ..days(
            FieldRule::RipeningCloses,
            "ripening_closes",
            "Where no bloom is noted: closes, before ripening begins",
            "the calendar by ripening",
            None,
        )
    },
    days(FieldRule::LookOpens, "second_look_opens", "Second look opens, after the last pass", "7 days", Some(7)),
    days(FieldRule::LookCloses, "second_look_closes", "Second look closes, after the last pass", "14 days", Some(14)),
    RuleInfo {
        rule: FieldRule::PollinizerReach,
        name: "pollinizer_reach",
        label: "A pollinizer is in reach up to",
        unit: "trees",
        blank: "no limit, and no distance is questioned",
        source: "no number was found in a bulletin: yours to set",
        low: 1,
        high: 1_000,
        default: None,
    },
    RuleInfo {
        rule: FieldRule::WeekHours,
        name: "week_hours",
        label: "Overtime is estimated above, for each person a week",
        unit: "hours",
        blank: "40 hours",
        source: "29 CFR 778.101; other laws set other hours, and federal law leaves much farm work out",
        low: 1,
        high: 168,
        default: Some(40),
    },
    RuleInfo {
        rule: FieldRule::WeekBegins,
        name: "week_begins",
        label: "The week of wages begins on day",
        unit: "1 = Monday, 7 = Sunday",
        blank: "Monday",
        source: "29 CFR 778.105, determining the workweek: any day, as long as it stays the same",
        low: 1,
        high: 7,
        default: Some(1),
    },
];

/// The rule of this [`RuleInfo::name`].
pub fn by_name(name: &str) -> Option<&'static RuleInfo> {
    RULES.iter().find(|info| info.name == name)
}

/// What an operation has set; everything else is the default.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FieldRules(BTreeMap<FieldRule, u32>);

/// Two rules that do not go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clash {
    /// The rule to change.
    pub rule: FieldRule,
    /// What would be right for it.
    pub expected: &'static str,
}

impl FieldRules {
    /// Sets a rule, or leaves it to the default.
    pub fn set(&mut self, rule: FieldRule, value: Option<u32>) {
        match value {
            Some(value) => self.0.insert(rule, value),
            None => self.0.remove(&rule),
        };
    }

    /// What was set.
    pub fn own(&self, rule: FieldRule) -> Option<u32> {
        self.0.get(&rule).copied()
    }

    /// What holds: what was set, else the default.
    pub fn value(&self, rule: FieldRule) -> Option<u32> {
        self.own(rule).or_else(|| RULES.iter().find(|info| info.rule == rule)?.default)
    }

    /// What was set, in the order of [`RULES`].
    pub fn values(&self) -> impl Iterator<Item = (&'static RuleInfo, u32)> {
        RULES.iter().filter_map(|info| self.own(info.rule).map(|value| (info, value)))
    }

    /// The windows of thinning.
    pub fn windows(&self) -> Settings {
        let or_nothing = |rule| self.value(rule).unwrap_or_default();
        let before = self.value(FieldRule::RipeningOpens).zip(self.value(FieldRule::RipeningCloses));
        Settings {
            first_pass: (or_nothing(FieldRule::BloomOpens), or_nothing(FieldRule::BloomCloses)),
            before_ripening: before,
            second_look: (or_nothing(FieldRule::LookOpens), or_nothing(FieldRule::LookCloses)),
        }
    }

    /// Trees to a pollinizer in reach; `None` where nobody set a limit.
    pub fn pollinizer_reach(&self) -> Option<u32> {
        self.value(FieldRule::PollinizerReach)
    }

    /// Hours of a person in a week above which overtime is estimated.
    fn week_hours(&self) -> Hours {
        let hours = self.value(FieldRule::WeekHours).unwrap_or_default();
        Hours::whole(i64::from(hours)).unwrap_or_default()
    }

    /// How a week of wages is counted.
    pub fn week(&self) -> WeekRule {
        let after_monday = self.value(FieldRule::WeekBegins).and_then(|day| u8::try_from(day).ok()?.checked_sub(1));
        let begins = after_monday.and_then(|day| Weekday::try_from(day).ok()).unwrap_or(Weekday::Mon);
        WeekRule { begins, threshold: self.week_hours() }
    }

    /// The first two rules that do not go together.
    pub fn clash(&self) -> Option<Clash> {
        let later = |from, to| self.value(from).zip(self.value(to)).is_some_and(|(from, to)| from > to);
        let clash = |rule, expected| Some(Clash { rule, expected });
        if later(FieldRule::BloomOpens, FieldRule::BloomCloses) {
            return clash(FieldRule::BloomCloses, "at least the days after which it opens");
        }
        match (self.value(FieldRule::RipeningOpens), self.value(FieldRule::RipeningCloses)) {
            (Some(_), None) => {
                return clash(FieldRule::RipeningCloses, "a number too, as the window opens by ripening");
            }
            (None, Some(_)) => {
                return clash(FieldRule::RipeningOpens, "a number too, as the window closes by ripening");
            }
            (Some(opens), Some(closes)) if closes > opens => {
                return clash(FieldRule::RipeningCloses, "no more than the days before ripening at which it opens");
            }
            _ => {}
        }
        if later(FieldRule::LookOpens, FieldRule::LookCloses) {
            return clash(FieldRule::LookCloses, "at least the days after which it opens");
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_has_its_own_name_and_a_default_within_its_range() {
        for info in &RULES {
            assert_eq!(by_name(info.name), Some(info));
            assert!(info.default.is_none_or(|value| (info.low..=info.high).contains(&value)), "{}", info.name);
            assert!(!info.source.is_empty() && !info.blank.is_empty());
        }
        assert_eq!(by_name("colour"), None);
    }

    #[test]
    fn the_defaults_hold_until_something_is_set() {
        let mut rules = FieldRules::default();
        assert_eq!(rules.windows(), Settings::default());
        let forty = Hours::whole(40).unwrap();
        assert_eq!(rules.pollinizer_reach(), None);
        assert_eq!(rules.week(), WeekRule { begins: Weekday::Mon, threshold: forty });
        rules.set(FieldRule::WeekBegins, Some(7));
        assert_eq!(rules.week().begins, Weekday::Sun);
        rules.set(FieldRule::WeekBegins, None);
        rules.set(FieldRule::LookCloses, Some(21));
        rules.set(FieldRule::RipeningOpens, Some(80));
        rules.set(FieldRule::RipeningCloses, Some(60));
        assert_eq!(rules.windows().second_look, (7, 21));
        assert_eq!(rules.windows().before_ripening, Some((80, 60)));
        assert_eq!(rules.values().count(), 3);
        rules.set(FieldRule::LookCloses, None);
        assert_eq!(rules.windows().second_look, (7, 14));
    }

    #[test]
    fn a_window_that_closes_before_it_opens_is_refused() {
        let clash = |set: &[(FieldRule, u32)]| {
            let mut rules = FieldRules::default();
            for (rule, value) in set {
                rules.set(*rule, Some(*value));
            }
            rules.clash().map(|clash| clash.rule)
        };
        assert_eq!(clash(&[]), None);
        assert_eq!(clash(&[(FieldRule::BloomOpens, 61)]), Some(FieldRule::BloomCloses));
        assert_eq!(clash(&[(FieldRule::LookOpens, 15)]), Some(FieldRule::LookCloses));
        assert_eq!(clash(&[(FieldRule::RipeningOpens, 70)]), Some(FieldRule::RipeningCloses));
        assert_eq!(clash(&[(FieldRule::RipeningCloses, 70)]), Some(FieldRule::RipeningOpens));
        assert_eq!(
            clash(&[(FieldRule::RipeningOpens, 60), (FieldRule::RipeningCloses, 70)]),
            Some(FieldRule::RipeningCloses)
        );
        assert_eq!(clash(&[(FieldRule::RipeningOpens, 70), (FieldRule::RipeningCloses, 60)]), None);
    }
}
