//! What is asked before an entry is kept: values that can hardly be meant, and work that looks entered
//! already. The form comes back with the questions; a tick at each keeps it as it stands.

use chrono::NaiveDate;
use intake::{Beside, Parsed, questions};
use reckon::records::{Likeness, Record};
use store::{Desk, StoredRecord, Target};
use uuid::Uuid;

use super::List;
use crate::body::Form;
use crate::crew_day::{self, Coming};
use crate::display;
use crate::error::PageError;
use crate::likeness::{differing, figure};
use crate::routes::to;

/// Name of the boxes to tick; the value of each is its question, so a tick is for that one alone.
const SURE: &str = "sure";

/// One question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Ask {
    /// The question.
    pub(crate) sentence: String,
    /// The entry it is about, where that is another one.
    pub(crate) link: Option<String>,
    /// It was ticked.
    pub(crate) ticked: bool,
}

impl Ask {
    fn of(sentence: String) -> Self {
        Self { sentence, link: None, ticked: false }
    }
}

/// The questions with what was ticked; nothing when every one was.
pub(crate) fn unanswered(mut asked: Vec<Ask>, form: &Form) -> Vec<Ask> {
    for ask in &mut asked {
        ask.ticked = form.fields().iter().any(|(name, value)| name == SURE && *value == ask.sentence);
    }
    if asked.iter().all(|ask| ask.ticked) { Vec::new() } else { asked }
}

/// What is asked about a farm or block that is not an entry of a list.
pub(crate) fn of_parsed(parsed: &Parsed, today: NaiveDate) -> Vec<Ask> {
    let asked = questions(parsed, &Beside { today, block: None });
    asked.into_iter().map(|question| Ask::of(question.sentence)).collect()
}

/// What is still to be answered before an entry is kept. What stands in the book with the same oddity
/// was answered before.
pub(super) async fn asked(
    desk: &Desk<'_>,
    list: &List,
    today: NaiveDate,
    entry: (&Target, &Record),
    stands: Option<&StoredRecord>,
    form: &Form,
) -> Result<Vec<Ask>, PageError> {
    let mut found = of_entry(desk, list, today, entry, stands.map(|stored| stored.id)).await?;
    if let (Some(stored), false) = (stands, found.is_empty()) {
        let before = of_entry(desk, list, today, (&stored.target, &stored.record), Some(stored.id)).await?;
        found.retain(|ask| !before.contains(ask));
    }
    Ok(unanswered(found, form))
}

async fn of_entry(
    desk: &Desk<'_>,
    list: &List,
    today: NaiveDate,
    (target, record): (&Target, &Record),
    except: Option<Uuid>,
) -> Result<Vec<Ask>, PageError> {
    let block = list.block.as_ref().map(|row| &row.block);
    let columns = list.columns();
    let of_values = questions(&Parsed::Record(record.clone()), &Beside { today, block });
    // What the form does not show the person neither typed nor may see.
    let shown = of_values.into_iter().filter(|question| columns.iter().any(|column| column.name == question.column));
    let mut asked: Vec<Ask> = shown.map(|question| Ask::of(question.sentence)).collect();
    let alike = desk.alike(target, record, except).await?;
    let alike = alike.iter().filter_map(|known| Some((known, known.record.likeness(record)?)));
    asked.extend(alike.map(|(known, likeness)| double(list, known, likeness)));
    asked.extend(of_crew_day(desk, list.at.year, (target, record), except).await?);
    Ok(asked)
}

/// A crew's day that is too long with what it did elsewhere.
async fn of_crew_day(
    desk: &Desk<'_>,
    year: i32,
    (target, record): (&Target, &Record),
    except: Option<Uuid>,
) -> Result<Vec<Ask>, PageError> {
    let (Target::Block(block), Record::Labor(entry)) = (target, record) else { return Ok(Vec::new()) };
    let code = desk.block(*block).await?.block.code;
    let coming = Coming { line: 0, block: *block, code, entry: entry.clone() };
    let found = crew_day::doubts(desk, &[year].into(), vec![coming], except).await?;
    Ok(found.into_iter().map(|(_, sentence)| Ask::of(sentence)).collect())
}

fn double(list: &List, known: &StoredRecord, likeness: Likeness) -> Ask {
    let from = known.from_file.as_ref().map(|(file, line)| format!(" ({file}, line {line})")).unwrap_or_default();
    let (one, day) = (list.one(), display::full_day(known.record.date()));
    let kept = format!("{} kept on {}{from}", known.author, display::full_day(known.kept_at.date_naive()));
    let sentence = match likeness {
        Likeness::Instead { counts, .. } => format!(
            "There is already a {one} from {day}{}, which {kept}. Of the two {counts} counts. Keep both?",
            figure(&known.record)
        ),
        _ => format!("This looks like the {one} of {day} that {kept}{}. Is it another one?", differing(likeness)),
    };
    let link = to::correct(list.at.year, list.at.block, list.at.kind, known.id);
    Ask { link: Some(link), ..Ask::of(sentence) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tick_is_for_one_question() {
        let asked = || vec![Ask::of("Is it so much?".to_owned()), Ask::of("Is it another one?".to_owned())];
        let form = |ticked: &[&str]| {
            Form::of(ticked.iter().map(|sentence| (SURE.to_owned(), (*sentence).to_owned())).collect())
        };
        assert_eq!(unanswered(asked(), &form(&[])).len(), 2);
        let one = unanswered(asked(), &form(&["Is it another one?"]));
        assert_eq!(one.iter().map(|ask| ask.ticked).collect::<Vec<_>>(), [false, true]);
        assert_eq!(unanswered(asked(), &form(&["Is it another one?", "Is it so much?"])), []);
        assert_eq!(unanswered(asked(), &form(&["Is it so many?"])).len(), 2, "of an earlier try");
    }
}
