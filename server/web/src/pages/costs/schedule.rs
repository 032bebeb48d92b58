//! Lines of Schedule F, as suggested.

use actix_web::web;
use print::figures;
use reckon::operation::together;
use reckon::schedule::{self, SALES, ScheduleF, Tie};
use reckon::season::{BlockSeason, SeasonRecords};
use store::BlockId;

use crate::error::PageError;
use crate::extract::{Reading, SeasonAt};
use crate::pages::Page;
use crate::pages::block::{CSV, file};

/// The form as the page shows it.
pub(super) struct Form {
    pub(super) sales: (&'static str, &'static str, String),
    pub(super) lines: Vec<FormRow>,
    /// What, dollars.
    pub(super) to_choose: Vec<(String, String)>,
    /// What, dollars, why.
    pub(super) left_out: Vec<(String, String, &'static str)>,
    /// From the form to the statement: what, dollars.
    pub(super) tie: Vec<(&'static str, String)>,
}

/// One line.
pub(super) struct FormRow {
    pub(super) number: &'static str,
    pub(super) name: &'static str,
    pub(super) amount: String,
    /// What, dollars, what to look at.
    pub(super) parts: Vec<(String, String, &'static str)>,
}

impl Form {
    pub(super) fn of(blocks: &[(BlockId, SeasonRecords)]) -> Self {
        let (form, tie) = of_blocks(blocks);
        Self {
            sales: (SALES.number, SALES.name, figures::money(form.sales)),
            lines: form.lines.into_iter().map(row).collect(),
            to_choose: form.to_choose.into_iter().map(|(what, amount)| (what, dollars(amount))).collect(),
            tie: tie.steps().into_iter().map(|(what, amount)| (what, figures::money(amount))).collect(),
            left_out: form.left_out.into_iter().map(|(what, amount, why)| (what, dollars(amount), why)).collect(),
        }
    }
}

/// `−$509.30`.
fn dollars(amount: reckon::money::Money) -> String {
    figures::dollars(&figures::money(amount))
}

fn row(line: schedule::ScheduleLine) -> FormRow {
    let part = |(what, amount, note): (String, _, &'static str)| (what, figures::money(amount), note);
    FormRow {
        number: line.line.number,
        name: line.line.name,
        amount: figures::money(line.amount),
        parts: line.parts.into_iter().map(part).collect(),
    }
}

/// The form, held against the statement of the same blocks.
fn of_blocks(blocks: &[(BlockId, SeasonRecords)]) -> (ScheduleF, Tie) {
    let form = schedule::schedule(blocks.iter().map(|(_, records)| records));
    let seasons: Vec<BlockSeason> = blocks.iter().map(|(_, records)| reckon::reckon(records)).collect();
    let tie = form.tie(&together(&seasons.iter().collect::<Vec<_>>()));
    (form, tie)
}

/// GET /season/{year}/schedule-f.csv
pub async fn schedule_f_csv(reading: Reading, at: SeasonAt) -> Page {
    let blocks = reading.desk().whole_season(at.year).await?;
    let text = web::block(move || {
        let (form, tie) = of_blocks(&blocks);
        print::csv::schedule_f(&form, &tie)
    });
    let text = text.await.map_err(PageError::inside)?;
    Ok(file(CSV, "attachment", &format!("schedule-f-{}.csv", at.year), text.into_bytes()))
}
