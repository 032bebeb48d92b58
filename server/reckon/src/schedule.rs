//! A suggestion for the farm tax form: which line of Schedule F (Form 1040), Part II, a cost goes to.
//!
//! Line names: Internal Revenue Service, Schedule F, form of 2021 (the numbers are the same in 2018
//! and 2019). The mapping is ours and suggested only: the bookkeeper decides. Economic costs
//! (capital recovery, interest nobody is paid, own land and management) are never exported.

mod expenses;
mod tie;
mod words;

pub use expenses::{Expense, ScheduleF, ScheduleLine, expenses, schedule};
pub use tie::Tie;
pub use words::suggest;

/// A line of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FormLine {
    /// Its number: "21b".
    pub number: &'static str,
    /// Its name.
    pub name: &'static str,
}

/// Sales of what the farm raised (Part I, line 2): gross, before anything a packer kept back.
pub const SALES: FormLine =
    FormLine { number: "2", name: "Sales of livestock, produce, grains, and other products you raised" };

/// Part II in the order of the form.
pub const PART_II: [FormLine; 25] = [
    FormLine { number: "10", name: "Car and truck expenses" },
    FormLine { number: "11", name: "Chemicals" },
    FormLine { number: "12", name: "Conservation expenses" },
    FormLine { number: "13", name: "Custom hire (machine work)" },
    FormLine { number: "14", name: "Depreciation and section 179 expense" },
    FormLine { number: "15", name: "Employee benefit programs other than on line 23" },
    FormLine { number: "16", name: "Feed" },
    FormLine { number: "17", name: "Fertilizers and lime" },
    FormLine { number: "18", name: "Freight and trucking" },
    FormLine { number: "19", name: "Gasoline, fuel, and oil" },
    FormLine { number: "20", name: "Insurance (other than health)" },
    FormLine { number: "21a", name: "Interest: mortgage (paid to banks, etc.)" },
    FormLine { number: "21b", name: "Interest: other" },
    FormLine { number: "22", name: "Labor hired (less employment credits)" },
    FormLine { number: "23", name: "Pension and profit-sharing plans" },
    FormLine { number: "24a", name: "Rent or lease: vehicles, machinery, equipment" },
    FormLine { number: "24b", name: "Rent or lease: other (land, animals, etc.)" },
    FormLine { number: "25", name: "Repairs and maintenance" },
    FormLine { number: "26", name: "Seeds and plants" },
    FormLine { number: "27", name: "Storage and warehousing" },
    FormLine { number: "28", name: "Supplies" },
    FormLine { number: "29", name: "Taxes" },
    FormLine { number: "30", name: "Utilities" },
    FormLine { number: "31", name: "Veterinary, breeding, and medicine" },
    FormLine { number: "32a-32f", name: "Other expenses (specify)" },
];

/// The line of this number; "32" finds the other expenses.
pub fn line(number: &str) -> Option<&'static FormLine> {
    PART_II.iter().find(|line| line.number == number || (number == "32" && line.number == "32a-32f"))
}

/// Where a cost goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Placing {
    /// A suggested line, and what to look at.
    Line(&'static FormLine, &'static str),
    /// Never on the form, and why.
    LeftOut(&'static str),
    /// The words say too little: a person chooses.
    Choose,
}

impl Placing {
    fn on(number: &str, comment: &'static str) -> Self {
        line(number).map_or(Self::Choose, |line| Self::Line(line, comment))
    }
}
