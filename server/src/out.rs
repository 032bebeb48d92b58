//! What the program says. A reader that closed the pipe has read enough: that is no trouble.

use std::io::{self, Write as _};
use std::path::Path;

use crate::trouble::Trouble;

/// One line, or several, on standard output.
///
/// # Errors
/// Standard output cannot be written, for example because the disk is full.
pub(crate) fn say(text: &str) -> Result<(), Trouble> {
    write(&format!("{text}\n"))
}

/// A text as it is on standard output.
///
/// # Errors
/// As for [`say`].
pub(crate) fn write(text: &str) -> Result<(), Trouble> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(Trouble::file("write", Path::new("standard output"), error))
        }
        _ => Ok(()),
    }
}

/// A file of these bytes; one of this name is written over.
///
/// # Errors
/// The file cannot be written.
pub(crate) fn file(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    std::fs::write(path, bytes).map_err(|source| Trouble::file("write", path, source))
}

/// One line on standard error. Where that cannot be written, there is nobody left to tell.
pub(crate) fn warn(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{text}");
}
