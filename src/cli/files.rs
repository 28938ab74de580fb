//! Reading patterns and writing results whole.

use super::TROUBLE;
use fanwise::{Pattern, ReadOptions, SizeChoice};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

/// Most bytes read of one file.
const MOST_BYTES: u64 = 32 << 20;

/// A file that cannot be used, in words.
pub(super) struct Fault {
    pub code: &'static str,
    pub message: String,
}

impl Fault {
    /// What was asked for cannot be done as it was asked.
    pub fn usage(message: String) -> Self {
        Fault { code: "", message }
    }

    /// More than may be asked for.
    pub fn limit(message: String) -> Self {
        Fault { code: "limit", message }
    }

    /// Tells it on standard error; gives the exit code.
    pub fn say(&self) -> u8 {
        match self.code {
            "" | "unwritable" => eprintln!("error: {}", self.message),
            code => eprintln!("error[{code}]: {}", self.message),
        }
        TROUBLE
    }
}

fn fault(code: &'static str, message: String) -> Fault {
    Fault { code, message }
}

/// Reads, works and checks one file; `-` is standard input.
pub(super) fn read_pattern(path: &Path, options: &ReadOptions) -> Result<Pattern, Fault> {
    let pattern = Pattern::read_with(&read_text(path)?, options);
    match &options.size {
        SizeChoice::Named(name) if !pattern.has_size(name) => {
            let sizes = pattern.sizes().join(", ");
            Err(fault("sizes", format!("{} has no size \"{name}\": its sizes are {sizes}", shown(path))))
        }
        _ => Ok(pattern),
    }
}

/// The text of a file; `-` is standard input.
pub(super) fn read_text(path: &Path) -> Result<String, Fault> {
    let bytes = read_bytes(path)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(fault(
            "limit",
            format!("{} is larger than {} MB, the most one file may have", shown(path), MOST_BYTES >> 20),
        ));
    }
    let text = String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        fault(
            "not-text",
            format!("{} is no UTF-8 text (byte {at} belongs to no letter); save it as plain text, UTF-8", shown(path)),
        )
    })?;
    if text.contains('\0') {
        return Err(fault("not-text", format!("{} holds zero bytes, so it is no text", shown(path))));
    }
    Ok(text)
}

/// The bytes of a file; one more than the limit where it has more.
pub(super) fn read_bytes(path: &Path) -> Result<Vec<u8>, Fault> {
    let cannot = |e: std::io::Error| fault("unreadable", format!("{} cannot be read: {}", shown(path), reason(&e)));
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        std::io::stdin().lock().take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(cannot)?;
    } else {
        let file = std::fs::File::open(path).map_err(cannot)?;
        file.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(cannot)?;
    }
    Ok(bytes)
}

/// Patterns of a list of files and folders: of a folder, its `.txt` and `.md` files, by name, folders within it too.
///
/// What cannot be looked into stands in its place as a fault, and the rest is found all the same.
pub(super) fn pattern_files(paths: &[PathBuf]) -> Vec<Result<PathBuf, Fault>> {
    let mut files = Vec::new();
    for path in paths {
        if path.is_dir() {
            let before = files.len();
            gather(path, &mut files, 0);
            if files.len() == before {
                files.push(Err(fault("unreadable", format!("{} holds no .txt or .md file", shown(path)))));
            }
        } else if path == Path::new("-") && files.iter().flatten().any(|f: &PathBuf| f == path) {
            files.push(Err(fault("unreadable", "standard input can be read only once".into())));
        } else {
            files.push(Ok(path.clone()));
        }
    }
    files
}

/// Deepest folder looked into: a loop of links ends here.
const DEEPEST_FOLDER: usize = 16;

fn gather(folder: &Path, files: &mut Vec<Result<PathBuf, Fault>>, depth: usize) {
    let cannot = |e: std::io::Error| fault("unreadable", format!("{} cannot be read: {}", shown(folder), reason(&e)));
    let entries = std::fs::read_dir(folder).and_then(|entries| entries.collect::<Result<Vec<_>, _>>());
    let mut entries: Vec<PathBuf> = match entries {
        Ok(entries) => entries.into_iter().map(|e| e.path()).collect(),
        Err(e) => return files.push(Err(cannot(e))),
    };
    entries.sort();
    for entry in entries {
        if entry.is_dir() {
            if depth < DEEPEST_FOLDER {
                gather(&entry, files, depth + 1);
            }
        } else if entry.extension().is_some_and(|e| e == "txt" || e == "md") {
            files.push(Ok(entry));
        }
    }
}

/// Writes a file whole or not at all: beside its place first, then moved there.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Fault> {
    let cannot = |e: std::io::Error| fault("unwritable", format!("{} cannot be written: {}", shown(path), reason(&e)));
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    if !folder.is_dir() {
        return Err(fault(
            "unwritable",
            format!("{} cannot be written: there is no folder {}", shown(path), shown(folder)),
        ));
    }
    if path.is_dir() {
        return Err(fault("unwritable", format!("{} is a folder; name the file to write", shown(path))));
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = folder.join(format!(".{name}.{}.part", std::process::id()));
    let written = std::fs::File::create(&beside).and_then(|mut file| {
        file.write_all(bytes)?;
        // a file written over may be read by whoever could read it before
        if let Ok(before) = std::fs::metadata(path) {
            file.set_permissions(before.permissions())?;
        }
        file.sync_all()
    });
    if let Err(e) = written.and_then(|()| std::fs::rename(&beside, path)) {
        let _ = std::fs::remove_file(&beside);
        return Err(cannot(e));
    }
    Ok(())
}

/// Writes a result to standard output; a reader that went away is no fault.
pub(super) fn to_stdout(text: &str) {
    let _ = std::io::stdout().lock().write_all(text.as_bytes());
}

/// A path as a person reads it.
pub(super) fn shown(path: &Path) -> String {
    if path == Path::new("-") { "standard input".into() } else { path.display().to_string() }
}

/// The cause, without the number of the operating system.
fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".into(),
        std::io::ErrorKind::PermissionDenied => "permission denied".into(),
        std::io::ErrorKind::IsADirectory => "it is a folder".into(),
        _ => error.to_string(),
    }
}
