//! People: who may do what, adding, changing and removing them, the keys of their programs, and everybody's
//! own password.

mod asked;
mod change;
mod keys;
mod own;
#[cfg(test)]
mod tests;

pub use asked::Asked;
pub(crate) use asked::is_name;
pub use change::{change_page, change_sent, password_given, remove_page, remove_sent};
pub use keys::{keys_page, remove_key_page, remove_key_sent};
pub use own::{password_page, password_sent};

use actix_web::http::StatusCode;
use actix_web::web;
use askama::Template;
use store::{NewUser, PersonRow, Role, StoreError, UserId};

use crate::app::AppState;
use crate::body::Form;
use crate::error::PageError;
use crate::extract::{Reading, Writing};
use crate::pages::{Page, show, show_with};
use crate::password;
use crate::routes::to;
use crate::shell::Shell;

#[derive(Template)]
#[template(path = "people/people.html")]
struct People {
    shell: Shell,
    people: Vec<Shown>,
}

/// A person in the list.
struct Shown {
    id: UserId,
    name: String,
    email: String,
    role: &'static str,
    /// `all`, or the names of some.
    farms: String,
    /// Whether they have yet to choose a password.
    one_time: bool,
}

impl Shown {
    fn of(row: &PersonRow) -> Self {
        let names = |farms: &Vec<(store::FarmId, String)>| {
            farms.iter().map(|(_, name)| name.as_str()).collect::<Vec<_>>().join(", ")
        };
        Self {
            id: row.id,
            name: row.name.clone(),
            email: row.email.clone(),
            role: row.role.word(),
            farms: row.farms.as_ref().map_or_else(|| "all".to_owned(), names),
            one_time: row.one_time,
        }
    }
}

/// GET /people
pub async fn people_page(reading: Reading, shell: Shell) -> Page {
    let people = reading.desk().people().await?.iter().map(Shown::of).collect();
    show(&People { shell, people })
}

/// What one types about a person; the same form adds and changes.
#[derive(Template)]
#[template(path = "people/form.html")]
struct PersonForm {
    shell: Shell,
    /// The person to be changed; `None` where one is added.
    person: Option<Shown>,
    roles: Vec<String>,
    reach: Vec<String>,
    typed: Asked,
    problems: Vec<(&'static str, String)>,
}

impl PersonForm {
    fn of(shell: Shell, person: Option<Shown>, typed: Asked, problems: Vec<(&'static str, String)>) -> Self {
        let roles = Role::ALL.map(|role| role.word().to_owned()).to_vec();
        let reach = [asked::ALL_FARMS, asked::SOME_FARMS].map(str::to_owned).to_vec();
        Self { shell, person, roles, reach, typed, problems }
    }

    fn problem(&self, field: &str) -> Option<&String> {
        self.problems.iter().find(|(name, _)| *name == field).map(|(_, sentence)| sentence)
    }

    fn action(&self) -> String {
        self.person.as_ref().map_or_else(to::add_person, |person| to::change_person(person.id))
    }
}

/// A password that is shown this once.
#[derive(Template)]
#[template(path = "people/given.html")]
struct Given {
    shell: Shell,
    name: String,
    email: String,
    password: String,
}

/// GET /people/add
pub async fn add_page(reading: Reading, shell: Shell) -> Page {
    reading.desk().people().await?;
    show(&PersonForm::of(shell, None, Asked::default(), Vec::new()))
}

/// POST /people/add: the answer is the page with the password. Sent again, the e-mail is taken.
pub async fn add_sent(state: web::Data<AppState>, writing: Writing, shell: Shell, form: Form) -> Page {
    let typed = Asked::of(&form);
    let checked = match typed.checked(&shell.farms) {
        Ok(checked) => checked,
        Err(problems) => return again(&PersonForm::of(shell, None, typed, problems)),
    };
    let (password, hash) = one_time(&state).await?;
    let mut book = writing.open().await?;
    let new = NewUser { name: typed.name.trim(), email: typed.email.trim(), password_hash: &hash };
    let user = match book.add_person(new, checked.role, checked.farms.as_deref()).await {
        Ok(user) => user,
        Err(StoreError::Taken(_)) => {
            let problem = ("email", "Somebody signs in with this e-mail already.".to_owned());
            return again(&PersonForm::of(shell, None, typed, vec![problem]));
        }
        Err(other) => return Err(other.into()),
    };
    book.give_one_time_password(user, &hash).await?;
    book.save().await?;
    show(&Given { shell, name: typed.name.trim().to_owned(), email: typed.email.trim().to_lowercase(), password })
}

fn again(page: &PersonForm) -> Page {
    show_with(StatusCode::UNPROCESSABLE_ENTITY, page)
}

/// A password for one sign-in, and its hash.
async fn one_time(state: &AppState) -> Result<(String, String), PageError> {
    let password = password::one_time(&state.source.secret());
    let hash = password::hash_aside(password.clone(), state.source.secret()).await?;
    Ok((password, hash))
}
