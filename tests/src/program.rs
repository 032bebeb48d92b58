//! The real binary: run to its end, or served on a free port.

use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

/// Top folder of the repository.
pub fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_path_buf()
}

/// The built program, beside the folder this test runs from.
pub fn program() -> PathBuf {
    if let Some(path) = std::env::var_os("SEASONBOOK_BIN") {
        return path.into();
    }
    let test = std::env::current_exe().unwrap();
    let path = test.ancestors().nth(2).unwrap().join("seasonbook");
    assert!(path.exists(), "{} is missing: run `cargo build --workspace` first", path.display());
    path
}

/// Whether the browser and PostgreSQL are to be left out (`tests/run quick`).
pub fn quick() -> bool {
    std::env::var_os("SEASONBOOK_TEST_QUICK").is_some()
}

/// Runs the program to its end in an empty environment, in `folder`.
pub fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(program()).args(arguments).current_dir(folder).env_remove("SEASONBOOK_DATABASE").output().unwrap()
}

/// Standard output of a run that must succeed.
pub fn run_well(folder: &Path, arguments: &[&str]) -> String {
    let out = run(folder, arguments);
    assert!(
        out.status.success(),
        "{arguments:?} failed:\n{}{}",
        String::from_utf8_lossy(&out.stdout),
        String::from_utf8_lossy(&out.stderr)
    );
    String::from_utf8(out.stdout).unwrap()
}

/// A served book; killed when dropped.
pub struct Served {
    child: Child,
    /// `http://127.0.0.1:port`
    pub address: String,
    /// What was printed before it served.
    pub printed: String,
    /// Password of everybody in the demo; empty for a plain `serve`.
    pub password: String,
}

impl Served {
    /// The demo, fresh, in a folder.
    pub fn demo(folder: &Path) -> Self {
        Self::start(folder, &["demo", "--listen", "127.0.0.1:0"], "crew lead")
    }

    /// `serve` with a database of its own.
    pub fn plain(folder: &Path, database: &str) -> Self {
        Self::start(folder, &["serve", "--listen", "127.0.0.1:0", "--database", database], "Seasonbook is served")
    }

    /// Starts, and reads what is printed up to the line that holds `last`.
    fn start(folder: &Path, arguments: &[&str], last: &str) -> Self {
        let mut child = Command::new(program())
            .args(arguments)
            .current_dir(folder)
            .env_remove("SEASONBOOK_DATABASE")
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut printed = String::new();
        let mut lines = BufReader::new(child.stdout.take().unwrap());
        loop {
            let from = printed.len();
            if lines.read_line(&mut printed).unwrap() == 0 {
                let mut error = String::new();
                child.stderr.take().unwrap().read_to_string(&mut error).unwrap();
                panic!("the program ended early:\n{printed}{error}");
            }
            if printed[from..].contains(last) {
                break;
            }
        }
        let word_after = |mark: &str| {
            let rest = printed.split(mark).nth(1).unwrap_or_default();
            rest.split_whitespace().next().unwrap_or_default().to_owned()
        };
        // Keep reading, or the program would stop at a full pipe.
        std::thread::spawn(move || for _ in lines.lines() {});
        Self { child, address: word_after("served at "), password: word_after("password "), printed }
    }

    /// The process id, for signals.
    pub fn id(&self) -> u32 {
        self.child.id()
    }

    /// Kills it at once, as a power cut would.
    pub fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Waits for it to end by itself.
    pub fn ends_within(mut self, limit: Duration) -> bool {
        let until = Instant::now() + limit;
        while Instant::now() < until {
            if self.child.try_wait().unwrap().is_some() {
                return true;
            }
            std::thread::yield_now();
        }
        false
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
