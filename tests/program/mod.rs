//! Runs the built program on files of its own folder.
#![allow(dead_code)] // not every test asks everything

use serde_json::Value;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// A run that takes longer is stopped, and its test fails.
const LONGEST: Duration = Duration::from_secs(60);

/// A folder that is gone when the test ends.
pub struct Folder {
    path: PathBuf,
}

/// What a run gave.
pub struct Run {
    pub code: i32,
    pub out: String,
    pub err: String,
    pub took: Duration,
}

impl Folder {
    /// An empty folder of this name, one for each test.
    pub fn new(name: &str) -> Self {
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).expect("a folder can be made");
        Self { path }
    }

    /// Writes a file, and gives its name.
    pub fn file<'a>(&self, name: &'a str, bytes: impl AsRef<[u8]>) -> &'a str {
        std::fs::write(self.path.join(name), bytes).expect("a file can be written");
        name
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    pub fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.path.join(name)).expect("the file is there")
    }

    /// Names of the files there, in order.
    pub fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(&self.path).expect("the folder is there");
        let mut names: Vec<_> =
            entries.map(|e| e.expect("it can be read").file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    /// Runs the program in this folder.
    pub fn run(&self, args: &[&str]) -> Run {
        self.run_on(args, "")
    }

    /// The same with words on standard input.
    pub fn run_on(&self, args: &[&str], input: &str) -> Run {
        let start = Instant::now();
        let mut child = Command::new(env!("CARGO_BIN_EXE_fanwise"))
            .args(args)
            .current_dir(&self.path)
            .env("NO_COLOR", "1")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        // a program that has no use for the words closes the pipe
        let _ = child.stdin.take().expect("its input is a pipe").write_all(input.as_bytes());
        let out = all_of(child.stdout.take().expect("its output is a pipe"));
        let err = all_of(child.stderr.take().expect("its messages are a pipe"));
        let status = loop {
            if let Some(status) = child.try_wait().expect("the program can be waited for") {
                break status;
            }
            if start.elapsed() > LONGEST {
                let _ = child.kill();
                let _ = child.wait();
                panic!("{args:?} had not ended after {LONGEST:?}");
            }
            std::thread::sleep(Duration::from_millis(2));
        };
        let text = |reader: JoinHandle<Vec<u8>>| {
            String::from_utf8(reader.join().expect("it is read")).expect("what it writes is text")
        };
        Run { code: status.code().unwrap_or(-1), out: text(out), err: text(err), took: start.elapsed() }
    }
}

/// Reads a pipe to its end beside the waiting, so that a full pipe holds nobody up.
fn all_of(mut pipe: impl Read + Send + 'static) -> JoinHandle<Vec<u8>> {
    std::thread::spawn(move || {
        let mut bytes = Vec::new();
        pipe.read_to_end(&mut bytes).expect("a pipe can be read");
        bytes
    })
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.path);
    }
}

impl Run {
    /// The output as JSON.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e}: {}{}", self.out, self.err))
    }
}
