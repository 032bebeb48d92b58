//! Soil and canopy of a block: every setting of its water balance, beside it the value that holds.

use actix_web::web;
use askama::Template;
use reckon::figure::RecordKind;
use store::{BlockRow, Right};

use super::form::{blank, sent};
use super::groups::{Group, groups};
use super::subject::Subject;
use crate::app::AppState;
use crate::body::Form;
use crate::extract::{BlockAt, Reading, Writing};
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// The values that hold, for whoever may not change them.
#[derive(Template)]
#[template(path = "setup/soil.html")]
pub(super) struct SoilPage {
    shell: Shell,
    above: (String, String),
    code: String,
    groups: Vec<Group>,
    canopy: String,
}

impl SoilPage {
    pub(super) fn of(shell: Shell, year: i32, row: BlockRow) -> Self {
        let subject = Subject::Soil(row.clone());
        Self {
            shell: shell.below(to::farm(year, row.farm_id)),
            above: subject.above(year),
            groups: groups(&subject, &subject.columns(), &[], &[]),
            canopy: to::records(year, Some(row.id), RecordKind::Canopy),
            code: row.block.code,
        }
    }
}

/// GET /season/{year}/block/{block}/soil
pub async fn soil_page(state: web::Data<AppState>, reading: Reading, shell: Shell, at: BlockAt) -> Page {
    let desk = reading.desk();
    desk.season(at.year).await?;
    let row = desk.block(at.block).await?;
    if shell.may(Right::SetUp) {
        blank(shell, Subject::Soil(row), at.year, state.source.id())
    } else {
        show(&SoilPage::of(shell, at.year, row))
    }
}

/// POST /season/{year}/block/{block}/soil
pub async fn soil_sent(writing: Writing, shell: Shell, at: BlockAt, form: Form) -> Page {
    let desk = writing.desk();
    desk.season(at.year).await?;
    let subject = Subject::Soil(desk.block(at.block).await?);
    sent(&writing, shell, subject, at.year, &form).await
}
