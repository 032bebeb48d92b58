//! A book holds wages and prices: its file, its copies and their folder are for the person who runs the
//! program alone. Files and folders that are there already are left as they are.

use std::fs::{DirBuilder, OpenOptions};
use std::io::ErrorKind;
#[cfg(unix)]
use std::os::unix::fs::{DirBuilderExt as _, OpenOptionsExt as _};
use std::path::Path;

use crate::trouble::Trouble;

/// A folder that nobody else may look into; made if missing, with the folders above it.
pub(crate) fn folder(path: &Path) -> Result<(), Trouble> {
    let mut builder = DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    builder.mode(0o700);
    builder.create(path).map_err(|source| Trouble::file("make the folder", path, source))
}

/// An empty file that nobody else may read. SQLite fills it, and gives the files it keeps beside a book
/// the rights of the book. `false` where there is one of this name already.
pub(crate) fn file(path: &Path) -> Result<bool, Trouble> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    options.mode(0o600);
    match options.open(path) {
        Ok(_) => Ok(true),
        Err(source) if source.kind() == ErrorKind::AlreadyExists => Ok(false),
        Err(source) => Err(Trouble::file("make", path, source)),
    }
}

#[cfg(all(test, unix))]
mod tests {
    use std::os::unix::fs::PermissionsExt as _;
    use std::sync::Arc;

    use super::*;
    use crate::clock::Machine;
    use crate::commands::back_up::BackUp;
    use crate::commands::serve;

    fn mode(path: &Path) -> u32 {
        std::fs::metadata(path).map_or(0, |found| found.permissions().mode() & 0o777)
    }

    #[tokio::test]
    async fn a_book_and_its_copies_are_for_nobody_else() {
        let here = tempfile::tempdir().unwrap();
        let data = here.path().join("data");
        let (book, copy) = (data.join("book.sqlite"), here.path().join("copy.sqlite"));
        let store = serve::open(&format!("sqlite://{}?mode=rwc", book.display()), Arc::new(Machine)).await.unwrap();
        BackUp::of(&book, &copy).run().await.unwrap();
        assert_eq!((mode(&data), mode(&book), mode(&copy)), (0o700, 0o600, 0o600));
        let beside = data.join("book.sqlite-wal");
        assert_eq!(mode(&beside), 0o600);
        assert!(std::fs::metadata(&copy).unwrap().len() > 0, "the copy is a book");
        assert!(BackUp::of(&book, &copy).run().await.is_err(), "a copy is never written over");
        store.close().await.unwrap();
    }

    #[test]
    fn what_is_there_is_left_alone() {
        let here = tempfile::tempdir().unwrap();
        let path = here.path().join("book.sqlite");
        std::fs::write(&path, "text").unwrap();
        assert!(!file(&path).unwrap());
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "text");
    }
}
