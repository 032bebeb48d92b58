//! `seasonbook add-person`.

use std::io::BufRead;
use std::sync::Arc;

use store::{NewUser, Right, Role, Source};

use crate::Database;
use crate::clock::Machine;
use crate::commands::serve;
use crate::trouble::Trouble;

/// Add a person who may sign in. The password is read from standard input.
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
        let role = Role::from_word(&self.role).ok_or_else(|| {
            Trouble::Asked(format!(
                "There is no role \"{}\". The roles are owner, manager, bookkeeper, crew lead.",
                self.role
            ))
        })?;
        // Here nobody sees a form with the address before it is kept, so its host must have a dot as well.
        let has_dot = self.email.split_once('@').is_some_and(|(_, host)| host.contains('.'));
        if !has_dot || !web::email::may_be(&self.email) {
            return Err(Trouble::Asked(format!(
                "Read \"{}\"; expected an e-mail address, for example ana@farm.example.",
                self.email
            )));
        }
        eprintln!("Password for {} (at least {} characters), then Enter:", self.email, web::password::SHORTEST);
        let mut password = String::new();
        std::io::stdin()
            .lock()
            .read_line(&mut password)
            .map_err(|source| Trouble::Start { what: "reading the password", source })?;
        let password = password.trim_end_matches(['\r', '\n']);
        if !web::password::long_enough(password) {
            return Err(Trouble::Asked(format!("Choose at least {} characters.", web::password::SHORTEST)));
        }
        let password_hash =
            web::password::hash(password, &Machine.secret()).map_err(|reason| Trouble::Asked(reason.to_string()))?;
        let store = serve::open(&self.at.database, Arc::new(Machine)).await?;
        let scope = store.door().operator(None).await?;
        let farms = farm_ids(&store, &scope, &self.farms).await?;
        let mut book = store.book(&scope, Right::SetUp).await?;
        let person = NewUser { name: &self.name, email: &self.email, password_hash: &password_hash };
        book.add_person(person, role, farms.as_deref()).await?;
        book.save().await?;
        println!("{} may sign in as {}.", self.name, role.word());
        Ok(())
    }
}

/// Farms by name; `None` means all of them.
pub(crate) async fn farm_ids(
    store: &store::Store,
    scope: &store::Scope,
    names: &[String],
) -> Result<Option<Vec<store::FarmId>>, Trouble> {
    if names.is_empty() {
        return Ok(None);
    }
    let farms = store.desk(scope).farms().await?;
    let find = |name: &String| {
        farms
            .iter()
            .find(|row| row.farm.name == *name)
            .map(|row| row.id)
            .ok_or_else(|| Trouble::Asked(format!("There is no farm \"{name}\".")))
    };
    names.iter().map(find).collect::<Result<Vec<_>, _>>().map(Some)
}
