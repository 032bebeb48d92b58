//! Files served to browsers: built into the binary, named with their content's hash in links.

use std::sync::LazyLock;

use actix_web::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use actix_web::{HttpRequest, HttpResponse};
use sha2::{Digest, Sha256};

use crate::error::PageError;
use crate::pages::Page;
use crate::session::hex;

struct Asset {
    name: &'static str,
    kind: &'static str,
    bytes: &'static [u8],
}

const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";
const ICON: &str = "image/svg+xml";
const FONT: &str = "font/woff2";

macro_rules! assets {
    ($($name:literal, $kind:expr, $path:literal;)*) => {
        &[$(Asset { name: $name, kind: $kind, bytes: include_bytes!(concat!("../../../static/", $path)) },)*]
    };
}

static ASSETS: &[Asset] = assets! {
    "book.css", CSS, "book.css";
    "book.js", SCRIPT, "book.js";
    "icon.svg", ICON, "icon.svg";
    "SourceSans3-Regular.ttf.woff2", FONT, "fonts/SourceSans3-Regular.ttf.woff2";
    "SourceSans3-Semibold.ttf.woff2", FONT, "fonts/SourceSans3-Semibold.ttf.woff2";
    "SourceSerif4-Semibold.ttf.woff2", FONT, "fonts/SourceSerif4-Semibold.ttf.woff2";
};

/// First 12 hexadecimal digits of each file's SHA-256, in the order of [`ASSETS`].
static HASHES: LazyLock<Vec<String>> =
    LazyLock::new(|| ASSETS.iter().map(|asset| hex(&Sha256::digest(asset.bytes)).chars().take(12).collect()).collect());

/// The link to a file, with its hash.
pub(crate) fn link(name: &str) -> String {
    let hash = ASSETS.iter().zip(HASHES.iter()).find(|(asset, _)| asset.name == name).map(|(_, hash)| hash);
    hash.map_or_else(|| format!("/static/{name}"), |hash| format!("/static/{name}?v={hash}"))
}

/// GET /static/{name}
pub async fn asset_file(req: HttpRequest) -> Page {
    let name = req.match_info().get("name").unwrap_or_default();
    let (asset, hash) =
        ASSETS.iter().zip(HASHES.iter()).find(|(asset, _)| asset.name == name).ok_or(PageError::NotFound)?;
    let named_by_hash = req.query_string().strip_prefix("v=") == Some(hash);
    let keep = if named_by_hash { "public, max-age=31536000, immutable" } else { "public, max-age=604800" };
    Ok(HttpResponse::Ok()
        .insert_header((CONTENT_TYPE, asset.kind))
        .insert_header((CACHE_CONTROL, keep))
        .body(asset.bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_link_carries_the_hash() {
        let link = link("book.css");
        let hash = link.strip_prefix("/static/book.css?v=").unwrap();
        assert_eq!(hash.len(), 12);
        assert!(Sha256::digest(include_bytes!("../../../static/book.css")).starts_with(
            &(0..6).map(|n| u8::from_str_radix(&hash[n * 2..n * 2 + 2], 16).unwrap()).collect::<Vec<_>>()
        ));
    }
}
