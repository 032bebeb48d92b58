//! Seasons as files: the report, the spreadsheet and the JSON of the operation, and the spreadsheet of
//! a block.

use actix_web::{HttpRequest, web};
use print::report::{Issue, Standing};
use print::sheet::Paper;
use print::{report, xlsx};
use reckon::operation_season::{OperationRecords, OperationSeason, cost_lines};

use crate::closing::operation_standing;
use crate::error::PageError;
use crate::extract::{BlockAt, Reading, SeasonAt, query};
use crate::pages::Page;
use crate::pages::block::{file, file_name};
use crate::shell::Shell;

/// Content type of a spreadsheet with sheets.
const XLSX: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";

/// The paper asked for, else letter.
pub(super) fn paper(req: &HttpRequest) -> Result<Paper, PageError> {
    query(req, "paper").map_or(Some(Paper::default()), |word| Paper::from_word(&word)).ok_or(PageError::NotFound)
}

/// GET /season/{year}/operation.pdf: on letter paper, or `?paper=a4`.
pub async fn operation_pdf(reading: Reading, at: SeasonAt, shell: Shell, req: HttpRequest) -> Page {
    let paper = paper(&req)?;
    let records = reading.desk().operation_records(at.year).await?;
    let issue = Issue { paper, made_on: shell.today, standing: standing(&reading, &shell, &records).await? };
    let pdf = web::block(move || report::operation::pdf(&records.reckon(), &issue));
    let bytes = pdf.await.map_err(PageError::inside)?.map_err(PageError::inside)?;
    Ok(file("application/pdf", "inline", &format!("operation-{}.pdf", at.year), bytes))
}

/// GET /season/{year}/operation.xlsx
pub async fn operation_xlsx(reading: Reading, at: SeasonAt, shell: Shell) -> Page {
    let records = reading.desk().operation_records(at.year).await?;
    let (made_on, standing) = (shell.today, standing(&reading, &shell, &records).await?);
    let book = web::block(move || xlsx::operation(&records.reckon(), made_on, &standing));
    let bytes = book.await.map_err(PageError::inside)?.map_err(PageError::inside)?;
    Ok(file(XLSX, "attachment", &format!("operation-{}.xlsx", at.year), bytes))
}

/// Which issue of the operation's report this is.
async fn standing(reading: &Reading, shell: &Shell, records: &OperationRecords) -> Result<Standing, PageError> {
    let day_of = |moment| (shell.local)(moment).date_naive();
    Ok(operation_standing(&reading.desk(), &records.season, day_of).await?)
}

/// GET /season/{year}/operation.json
pub async fn operation_json(reading: Reading, at: SeasonAt) -> Page {
    let records = reading.desk().operation_records(at.year).await?;
    let text = move || {
        let season: OperationSeason = records.reckon();
        print::json::operation(&season).to_string()
    };
    let text = web::block(text).await.map_err(PageError::inside)?;
    Ok(file("application/json", "inline", &format!("operation-{}.json", at.year), text.into_bytes()))
}

/// GET /season/{year}/block/{block}/season.xlsx
pub async fn season_xlsx(reading: Reading, at: BlockAt, shell: Shell) -> Page {
    let reported = reading.desk().reported(at.block, at.year).await?;
    let made_on = shell.today;
    let book = move || {
        let season = reported.reckon();
        let name = file_name(&season, "xlsx");
        xlsx::block(&season, &cost_lines(&reported.own), made_on).map(|bytes| (name, bytes))
    };
    let (name, bytes) = web::block(book).await.map_err(PageError::inside)?.map_err(PageError::inside)?;
    Ok(file(XLSX, "attachment", &name, bytes))
}
