//! Whether the program runs and its database answers.

use actix_web::{HttpResponse, web};

use crate::app::AppState;
use crate::pages::Page;

/// GET /health
pub async fn health_page(state: web::Data<AppState>) -> Page {
    match state.store.healthy().await {
        Ok(()) => Ok(HttpResponse::Ok().content_type("text/plain; charset=utf-8").body("ok\n")),
        Err(error) => {
            tracing::error!("health: {error:?}");
            let body = "the database does not answer\n";
            Ok(HttpResponse::ServiceUnavailable().content_type("text/plain; charset=utf-8").body(body))
        }
    }
}
