//! Pattern texts of a folder.

use std::path::{Path, PathBuf};

/// Appends every text in a folder and those within it, in the order the disk gives them.
pub fn gather(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("it can be read").path();
        match path.is_dir() {
            true => gather(&path, files),
            false if path.extension().is_some_and(|e| e == "txt") => files.push(path),
            false => {}
        }
    }
}
