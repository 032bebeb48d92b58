//! The same season as files: the printed report, and figures for other programs.

use actix_web::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use actix_web::{HttpRequest, HttpResponse, web};
use print::report::{self, Issue};
use print::sheet::Paper;
use reckon::season::BlockSeason;

use super::season;
use crate::closing::standing;
use crate::error::PageError;
use crate::extract::{BlockAt, Reading};
use crate::pages::Page;
use crate::shell::Shell;

/// Content type of a spreadsheet.
pub(crate) const CSV: &str = "text/csv; charset=utf-8";

/// GET /season/{year}/block/{block}/report.pdf: on letter paper, or `?paper=a4`.
pub async fn report_pdf(reading: Reading, at: BlockAt, shell: Shell, req: HttpRequest) -> Page {
    let season = season(&reading.desk(), at).await?;
    let asked = req.query_string().split('&').find_map(|pair| pair.strip_prefix("paper="));
    let paper = asked.map_or(Some(Paper::default()), Paper::from_word).ok_or(PageError::NotFound)?;
    let day_of = |moment| (shell.local)(moment).date_naive();
    let standing = standing(&reading.desk(), at.block, &season.heading.season, day_of).await?;
    let issue = Issue { paper, made_on: shell.today, standing };
    let name = file_name(&season, "pdf");
    let pdf = web::block(move || report::pdf(&season, &issue)).await.map_err(PageError::inside)?;
    Ok(file("application/pdf", "inline", &name, pdf.map_err(PageError::inside)?))
}

/// GET /season/{year}/block/{block}/season.json
pub async fn season_json(reading: Reading, at: BlockAt) -> Page {
    let season = season(&reading.desk(), at).await?;
    let text = print::json::block_season(&season).to_string();
    Ok(file("application/json", "inline", &file_name(&season, "json"), text.into_bytes()))
}

/// GET /season/{year}/block/{block}/water.csv: the four runs, day by day.
pub async fn water_csv(reading: Reading, at: BlockAt) -> Page {
    let season = season(&reading.desk(), at).await?;
    let runs = season.water.runs.as_ref().ok_or(PageError::NotFound)?;
    let text = print::csv::daily(runs);
    Ok(file(CSV, "attachment", &file_name(&season, "water.csv"), text.into_bytes()))
}

/// GET /season/{year}/block/{block}/figures.csv
pub async fn figures_csv(reading: Reading, at: BlockAt) -> Page {
    let season = season(&reading.desk(), at).await?;
    let text = print::csv::figures(&season);
    Ok(file(CSV, "attachment", &file_name(&season, "figures.csv"), text.into_bytes()))
}

/// An answer that is a file.
pub(crate) fn file(kind: &'static str, how: &str, name: &str, bytes: Vec<u8>) -> HttpResponse {
    HttpResponse::Ok()
        .insert_header((CONTENT_TYPE, kind))
        .insert_header((CONTENT_DISPOSITION, format!("{how}; filename=\"{name}\"")))
        .body(bytes)
}

/// `RB-1-2026.pdf`: letters and digits of the code, so it is a name on any machine and safe in a
/// header.
pub(crate) fn file_name(season: &BlockSeason, ending: &str) -> String {
    let plain = |letter: char| if letter.is_ascii_alphanumeric() { letter } else { '-' };
    let code: String = season.heading.block.code.chars().take(40).map(plain).collect();
    format!("{code}-{}.{ending}", season.heading.season.year)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_name_is_safe_in_a_header() {
        let names: Vec<String> =
            print::samples::all().into_iter().map(|(_, season)| file_name(&season, "pdf")).collect();
        assert_eq!(names.first().map(String::as_str), Some("RB-1-2026.pdf"));
        for name in names {
            assert!(name.bytes().all(|byte| byte.is_ascii_alphanumeric() || b"-.".contains(&byte)), "{name}");
        }
    }
}
