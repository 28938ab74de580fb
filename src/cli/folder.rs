//! A folder of results: all of them written, or none.

use super::files::{Fault, shown, write_whole};
use std::path::{Path, PathBuf};

/// A file to be: its name and what is in it.
pub(super) type Named = (String, Vec<u8>);

/// Writes files into a folder, which is made where its parent is there. They are written beside their places first and
/// moved there when all are whole, so that a full disk leaves what was there before.
pub(super) fn write_into(folder: &Path, files: &[Named]) -> Result<(), Fault> {
    let made = make(folder)?;
    let written = write_beside_and_move(folder, files);
    if written.is_err() && made {
        // OK to ignore: it is removed only where it is empty
        let _ = std::fs::remove_dir(folder);
    }
    written
}

/// Makes the folder; true where it was not there.
pub(super) fn make(folder: &Path) -> Result<bool, Fault> {
    if folder.is_dir() {
        return Ok(false);
    }
    let parent = match folder.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    if folder.exists() {
        return Err(cannot(format!("{} is a file; name the folder to write into", shown(folder))));
    }
    if !parent.is_dir() {
        return Err(cannot(format!("{} cannot be made: there is no folder {}", shown(folder), shown(parent))));
    }
    std::fs::create_dir(folder).map(|()| true).map_err(|e| cannot(format!("{} cannot be made: {e}", shown(folder))))
}

fn write_beside_and_move(folder: &Path, files: &[Named]) -> Result<(), Fault> {
    if let Some((name, _)) = files.iter().find(|(name, _)| folder.join(name).is_dir()) {
        return Err(cannot(format!(
            "{} is a folder, and a file of this name is to be written",
            shown(&folder.join(name))
        )));
    }
    let beside = folder.join(format!(".fanwise.{}.part", std::process::id()));
    std::fs::create_dir(&beside).map_err(|e| cannot(format!("{} cannot be written into: {e}", shown(folder))))?;
    let moved = || -> Result<(), Fault> {
        for (name, bytes) in files {
            write_whole(&beside.join(name), bytes)?;
        }
        for (name, _) in files {
            let to: PathBuf = folder.join(name);
            std::fs::rename(beside.join(name), &to)
                .map_err(|e| cannot(format!("{} cannot be written: {e}", shown(&to))))?;
        }
        Ok(())
    };
    let written = moved();
    let _ = std::fs::remove_dir_all(&beside);
    written
}

fn cannot(message: String) -> Fault {
    Fault { code: "unwritable", message }
}
