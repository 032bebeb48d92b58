//! Closings of seasons, and what each block's report said at them.

table! {
    /// One closing of a season, counted from 1, and what the operation's report said at it. Closings that
    /// found the same figures share a revision.
    season_closing = "season_closing" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        year: i64,
        #[sea_orm(primary_key, auto_increment = false)]
        number: i64,
        closed_at: DateTimeUtc,
        closed_by: Uuid,
        revision: Option<i64>,
        fingerprint: Option<Vec<u8>>,
        over_all_cents: Option<i64>,
    }
}

table! {
    /// The end of a closing.
    season_reopening = "season_reopening" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        year: i64,
        #[sea_orm(primary_key, auto_increment = false)]
        number: i64,
        reopened_at: DateTimeUtc,
        reopened_by: Uuid,
        reason: String,
    }
}

table! {
    /// A block's report at a closing. Closings that found the same figures share a revision.
    report_revision = "report_revision" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        year: i64,
        #[sea_orm(primary_key, auto_increment = false)]
        block_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        closing: i64,
        revision: i64,
        fingerprint: Vec<u8>,
        over_all_cents: Option<i64>,
    }
}

table! {
    /// A farm or a block as it stood when a season was closed; gone when it is reopened.
    closed_place = "closed_place" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        year: i64,
        #[sea_orm(primary_key, auto_increment = false)]
        kind: String,
        #[sea_orm(primary_key, auto_increment = false)]
        place_id: Uuid,
        stood: String,
    }
}
