//! `seasonbook serve`.

use std::net::{SocketAddr, TcpListener};
use std::path::Path;
use std::sync::Arc;

use store::{Source, Store};

use crate::clock::{self, Machine};
use crate::commands::book;
use crate::trouble::Trouble;
use crate::{Database, out, private};

/// Serve the book to browsers, until Ctrl-C.
///
/// An SQLite book that is not there yet is made; its first page founds it.
#[derive(Debug, clap::Args)]
pub(crate) struct Serve {
    /// Address to listen on. Behind a proxy that speaks HTTPS, stay on loopback.
    #[arg(long, value_name = "ADDRESS", env = "SEASONBOOK_LISTEN", default_value = "127.0.0.1:8600")]
    listen: SocketAddr,
    #[command(flatten)]
    at: Database,
}

impl Serve {
    pub(crate) async fn run(self) -> Result<(), Trouble> {
        let store = open(&book::address(&self.at.database), Arc::new(Machine)).await?;
        let listener = listen(self.listen)?;
        out::say(&greeting(&listener)?)?;
        serve(store, listener, !self.listen.ip().is_loopback()).await
    }
}

/// Opens the store, makes the folder of an SQLite file, and brings the schema up to date.
pub(crate) async fn open(url: &str, source: Arc<dyn Source>) -> Result<Store, Trouble> {
    if let Some(path) = sqlite_path(url) {
        make_private(Path::new(path), url)?;
    }
    let store = Store::open(url, source).await?;
    store.migrate().await?;
    Ok(store)
}

/// Makes the folder of a book, and the book's empty file where its address says that it may be made.
fn make_private(path: &Path, url: &str) -> Result<(), Trouble> {
    if let Some(parent) = path.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        private::folder(parent)?;
    }
    // An address may write a character of the name as its number: SQLite alone reads that.
    if url.ends_with("mode=rwc") && !url.contains('%') {
        private::file(path)?;
    }
    Ok(())
}

/// The file of an SQLite address.
pub(crate) fn sqlite_path(url: &str) -> Option<&str> {
    let rest = url.strip_prefix("sqlite://").or_else(|| url.strip_prefix("sqlite:"))?;
    rest.split('?').next()
}

/// Binds the address; port 0 takes any free one.
pub(crate) fn listen(address: SocketAddr) -> Result<TcpListener, Trouble> {
    TcpListener::bind(address).map_err(|source| {
        if source.kind() == std::io::ErrorKind::AddrInUse {
            Trouble::Refused(format!("Port {} is in use. Choose another with --listen 127.0.0.1:8601.", address.port()))
        } else {
            Trouble::Start { what: "listening", source }
        }
    })
}

/// The line that says where the book is served; tests read the address from it.
pub(crate) fn greeting(listener: &TcpListener) -> Result<String, Trouble> {
    let address = listener.local_addr().map_err(|source| Trouble::Start { what: "listening", source })?;
    Ok(format!("Seasonbook is served at http://{address} (stop with Ctrl-C)"))
}

/// Serves until Ctrl-C or SIGTERM; requests under way are finished.
pub(crate) async fn serve(store: Store, listener: TcpListener, secure_cookies: bool) -> Result<(), Trouble> {
    let state = web::AppState { store, source: Arc::new(Machine), secure_cookies, local: clock::local };
    let unable = |source| Trouble::Start { what: "serving", source };
    let server = web::serve(state, listener).map_err(unable)?;
    let handle = server.handle();
    let asked_to_stop = asked_to_stop().map_err(unable)?;
    tokio::spawn(async move {
        asked_to_stop.await;
        handle.stop(true).await;
    });
    server.await.map_err(unable)
}

/// Done when Ctrl-C is pressed or the system asks the program to end.
fn asked_to_stop() -> std::io::Result<impl Future<Output = ()>> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut terminate = signal(SignalKind::terminate())?;
    Ok(async move {
        tokio::select! {
            _ = interrupt.recv() => {}
            _ = terminate.recv() => {}
        }
    })
}
