//! The one place where the program reads the clock and draws chance. Everything else is given them.

use chrono::{DateTime, FixedOffset, Local, NaiveDate, SubsecRound, Utc};
use store::Source;
use uuid::Uuid;

/// The machine's clock and its random source.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Machine;

impl Source for Machine {
    #[expect(clippy::disallowed_methods, reason = "this is the binary's clock")]
    fn now(&self) -> DateTime<Utc> {
        // Whole seconds: PostgreSQL keeps microseconds, SQLite nanoseconds; neither is needed.
        Utc::now().trunc_subsecs(0)
    }

    fn id(&self) -> Uuid {
        Uuid::now_v7()
    }

    fn secret(&self) -> [u8; 32] {
        let mut bytes = [0; 32];
        if let Err(error) = getrandom::fill(&mut bytes) {
            // Without chance there are no safe sessions: stop at once rather than hand out zeros.
            tracing::error!(%error, "the operating system gives no random bytes");
            std::process::abort();
        }
        bytes
    }
}

/// A moment in this machine's time zone: the operation's office.
pub(crate) fn local(moment: DateTime<Utc>) -> DateTime<FixedOffset> {
    moment.with_timezone(&Local).fixed_offset()
}

/// Today where this machine stands, as on the pages.
pub(crate) fn today() -> NaiveDate {
    local(Machine.now()).date_naive()
}
