//! The form itself: its groups of fields, what holds beside each, and what was sent.

use actix_web::http::StatusCode;
use askama::Template;
use intake::{Column, Problem};
use store::StoreError;
use uuid::Uuid;

use super::groups::{Group, groups};
use super::subject::{Subject, outside_records, taken};
use crate::body::Form;
use crate::extract::Writing;
use crate::pages::records::ask::{Ask, unanswered};
use crate::pages::records::fields::{Shape, Wrong};
use crate::pages::records::{keep, key_of, sent_before};
use crate::pages::sign_in::kept::is_looked_over;
use crate::pages::{Page, show, show_with};
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "setup/form.html")]
pub(super) struct SetupForm {
    shell: Shell,
    subject: Subject,
    year: i32,
    key: Uuid,
    /// The version the form was made from; `None` of something new.
    version: Option<i64>,
    groups: Vec<Group>,
    wrong: Wrong,
    /// What is to be confirmed.
    asked: Vec<Ask>,
    /// What the book says now where the form says otherwise, when somebody changed it meanwhile.
    overtaken: Option<Vec<(&'static str, String)>>,
}

impl SetupForm {
    /// The form as the book stands, nothing typed yet.
    pub(super) fn blank(shell: Shell, subject: Subject, year: i32, key: Uuid) -> Self {
        let typed = subject.written();
        Self::of(shell, subject, year, key, &typed, &[])
    }

    fn of(
        shell: Shell,
        subject: Subject,
        year: i32,
        key: Uuid,
        typed: &[(String, String)],
        problems: &[Problem],
    ) -> Self {
        let columns = subject.columns();
        let wrong = Wrong::of(&columns, problems);
        let groups = groups(&subject, &columns, typed, problems);
        let within = match &subject {
            Subject::NewFarm => to::season(year),
            Subject::Farm(row) | Subject::NewBlock(row) => to::farm(year, row.id),
            Subject::Block(row) | Subject::Soil(row) => to::farm(year, row.farm_id),
        };
        let version = subject.version();
        Self {
            shell: shell.below(within),
            subject,
            year,
            key,
            version,
            groups,
            wrong,
            asked: Vec::new(),
            overtaken: None,
        }
    }

    fn title(&self) -> String {
        match &self.subject {
            Subject::NewFarm => "Add a farm".to_owned(),
            Subject::Farm(row) => format!("Correct: {}", row.farm.name),
            Subject::NewBlock(row) => format!("Add a block to {}", row.farm.name),
            Subject::Block(row) => format!("Correct: {}", row.block.code),
            Subject::Soil(row) => format!("Soil and canopy of {}", row.block.code),
        }
    }

    fn is_soil(&self) -> bool {
        matches!(self.subject, Subject::Soil(_))
    }

    fn canopy_by_day(&self) -> Option<String> {
        match &self.subject {
            Subject::Soil(row) => Some(to::records(self.year, Some(row.id), reckon::figure::RecordKind::Canopy)),
            _ => None,
        }
    }

    const fn button(&self) -> &'static str {
        match (&self.overtaken, &self.subject) {
            (Some(_), _) => "Keep mine instead",
            (None, Subject::NewFarm) => "Add the farm",
            (None, Subject::NewBlock(_)) => "Add the block",
            (None, Subject::Soil(_)) => "Keep soil and canopy",
            (None, Subject::Farm(_) | Subject::Block(_)) => "Keep the correction",
        }
    }
}

/// Keeps what was sent, or shows it again with what is wrong.
pub(super) async fn sent(writing: &Writing, shell: Shell, subject: Subject, year: i32, form: &Form) -> Page {
    let (key, version) = (key_of(form)?, subject.version_of(form)?);
    if is_looked_over(form) {
        return show(&as_typed(shell, subject, year, form, (key, version), &[]));
    }
    let parsed = match subject.read(form) {
        Ok(parsed) => parsed,
        Err(problems) => return refused(shell, subject, year, form, (key, version), &problems),
    };
    let mut book = writing.open().await?;
    if let Some(before) = sent_before(&mut book, form).await? {
        return Ok(before);
    }
    let asked = unanswered(subject.asked(&parsed, shell.today), form);
    if !asked.is_empty() {
        drop(book);
        let page = as_typed(shell, subject, year, form, (key, version), &[]);
        return show_with(StatusCode::UNPROCESSABLE_ENTITY, &SetupForm { asked, ..page });
    }
    match subject.keep(&mut book, year, version, parsed).await {
        Ok(location) => keep(book, form, &location).await,
        Err(StoreError::Taken(constraint)) => {
            drop(book);
            let problem = taken(constraint, form).ok_or(StoreError::Taken(constraint))?;
            refused(shell, subject, year, form, (key, version), &[problem])
        }
        Err(error @ StoreError::RecordsOfSeason { year: season }) => {
            drop(book);
            let problem = outside_records(season, form).ok_or(error)?;
            refused(shell, subject, year, form, (key, version), &[problem])
        }
        Err(StoreError::Changed) => {
            drop(book);
            let now = subject.again(&writing.desk()).await?;
            overtaken(shell, now, year, form, key)
        }
        Err(other) => Err(other.into()),
    }
}

/// The form again, with what is wrong with it.
fn refused(
    shell: Shell,
    subject: Subject,
    year: i32,
    form: &Form,
    (key, version): (Uuid, i64),
    problems: &[Problem],
) -> Page {
    show_with(StatusCode::UNPROCESSABLE_ENTITY, &as_typed(shell, subject, year, form, (key, version), problems))
}

/// The form as typed. Its version stays the one that was sent, so that a change by somebody else is
/// seen at the next try.
fn as_typed(
    shell: Shell,
    subject: Subject,
    year: i32,
    form: &Form,
    (key, version): (Uuid, i64),
    problems: &[Problem],
) -> SetupForm {
    let page = SetupForm::of(shell, subject, year, key, form.fields(), problems);
    SetupForm { version: page.version.and(Some(version)), ..page }
}

/// What was typed beside what stands in the book now; kept once more, it replaces that.
fn overtaken(shell: Shell, now: Subject, year: i32, form: &Form, key: Uuid) -> Page {
    let differs = differing(&now, form);
    let page = SetupForm::of(shell, now, year, key, form.fields(), &[]);
    show_with(StatusCode::CONFLICT, &SetupForm { overtaken: Some(differs), ..page })
}

fn differing(now: &Subject, form: &Form) -> Vec<(&'static str, String)> {
    let written = now.written();
    let stands = |column: &Column| {
        let text = written.iter().find(|(name, _)| name == column.name).map_or("", |(_, text)| text);
        (text != form.get(column.name)).then(|| {
            let said = if text.is_empty() { "nothing" } else { text };
            (column.label, said.to_owned())
        })
    };
    now.columns().iter().filter_map(stands).collect()
}

/// Shows the form as the book stands.
pub(super) fn blank(shell: Shell, subject: Subject, year: i32, key: Uuid) -> Page {
    show(&SetupForm::blank(shell, subject, year, key))
}
