//! The table of columns: one list for files, forms and the documentation.

/// A column of a file, which is also a field of a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Name in a CSV header, unit included.
    pub name: &'static str,
    /// Short label on a form.
    pub label: &'static str,
    /// It may not be blank.
    pub required: bool,
    /// One or two sentences: what it holds, its unit, what a blank means.
    pub about: &'static str,
    /// A value as it may be typed.
    pub example: &'static str,
    /// How it is typed.
    pub input: Input,
}

/// How a column is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Input {
    /// A line of text.
    Text,
    /// Text with line breaks.
    LongText,
    /// A day, `2026-05-14`.
    Date,
    /// A day of any year, `07-18`.
    MonthDay,
    /// A number.
    Number {
        /// Its unit as shown beside the field; empty for a bare number.
        unit: &'static str,
    },
    /// One of these words.
    Choice(&'static [&'static str]),
}

impl Column {
    /// What is expected where it may not be blank.
    pub(crate) fn expected(&self) -> String {
        match self.input {
            Input::Text | Input::LongText => format!("a text: {}", first_small(self.about)),
            Input::Date => "a day as year-month-day".to_owned(),
            Input::MonthDay => "a day of the year as month-day".to_owned(),
            Input::Number { .. } => format!("a number: {}", first_small(self.about)),
            Input::Choice(words) => format!("one of {}", words.join(", ")),
        }
    }

    /// The same column, which may not be blank.
    pub(crate) const fn required(self) -> Self {
        Self { required: true, ..self }
    }
}

/// A sentence as it stands within another: first letter small, no full stop.
fn first_small(sentence: &str) -> String {
    let mut letters = sentence.trim_end_matches('.').chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}

const fn column(
    name: &'static str,
    label: &'static str,
    input: Input,
    about: &'static str,
    example: &'static str,
) -> Column {
    Column { name, label, required: false, about, example, input }
}

/// A column of text.
pub(crate) const fn text(
    name: &'static str,
    label: &'static str,
    about: &'static str,
    example: &'static str,
) -> Column {
    column(name, label, Input::Text, about, example)
}

/// A column of numbers, with the unit as shown beside the field.
pub(crate) const fn number(
    name: &'static str,
    label: &'static str,
    unit: &'static str,
    about: &'static str,
    example: &'static str,
) -> Column {
    column(name, label, Input::Number { unit }, about, example)
}

/// A column that holds one of some words.
pub(crate) const fn choice(
    name: &'static str,
    label: &'static str,
    words: &'static [&'static str],
    about: &'static str,
    example: &'static str,
) -> Column {
    column(name, label, Input::Choice(words), about, example)
}

/// A required day.
pub(crate) const fn day(name: &'static str, label: &'static str, about: &'static str) -> Column {
    column(name, label, Input::Date, about, "2026-05-14").required()
}

/// A day of any year.
pub(crate) const fn month_day(
    name: &'static str,
    label: &'static str,
    about: &'static str,
    example: &'static str,
) -> Column {
    column(name, label, Input::MonthDay, about, example)
}

/// The block a record belongs to.
pub(crate) const BLOCK: Column = text("block", "Block", "Code of the block.", "RB-1").required();

/// The note that every kind has.
pub(crate) const NOTE: Column =
    column("note", "Note", Input::LongText, "Anything worth keeping. Blank = nothing.", "second look due in ten days");

/// The words of an enum, in the order of its `ALL`, as a constant list.
macro_rules! words {
    ($kind:ty) => {{
        const LENGTH: usize = <$kind>::ALL.len();
        #[expect(clippy::indexing_slicing, reason = "run by the compiler, which refuses a wrong index")]
        const WORDS: [&str; LENGTH] = {
            let mut words = [""; LENGTH];
            let mut at = 0;
            while at < LENGTH {
                words[at] = <$kind>::ALL[at].word();
                at += 1;
            }
            words
        };
        &WORDS
    }};
}
pub(crate) use words;
