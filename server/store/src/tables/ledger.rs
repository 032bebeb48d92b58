//! Kept summaries, files brought in, and the audit trail.

table! {
    /// The kept summary of a block season; the row that is locked while it is renewed.
    block_season = "block_season" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        year: i64,
        #[sea_orm(primary_key, auto_increment = false)]
        block_id: Uuid,
        version: i64,
        stale: bool,
        acres_micros: i64,
        trees: i64,
        thinning_cost_cents: Option<i64>,
        thinned_trees: i64,
        applied_gal: Option<f64>,
        needed_gal: Option<f64>,
        kept_acre_in: Option<f64>,
        mulched_acres_micros: i64,
        net_cents: Option<i64>,
        weight_lb_micros: i64,
        over_operating_cents: Option<i64>,
        over_all_cents: Option<i64>,
        stated_acres_micros: i64,
        unsettled_cents: i64,
        missing: String,
        worth_a_look: String,
        /// Observations of methods; none where they were never kept.
        observed: Option<String>,
    }
}

table! {
    /// A file brought in, told again by the hash of its bytes.
    brought_in_file = "brought_in_file" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        id: Uuid,
        kind: String,
        name: String,
        sha256: Vec<u8>,
        rows_read: i64,
        rows_added: i64,
        at: DateTimeUtc,
        user_id: Uuid,
    }
}

table! {
    /// A row of a file that is not to come in by itself: a person removed it, or left it out.
    kept_out = "kept_out" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        kind: String,
        #[sea_orm(primary_key, auto_increment = false)]
        row_print: Vec<u8>,
        why: String,
        user_id: Uuid,
        at: DateTimeUtc,
    }
}

table! {
    /// One line of the audit trail.
    change = "change" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        id: Uuid,
        user_id: Uuid,
        at: DateTimeUtc,
        verb: String,
        kind: String,
        record_id: Uuid,
        farm_id: Option<Uuid>,
        place: String,
        before: Option<String>,
        after: Option<String>,
    }
}
