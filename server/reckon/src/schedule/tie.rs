//! From the form's expenses to the costs of the statement, to the cent.

use super::ScheduleF;
use crate::money::Money;
use crate::season::{Statement, StatementKey};

/// Why the form's expenses are not the statement's costs. All in dollars:
/// `form + to_choose + left_out + mulch + rest = costs`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tie {
    /// On lines of the form.
    pub form: Money,
    /// Waiting for a line.
    pub to_choose: Money,
    /// Never on the form, and on the statement.
    pub left_out: Money,
    /// Mulch over its life, less mulch laid in the season: the form takes what was paid, the statement
    /// what the season used.
    pub mulch: Money,
    /// What else the statement has, by rounding.
    pub rest: Money,
    /// All costs of the statement, charges kept back by packers among them: gross less return over all
    /// costs.
    pub costs: Money,
}

impl ScheduleF {
    /// Holds the form against the statement of the same blocks.
    pub fn tie(&self, statement: &Statement) -> Tie {
        let amount = |key| statement.line(key).map_or(Money::ZERO, |line| line.amount.value);
        let costs = amount(StatementKey::Gross).minus(amount(StatementKey::OverAll));
        let form: Money = self.lines.iter().map(|line| line.amount).sum();
        let to_choose: Money = self.to_choose.iter().map(|(_, amount)| *amount).sum();
        let left_out: Money = self.left_out.iter().map(|(_, amount, _)| *amount).sum();
        let mulch = amount(StatementKey::MulchOverLife).negated().minus(self.mulch);
        let rest = costs.minus(form).minus(to_choose).minus(left_out).minus(mulch);
        Tie { form, to_choose, left_out, mulch, rest, costs }
    }
}

impl Tie {
    /// Each step with its name and its dollars, from the form to the statement; what is zero is left
    /// out, but for the first and the last.
    pub fn steps(&self) -> Vec<(&'static str, Money)> {
        let between = [
            ("Waiting for a line", self.to_choose),
            ("Not on the form", self.left_out),
            ("Mulch over its life, less mulch laid this season", self.mulch),
            ("Rounding", self.rest),
        ];
        let mut steps = vec![("On the form's lines", self.form)];
        steps.extend(between.into_iter().filter(|(_, amount)| !amount.is_zero()));
        steps.push(("Costs of the statement: gross less return over all costs", self.costs));
        steps
    }
}
