//! A form sent after the session was over. What was typed goes along through the sign-in page, in
//! hidden fields, and comes back with the question to send it again.
//!
//! Nothing is sent by itself: only a form from a page of this book gets here (`csrf`), and what comes
//! back carries the new session's token and waits for its button.

use actix_web::dev::ServiceRequest;
use actix_web::http::StatusCode;
use actix_web::web;
use askama::Template;
use intake::{FileKind, columns};
use reckon::figure::RecordKind;

use super::SignIn;
use crate::app::AppState;
use crate::body::{FORM_PATIENCE, Form, in_time};
use crate::csrf;
use crate::error::PageError;
use crate::pages::{Page, show_with};
use crate::shell::Shell;

/// In front of the name of a field that goes along.
const PREFIX: &str = "kept.";

/// The fields of a form that go along: no token, no password.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Kept(Vec<(String, String)>);

impl Kept {
    fn of(fields: &[(String, String)]) -> Self {
        let secret = |name: &str| name == csrf::FIELD || name == LOOK || name.contains("password");
        Self(fields.iter().filter(|(name, _)| !secret(name)).cloned().collect())
    }

    /// Those that came along with the sign-in form.
    pub(super) fn along(form: &Form) -> Self {
        let own = |(name, value): &(String, String)| Some((name.strip_prefix(PREFIX)?.to_owned(), value.clone()));
        Self::of(&form.fields().iter().filter_map(own).collect::<Vec<_>>())
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// As hidden fields of the sign-in form.
    pub(super) fn hidden(&self) -> Vec<(String, &str)> {
        self.0.iter().map(|(name, value)| (format!("{PREFIX}{name}"), value.as_str())).collect()
    }
}

/// Name of the button that asks for the form with what was typed, instead of sending it.
pub(crate) const LOOK: &str = "look";

/// Whether the form is only to be looked over.
pub(crate) fn is_looked_over(form: &Form) -> bool {
    !form.get(LOOK).is_empty()
}

#[derive(Template)]
#[template(path = "sign_in/again.html")]
struct Again {
    shell: Shell,
    action: String,
    csrf: String,
    fields: Vec<(String, String)>,
    /// Label and text of what a person typed.
    typed: Vec<(String, String)>,
    /// Whether the page can show its form with what was typed.
    form: bool,
}

/// The sign-in page in answer to a form without a session, 401.
pub(crate) fn ask(state: &AppState, path: &str, fields: &[(String, String)]) -> Page {
    let shell = Shell::outside(path, state.today());
    let kept = Kept::of(fields);
    let page = SignIn { shell, back: path.to_owned(), email: String::new(), problem: None, kept };
    show_with(StatusCode::UNAUTHORIZED, &page)
}

/// The body of a form, in time.
pub(crate) async fn fields(req: &mut ServiceRequest) -> Result<Vec<(String, String)>, PageError> {
    let body = in_time(FORM_PATIENCE, req.extract::<web::Form<Vec<(String, String)>>>()).await?;
    body.map(web::Form::into_inner).map_err(|_| PageError::Unreadable("the form did not arrive whole"))
}

/// What was typed, once more, for the person who has just signed in.
pub(super) fn again(state: &AppState, path: &str, token: &[u8; 32], kept: Kept) -> Page {
    let page = Again {
        shell: Shell::outside(path, state.today()),
        action: path.to_owned(),
        csrf: csrf::field(token),
        typed: typed(path, &kept),
        fields: kept.0,
        form: ["/add", "/correct", "/soil"].iter().any(|end| path.ends_with(end)),
    };
    show_with(StatusCode::OK, &page)
}

/// What a person typed, with the labels of its form.
fn typed(path: &str, kept: &Kept) -> Vec<(String, String)> {
    let labels = path.split('/').find_map(RecordKind::from_word).map(|kind| columns(FileKind::Records(kind)));
    let label = |name: &str| {
        let column = labels.iter().flatten().find(|column| column.name == name);
        column.map_or_else(|| crate::pages::capital(&name.replace('_', " ")), |column| column.label.to_owned())
    };
    let own = kept.0.iter().filter(|(name, value)| !["key", "version"].contains(&name.as_str()) && !value.is_empty());
    own.map(|(name, value)| (label(name), value.clone())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pairs(fields: &[(&str, &str)]) -> Vec<(String, String)> {
        fields.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect()
    }

    #[test]
    fn secrets_stay_behind() {
        let kept = Kept::of(&pairs(&[("csrf", "1"), ("new_password", "x"), ("note", "late"), ("look", "yes")]));
        assert_eq!(kept.0, pairs(&[("note", "late")]));
        let form = Form::of(pairs(&[("email", "a@b"), ("kept.note", "late"), ("kept.csrf", "1")]));
        assert_eq!(Kept::along(&form), kept);
        assert_eq!(kept.hidden(), [("kept.note".to_owned(), "late")]);
    }

    #[test]
    fn what_was_typed_is_shown_with_its_labels() {
        let kept = Kept::of(&pairs(&[("key", "0"), ("trees_done", "640"), ("note", ""), ("of_its_own", "x")]));
        let said = typed("/season/2026/block/1/labor/add", &kept);
        assert_eq!(said, pairs(&[("Trees done", "640"), ("Of its own", "x")]));
    }
}
