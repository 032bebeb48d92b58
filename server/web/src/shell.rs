//! What every page has around it: who is signed in, the season, the left margin, today.

use std::future::Future;
use std::pin::Pin;

use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpRequest, web};
use chrono::{DateTime, FixedOffset, NaiveDate, Utc};
use reckon::block::Season;
use store::{FarmRow, Right, Role};

use crate::app::AppState;
use crate::error::PageError;
use crate::extract::Granted;
use crate::moment::Moment;

/// Around every page. A page struct holds it as `shell`; `layout.html` reads it.
#[derive(Debug, Clone)]
pub struct Shell {
    /// Name of the operation; empty where nobody is signed in.
    pub operation: String,
    /// Name of the person signed in; empty where nobody is.
    pub user: String,
    /// What the person is in the operation; `None` where nobody is signed in.
    pub role: Option<Role>,
    /// Whether the person sees the whole operation, and not some of its farms only.
    pub sees_all: bool,
    /// Seasons of the operation, newest first.
    pub seasons: Vec<Season>,
    /// The season of this page: the one in the address, else the newest that holds a record.
    pub season: Option<Season>,
    /// Farms in scope, by name, for the left margin.
    pub farms: Vec<FarmRow>,
    /// Value of the hidden field `csrf` of every form.
    pub csrf: String,
    /// What was just done, as a sentence.
    pub said: Option<&'static str>,
    /// Today in the operation's zone.
    pub today: NaiveDate,
    /// Path of this page, without the query.
    pub path: String,
    /// A moment in the operation's zone.
    pub local: fn(DateTime<Utc>) -> DateTime<FixedOffset>,
    /// Address of the page this one lies below: a block's farm.
    pub within: Option<String>,
}

impl Shell {
    /// For a page outside the book: sign in, first run, a problem.
    pub fn outside(path: &str, today: NaiveDate) -> Self {
        Self {
            operation: String::new(),
            user: String::new(),
            role: None,
            sees_all: false,
            seasons: Vec::new(),
            season: None,
            farms: Vec::new(),
            csrf: String::new(),
            said: None,
            today,
            path: path.to_owned(),
            local: |moment| moment.fixed_offset(),
            within: None,
        }
    }

    /// Whether somebody is signed in, and the left margin is shown.
    pub const fn signed_in(&self) -> bool {
        self.role.is_some()
    }

    /// Whether the person's role holds the right; pages leave out links that would be refused.
    pub fn may(&self, right: Right) -> bool {
        self.role.is_some_and(|role| role.may(right))
    }

    /// A moment as it is shown.
    pub fn moment(&self, at: DateTime<Utc>) -> Moment {
        Moment::of((self.local)(at))
    }

    /// Whether this page stands at the address: the current place in the left margin.
    pub fn here(&self, link: &str) -> bool {
        self.path == link
    }

    /// The same shell for a page that lies below another of the left margin.
    #[must_use]
    pub fn below(mut self, link: String) -> Self {
        self.within = Some(link);
        self
    }

    /// `page` at the page itself, `true` at the page this one lies below, else nothing.
    pub fn current(&self, link: &str) -> &'static str {
        match &self.within {
            _ if self.here(link) => "page",
            Some(within) if within == link => "true",
            _ => "",
        }
    }

    /// Year of this page's season; the year of today where there is none.
    pub fn year(&self) -> i32 {
        self.season.map_or_else(|| Season::year_of(self.today), |season| season.year)
    }

    async fn of(req: HttpRequest) -> Result<Self, PageError> {
        let state = req.app_data::<web::Data<AppState>>().ok_or(PageError::Unready)?.clone();
        let mut shell = Self::outside(req.path(), state.today());
        shell.said = said(req.query_string());
        shell.local = state.local;
        let Some(granted) = Granted::of(&req) else { return Ok(shell) };
        let desk = state.store.desk(&granted.who.scope);
        shell.seasons = desk.seasons().await?;
        shell.farms = desk.farms().await?;
        let year = req.match_info().get("year").and_then(|year| year.parse::<i32>().ok());
        shell.season = match year {
            Some(year) => shell.seasons.iter().find(|season| season.year == year).copied(),
            None => desk.newest_season_with_records().await?,
        };
        shell.operation.clone_from(&granted.who.operation_name);
        shell.user.clone_from(&granted.who.user_name);
        shell.role = Some(granted.who.scope.role());
        shell.sees_all = granted.who.scope.sees_all();
        shell.csrf = crate::csrf::field(&granted.who.csrf);
        Ok(shell)
    }
}

impl FromRequest for Shell {
    type Error = PageError;
    type Future = Pin<Box<dyn Future<Output = Result<Self, PageError>>>>;

    fn from_request(req: &HttpRequest, _: &mut Payload) -> Self::Future {
        Box::pin(Self::of(req.clone()))
    }
}

/// The codes a redirect may carry as `?said=`, each with its sentence: nothing in an address is
/// ever shown as it came.
const SAID: [(&str, &str); 16] = [
    ("kept", "Kept."),
    ("corrected", "The correction is kept; the earlier values stand under Changes."),
    ("removed", "The entry is removed; it stands under Changes."),
    ("season", "The season is open."),
    ("closed", "The season is closed. Its reports are numbered now."),
    ("reopened", "The season is open again; the reason stands under Changes."),
    ("season-removed", "The season is removed; it stands under Changes."),
    ("person", "The change is kept; it holds at once."),
    ("person-removed", "The person is removed and signed out."),
    ("password", "Your password is changed; your other sign-ins have ended."),
    ("key-removed", "The key is taken away; a program that sends it is refused from now on."),
    ("farm", "The farm is in the book. Add its blocks."),
    ("block", "The block is in the book. Below is what its water balance takes; set what you know better."),
    ("soil", "Kept. The block's open seasons are reckoned with it."),
    ("founded", "The book is open. Bring in farms and blocks, or a file of records."),
    ("signed-out", "You are signed out."),
];

fn said(query: &str) -> Option<&'static str> {
    let code = query.split('&').find_map(|pair| pair.strip_prefix("said="))?;
    SAID.iter().find(|(known, _)| *known == code).map(|(_, sentence)| *sentence)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_known_codes_are_said() {
        assert_eq!(said("said=kept"), Some("Kept."));
        assert_eq!(said("a=b&said=removed"), Some("The entry is removed; it stands under Changes."));
        assert_eq!(said("said=<b>hello</b>"), None);
        assert_eq!(said(""), None);
    }
}
