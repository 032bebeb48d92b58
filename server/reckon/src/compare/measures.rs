//! What methods are compared by.

use crate::stats::Interval;

/// Letter of the size class from which fruit counts as large: rule of the book, no source.
pub const LARGE_FROM: &str = "A";

/// Which end of a measure a grower wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Better {
    /// Less is better: a cost.
    Lower,
    /// More is better: a return.
    Higher,
}

/// A figure of a block-season that methods are compared by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Thinning cost of a tree treated, dollars.
    CostPerTree,
    /// Thinning hours of a tree treated.
    HoursPerTree,
    /// Thinning cost of a thousand fruit taken off, dollars.
    CostPerThousand,
    /// Share of the pack in size class A and larger, percent.
    LargeShare,
    /// Net to grower for each pound, dollars.
    NetPerPound,
    /// Return over all costs for each acre, dollars.
    ReturnPerAcre,
}

impl Measure {
    /// Every measure, in the order of the page.
    pub const ALL: [Self; 6] = [
        Self::CostPerTree,
        Self::HoursPerTree,
        Self::CostPerThousand,
        Self::LargeShare,
        Self::NetPerPound,
        Self::ReturnPerAcre,
    ];

    /// Key in JSON and addresses.
    pub const fn word(self) -> &'static str {
        match self {
            Self::CostPerTree => "cost_per_tree",
            Self::HoursPerTree => "hours_per_tree",
            Self::CostPerThousand => "cost_per_thousand_removed",
            Self::LargeShare => "large_fruit_share",
            Self::NetPerPound => "net_per_pound",
            Self::ReturnPerAcre => "return_per_acre",
        }
    }

    /// Words on pages.
    pub const fn label(self) -> &'static str {
        match self {
            Self::CostPerTree => "Cost per tree",
            Self::HoursPerTree => "Hours per tree",
            Self::CostPerThousand => "Cost of 1,000 fruit removed",
            Self::LargeShare => "Large-fruit share",
            Self::NetPerPound => "Net price",
            Self::ReturnPerAcre => "Return per acre",
        }
    }

    /// Unit as printed after the number.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::CostPerTree => "$/tree",
            Self::HoursPerTree => "h/tree",
            Self::CostPerThousand => "$/1,000 fruit",
            Self::LargeShare => "%",
            Self::NetPerPound => "$/lb",
            Self::ReturnPerAcre => "$/acre",
        }
    }

    /// A number in a sentence: "$3.40 a tree", "62.5%". The number comes ready for print.
    pub fn said(self, number: &str) -> String {
        let dollars =
            || number.strip_prefix('\u{2212}').map_or_else(|| format!("${number}"), |rest| format!("\u{2212}${rest}"));
        match self {
            Self::CostPerTree => format!("{} a tree", dollars()),
            Self::HoursPerTree => format!("{number} hours a tree"),
            Self::CostPerThousand => format!("{} for 1,000 fruit", dollars()),
            Self::LargeShare => format!("{number}%"),
            Self::NetPerPound => format!("{} a pound", dollars()),
            Self::ReturnPerAcre => format!("{} an acre", dollars()),
        }
    }

    /// The ends of a mean's interval as they are shown: a share lies within 0 and 100%, a cost or
    /// hours at 0 and above.
    pub fn shown(self, interval: Interval) -> Interval {
        match self {
            Self::LargeShare => Interval { low: interval.low.max(0.0), high: interval.high.min(100.0) },
            Self::CostPerTree | Self::HoursPerTree | Self::CostPerThousand => {
                Interval { low: interval.low.max(0.0), high: interval.high.max(0.0) }
            }
            Self::NetPerPound | Self::ReturnPerAcre => interval,
        }
    }

    /// Whether the lower and the upper end of an interval lie beyond what [`Measure::shown`] shows.
    pub(super) fn cut(self, interval: Interval) -> (bool, bool) {
        let shown = self.shown(interval);
        (shown.low > interval.low, shown.high < interval.high)
    }

    /// Decimal places on pages.
    pub const fn places(self) -> u32 {
        match self {
            Self::CostPerTree | Self::CostPerThousand => 2,
            Self::HoursPerTree | Self::NetPerPound => 3,
            Self::LargeShare => 1,
            Self::ReturnPerAcre => 0,
        }
    }

    /// Which end is wanted.
    pub const fn better(self) -> Better {
        match self {
            Self::CostPerTree | Self::HoursPerTree | Self::CostPerThousand => Better::Lower,
            Self::LargeShare | Self::NetPerPound | Self::ReturnPerAcre => Better::Higher,
        }
    }
}
