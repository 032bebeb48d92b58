//! The app: state, middleware, routes, and serving it on a listener.

use std::net::TcpListener;
use std::sync::Arc;
use std::time::Duration;

use actix_web::body::MessageBody;
use actix_web::dev::{Server, ServiceFactory, ServiceRequest, ServiceResponse};
use actix_web::middleware::{Compress, from_fn};
use actix_web::{App, HttpServer, web};
use chrono::{DateTime, FixedOffset, NaiveDate, Utc};
use store::{Source, Store};

use crate::{body, csrf, headers, password, routes};

/// What every request may need. Nothing of a person: any number of instances run beside each other.
#[derive(Clone)]
pub struct AppState {
    /// The book.
    pub store: Store,
    /// Time, ids and secrets.
    pub source: Arc<dyn Source>,
    /// Whether the session cookie is sent over HTTPS only: yes, unless we listen on loopback.
    pub secure_cookies: bool,
    /// A moment in the zone in which the operation keeps its days.
    pub local: fn(DateTime<Utc>) -> DateTime<FixedOffset>,
}

impl AppState {
    /// Today, in the operation's zone.
    pub fn today(&self) -> NaiveDate {
        (self.local)(self.source.now()).date_naive()
    }
}

/// The whole app: what the server runs and the tests call.
pub fn app(
    state: AppState,
) -> App<
    impl ServiceFactory<
        ServiceRequest,
        Config = (),
        Response = ServiceResponse<impl MessageBody>,
        Error = actix_web::Error,
        InitError = (),
    >,
> {
    App::new()
        .app_data(web::Data::new(state))
        .app_data(body::form_config())
        .configure(routes::configure)
        // The last wrapped is the first to see a request.
        .wrap(from_fn(csrf::from_here))
        .wrap(from_fn(headers::around))
        .wrap(Compress::default())
}

/// Serves the app until the returned server is stopped.
///
/// A request's head must arrive within 15 s. A client that is refused while it still sends is read
/// from for up to 30 s more, so that it gets to see the answer.
///
/// # Errors
/// The listener cannot be used.
pub fn serve(state: AppState, listener: TcpListener) -> std::io::Result<Server> {
    password::prepare();
    let server = HttpServer::new(move || app(state.clone()))
        .client_request_timeout(Duration::from_secs(15))
        .client_disconnect_timeout(Duration::from_secs(30))
        .keep_alive(Duration::from_mins(1))
        .shutdown_timeout(20)
        .disable_signals()
        .listen(listener)?;
    Ok(server.run())
}
