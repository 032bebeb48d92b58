//! The form of the operation's own windows and limits of field work.

use reckon::field_rules::{FieldRules, RULES, RuleInfo};

use crate::Context;
use crate::column::{Column, number};
use crate::number::Mark;
use crate::problem::{Problem, Problems};
use crate::row::{Cell, Row, from};

/// The fields of the form, in its order.
pub fn field_rule_columns() -> Vec<Column> {
    RULES.iter().map(column).collect()
}

fn column(info: &RuleInfo) -> Column {
    let example = match info.unit {
        "trees" => "4",
        "hours" => "40",
        unit if unit.contains("Monday") => "7",
        _ => "14",
    };
    number(info.name, info.label, info.unit, info.blank, example)
}

/// What was typed, as rules; other fields are left alone.
///
/// # Errors
/// Every problem of the form, each with its column.
pub fn read_field_rules(fields: &[(String, String)]) -> Result<FieldRules, Vec<Problem>> {
    let columns = field_rule_columns();
    let cells = fields.iter().filter_map(|(name, text)| {
        let column = columns.iter().find(|column| column.name == name)?;
        Some(Cell::plain(column.name, text.clone()))
    });
    let mut problems = Problems::default();
    let mut row = Row::new(&columns, cells.collect(), None, Mark::Point, Context::default(), &mut problems);
    row.check_texts();
    let mut rules = FieldRules::default();
    for info in &RULES {
        let value = row.whole(info.name, from(f64::from(info.low)).up_to(f64::from(info.high)));
        rules.set(info.rule, value);
    }
    if row.found() == 0
        && let Some(clash) = rules.clash()
        && let Some(info) = RULES.iter().find(|info| info.rule == clash.rule)
    {
        row.problem_like(info.name, clash.expected, "");
    }
    if row.found() == 0 { Ok(rules) } else { Err(problems.into_list()) }
}

/// What was set, as text by field.
pub fn print_field_rules(rules: &FieldRules) -> Vec<(&'static str, String)> {
    rules.values().map(|(info, value)| (info.name, value.to_string())).collect()
}

#[cfg(test)]
mod tests {
    use reckon::field_rules::FieldRule;

    use super::*;

    fn read(fields: &[(&str, &str)]) -> Result<FieldRules, Vec<String>> {
        let fields: Vec<(String, String)> = fields.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        read_field_rules(&fields).map_err(|problems| problems.iter().map(ToString::to_string).collect())
    }

    #[test]
    fn what_is_printed_reads_as_it_was() {
        let rules =
            read(&[("second_look_closes", " 21 "), ("pollinizer_reach", "4"), ("csrf", "x"), ("week_hours", "")]);
        let rules = rules.unwrap();
        assert_eq!((rules.own(FieldRule::LookCloses), rules.own(FieldRule::WeekHours)), (Some(21), None));
        let printed = print_field_rules(&rules);
        assert_eq!(printed, [("second_look_closes", "21".to_owned()), ("pollinizer_reach", "4".to_owned())]);
        let printed: Vec<(&str, &str)> = printed.iter().map(|(name, text)| (*name, text.as_str())).collect();
        assert_eq!(read(&printed).unwrap(), rules);
        assert_eq!(read(&[]).unwrap(), FieldRules::default());
    }

    #[test]
    fn what_does_not_read_or_does_not_fit_is_said_at_its_field() {
        let said = |name: &str, text: &str| read(&[(name, text)]).unwrap_err().remove(0);
        assert!(said("first_pass_opens", "soon").starts_with("column first_pass_opens: read \"soon\""));
        assert!(said("week_hours", "169").contains("168"));
        assert!(said("second_look_opens", "7.5").contains("whole number"));
        assert_eq!(
            said("second_look_opens", "15"),
            "column second_look_closes: read nothing, expected at least the days after which it opens"
        );
        assert!(said("ripening_opens", "70").starts_with("column ripening_closes"));
    }
}
