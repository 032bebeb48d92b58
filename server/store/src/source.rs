//! Time and chance are inputs.

use chrono::{DateTime, Utc};
use uuid::Uuid;

/// Where the store takes the time, new identifiers and secrets from.
pub trait Source: Send + Sync + 'static {
    /// The time, cut to whole seconds: the databases keep finer times differently.
    fn now(&self) -> DateTime<Utc>;
    /// A new identifier, version 7: later ones sort later.
    fn id(&self) -> Uuid;
    /// 32 bytes nobody can guess.
    fn secret(&self) -> [u8; 32];
}
