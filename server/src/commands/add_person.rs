//! `seasonbook add-person`.

use std::io::BufRead;

use store::{NewUser, Right, Source as _};
use web::pages::people::Asked;

use crate::clock::Machine;
use crate::commands::book;
use crate::trouble::Trouble;
use crate::{Database, out};

/// Add a person who may sign in.
///
/// The password is read from standard input. The owner adds people on the page People as well.
#[derive(Debug, clap::Args)]
pub(crate) struct AddPerson {
    /// Name as shown beside what they keep.
    name: String,
    /// E-mail they sign in with.
    email: String,
    /// owner, manager, bookkeeper or "crew lead".
    role: String,
    /// A farm the person is limited to; may be given more than once. All farms unless said otherwise.
    #[arg(long = "farm", value_name = "NAME")]
    farms: Vec<String>,
    #[command(flatten)]
    at: Database,
}

impl AddPerson {
    pub(crate) async fn run(self) -> Result<(), Trouble> {
        let store = book::open(&self.at.database).await?;
        let scope = book::operator(&store, None).await?;
        let farms = store.desk(&scope).farms().await?;
        let asked = Asked::limited_to(&self.name, &self.email, &self.role, &self.farms);
        let checked = asked.checked(&farms).map_err(|problems| {
            Trouble::Asked(problems.into_iter().map(|(_, sentence)| sentence).collect::<Vec<_>>().join("\n"))
        })?;
        let password = self.password()?;
        let password_hash =
            web::password::hash(&password, &Machine.secret()).map_err(|reason| Trouble::Asked(reason.to_string()))?;
        let mut book = store.book(&scope, Right::People).await?;
        let person = NewUser { name: self.name.trim(), email: &self.email, password_hash: &password_hash };
        book.add_person(person, checked.role, checked.farms.as_deref()).await?;
        book.save().await?;
        out::say(&format!("{} may sign in as {}.", self.name.trim(), checked.role.word()))
    }

    fn password(&self) -> Result<String, Trouble> {
        let shortest = web::password::SHORTEST;
        out::warn(&format!("Password for {} (at least {shortest} characters), then Enter:", self.email));
        let mut password = String::new();
        std::io::stdin()
            .lock()
            .read_line(&mut password)
            .map_err(|source| Trouble::Start { what: "reading the password", source })?;
        let password = password.trim_end_matches(['\r', '\n']);
        if let Some(objection) = web::password::objection(password, &self.email) {
            return Err(Trouble::Refused(format!("Nobody was added. {objection}")));
        }
        Ok(password.to_owned())
    }
}
