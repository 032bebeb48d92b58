//! Operations, people and their sessions.

table! {
    /// One grower's book.
    operation = "operation" {
        #[sea_orm(primary_key, auto_increment = false)]
        id: Uuid,
        name: String,
        founded_at: DateTimeUtc,
    }
}

table! {
    /// A person who may sign in. The e-mail is kept in lower case.
    user_account = "user_account" {
        #[sea_orm(primary_key, auto_increment = false)]
        id: Uuid,
        name: String,
        email: String,
        password_hash: String,
        /// The password was given by somebody else and holds for one sign-in.
        one_time: bool,
        /// From when on a one-time password no longer opens: a week after it was given, or its first
        /// sign-in. `None` for one given before that was kept, and for a person's own.
        one_time_ends: Option<DateTimeUtc>,
        added_at: DateTimeUtc,
    }
}

table! {
    /// What a person is in an operation.
    membership = "membership" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        user_id: Uuid,
        role: String,
        all_farms: bool,
        joined_at: DateTimeUtc,
    }
}

table! {
    /// A farm a person is limited to, where the membership is not for all.
    membership_farm = "membership_farm" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        user_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        farm_id: Uuid,
    }
}

table! {
    /// A signed-in browser. The token itself is nowhere in the database, only its hash.
    session = "session" {
        #[sea_orm(primary_key, auto_increment = false)]
        token_hash: Vec<u8>,
        operation_id: Uuid,
        user_id: Uuid,
        csrf: Vec<u8>,
        begun_at: DateTimeUtc,
        expires_at: DateTimeUtc,
    }
}

table! {
    /// A sign-in that did not succeed, under the e-mail as typed, in lower case.
    failed_sign_in = "failed_sign_in" {
        #[sea_orm(primary_key, auto_increment = false)]
        id: Uuid,
        email: String,
        at: DateTimeUtc,
        /// Network address it came from, where known.
        address: Option<String>,
    }
}

table! {
    /// A request that must count once, and where it led.
    idempotency_key = "idempotency_key" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        user_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        name: String,
        location: Option<String>,
        at: DateTimeUtc,
    }
}

table! {
    /// A key of another program, which comes in as the person who made it. The key itself is nowhere
    /// in the database, only its hash.
    program_key = "program_key" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        id: Uuid,
        user_id: Uuid,
        name: String,
        token_hash: Vec<u8>,
        made_at: DateTimeUtc,
        used_at: Option<DateTimeUtc>,
    }
}

table! {
    /// A network address a person has signed in from, and when last.
    known_address = "known_address" {
        #[sea_orm(primary_key, auto_increment = false)]
        user_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        address: String,
        at: DateTimeUtc,
    }
}
