//! What somebody asks for a person, checked: the same for the page and the command line.

use store::{FarmId, FarmRow, Role};

use crate::body::Form;
use crate::email;

pub(super) const ALL_FARMS: &str = "all farms";
pub(super) const SOME_FARMS: &str = "only these";

/// What was typed about a person.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Asked {
    /// Name as shown beside what they keep.
    pub name: String,
    /// E-mail they sign in with.
    pub email: String,
    /// A role's word.
    pub role: String,
    /// `all farms` or `only these`.
    pub reach: String,
    /// Farms ticked, by identifier or name.
    pub farms: Vec<String>,
}

/// The same, understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checked {
    /// The role.
    pub role: Role,
    /// Farms the person is limited to; `None` means all.
    pub farms: Option<Vec<FarmId>>,
}

impl Asked {
    pub(super) fn of(form: &Form) -> Self {
        let text = |name| form.get(name).to_owned();
        let ticked = form.fields().iter().filter(|(name, _)| name == "farm").map(|(_, value)| value.clone());
        Self {
            name: text("name"),
            email: text("email"),
            role: text("role"),
            reach: text("reach"),
            farms: ticked.collect(),
        }
    }

    /// From the command line: farms by name, none of them meaning all.
    pub fn limited_to(name: &str, email: &str, role: &str, farms: &[String]) -> Self {
        let reach = if farms.is_empty() { ALL_FARMS } else { SOME_FARMS };
        let [name, email, role, reach] = [name, email, role, reach].map(str::to_owned);
        Self { name, email, role, reach, farms: farms.to_vec() }
    }

    /// Whether a farm is ticked.
    pub(super) fn ticked(&self, farm: &FarmRow) -> bool {
        self.farms.iter().any(|ticked| *ticked == farm.id.to_string() || *ticked == farm.farm.name)
    }

    /// Role and farms, with the person's name and e-mail looked over as well.
    ///
    /// # Errors
    /// Every problem, each with its field.
    pub fn checked(&self, farms: &[FarmRow]) -> Result<Checked, Vec<(&'static str, String)>> {
        let mut problems = Vec::new();
        if !is_name(&self.name) {
            problems.push(("name", "Give a name of 1 to 200 characters.".to_owned()));
        }
        if !is_address(&self.email) {
            let read = self.email.trim();
            problems.push(("email", format!("Read \"{read}\"; expected an e-mail, for example ana@farm.example.")));
        }
        match self.role_and_farms(farms) {
            Ok(checked) if problems.is_empty() => Ok(checked),
            Ok(_) => Err(problems),
            Err(more) => Err(problems.into_iter().chain(more).collect()),
        }
    }

    /// Role and farms alone.
    ///
    /// # Errors
    /// Every problem, each with its field.
    pub fn role_and_farms(&self, farms: &[FarmRow]) -> Result<Checked, Vec<(&'static str, String)>> {
        let mut problems = Vec::new();
        let role = Role::from_word(&self.role);
        if role.is_none() {
            let roles = Role::ALL.map(Role::word).join(", ");
            problems.push(("role", format!("Read \"{}\"; the roles are: {roles}.", self.role)));
        }
        let limit = match self.reach.as_str() {
            ALL_FARMS => None,
            SOME_FARMS => Some(farms.iter().filter(|farm| self.ticked(farm)).map(|farm| farm.id).collect::<Vec<_>>()),
            _ => {
                problems.push(("reach", "Say whether the person sees all farms or only some.".to_owned()));
                None
            }
        };
        let known = |name: &&String| farms.iter().any(|farm| farm.id.to_string() == **name || farm.farm.name == **name);
        if let Some(unknown) = self.farms.iter().find(|name| !known(name)) {
            let names: Vec<&str> = farms.iter().map(|farm| farm.farm.name.as_str()).collect();
            let names = if names.is_empty() { "none yet".to_owned() } else { names.join(", ") };
            problems.push(("reach", format!("There is no farm \"{unknown}\". The farms are: {names}.")));
        } else if limit.as_ref().is_some_and(Vec::is_empty) {
            problems.push(("reach", "Tick at least one farm, or choose all farms.".to_owned()));
        } else if limit.is_some() && role == Some(Role::Owner) {
            problems.push(("reach", "An owner sees all farms.".to_owned()));
        }
        match role {
            Some(role) if problems.is_empty() => Ok(Checked { role, farms: limit }),
            _ => Err(problems),
        }
    }
}

/// Whether a text can be the name of a person or an operation.
pub(crate) fn is_name(text: &str) -> bool {
    let text = text.trim();
    !text.is_empty() && text.chars().count() <= 200 && !text.chars().any(char::is_control)
}

/// Nobody sees the address again before it is kept, so its host must have a dot as well.
fn is_address(text: &str) -> bool {
    let text = text.trim();
    email::may_be(text) && text.split_once('@').is_some_and(|(_, host)| host.contains('.'))
}
