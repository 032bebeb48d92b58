//! The operation's own windows and limits of field work.

use actix_web::http::StatusCode;
use actix_web::web;
use askama::Template;
use intake::{Problem, field_rule_columns, print_field_rules, read_field_rules};
use reckon::field_rules::{FieldRules, by_name};
use store::StoreError;
use uuid::Uuid;

use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{SeasonAt, Writing};
use crate::pages::records::fields::{Field, Shape, Wrong};
use crate::pages::records::{keep, key_of, sent_before};
use crate::pages::{Page, show_with};
use crate::routes::to;
use crate::shell::Shell;

/// The form.
#[derive(Template)]
#[template(path = "due/rules.html")]
pub struct RulesPage {
    shell: Shell,
    year: i32,
    key: Uuid,
    /// What the form was made from: told again when it is sent.
    seen: String,
    /// Each field with what an empty one means, and where that comes from.
    fields: Vec<Field>,
    wrong: Wrong,
    /// Somebody set others while the page was open.
    overtaken: bool,
}

/// What the form was made from and by, and what is wrong with it.
struct Made<'m> {
    key: Uuid,
    seen: &'m FieldRules,
    typed: &'m [(String, String)],
    problems: &'m [Problem],
}

impl RulesPage {
    fn of(shell: Shell, year: i32, made: &Made<'_>) -> Self {
        let columns = field_rule_columns();
        let field = |column| {
            let field = Field::of(column, &columns, Vec::new(), made.typed, made.problems);
            let source = by_name(column.name).map(|info| format!(" ({})", info.source));
            Field { hint: format!("Empty: {}{}.", field.hint, source.unwrap_or_default()), ..field }
        };
        Self {
            shell: shell.below(to::due(year)),
            year,
            key: made.key,
            seen: written(made.seen),
            fields: columns.iter().map(field).collect(),
            wrong: Wrong::of(&columns, made.problems),
            overtaken: false,
        }
    }

    /// The form as the book stands.
    pub fn blank(shell: Shell, year: i32, key: Uuid, rules: &FieldRules) -> Self {
        let typed = typed(rules);
        Self::of(shell, year, &Made { key, seen: rules, typed: &typed, problems: &[] })
    }
}

/// GET /season/{year}/due/windows
pub async fn rules_page(state: web::Data<AppState>, writing: Writing, shell: Shell, at: SeasonAt) -> Page {
    let desk = writing.desk();
    desk.season(at.year).await?;
    let rules = desk.field_rules().await?;
    show_with(StatusCode::OK, &RulesPage::blank(shell, at.year, state.source.id(), &rules))
}

/// POST /season/{year}/due/windows
pub async fn rules_sent(writing: Writing, shell: Shell, at: SeasonAt, form: Form) -> Page {
    let (key, year) = (key_of(&form)?, at.year);
    writing.desk().season(year).await?;
    let seen = seen(form.get("seen"))?;
    let rules = match read_field_rules(form.fields()) {
        Ok(rules) => rules,
        Err(problems) => {
            let made = Made { key, seen: &seen, typed: form.fields(), problems: &problems };
            return show_with(StatusCode::UNPROCESSABLE_ENTITY, &RulesPage::of(shell, year, &made));
        }
    };
    let mut book = writing.open().await?;
    if let Some(before) = sent_before(&mut book, &form).await? {
        return Ok(before);
    }
    match book.keep_field_rules(&seen, &rules).await {
        Ok(()) => keep(book, &form, &format!("{}?said=corrected", to::due(year))).await,
        Err(StoreError::Changed) => {
            drop(book);
            let now = writing.desk().field_rules().await?;
            let page = RulesPage::of(shell, year, &Made { key, seen: &now, typed: form.fields(), problems: &[] });
            show_with(StatusCode::CONFLICT, &RulesPage { overtaken: true, ..page })
        }
        Err(other) => Err(other.into()),
    }
}

fn typed(rules: &FieldRules) -> Vec<(String, String)> {
    print_field_rules(rules).into_iter().map(|(name, text)| (name.to_owned(), text)).collect()
}

/// `second_look_closes 21, week_hours 48`.
fn written(rules: &FieldRules) -> String {
    let each: Vec<String> = print_field_rules(rules).iter().map(|(name, text)| format!("{name} {text}")).collect();
    each.join(", ")
}

/// What [`written`] wrote.
fn seen(text: &str) -> Result<FieldRules, PageError> {
    let pairs = text.split(", ").filter_map(|pair| pair.split_once(' '));
    let fields: Vec<(String, String)> = pairs.map(|(name, text)| (name.to_owned(), text.to_owned())).collect();
    read_field_rules(&fields).map_err(|_| PageError::Unreadable("what the form was made from does not read"))
}
