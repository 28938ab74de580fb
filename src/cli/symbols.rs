//! A folder of symbols of one's own.

use super::files::{Fault, read_text, shown};
use fanwise::symbol::SymbolSet;
use std::path::{Path, PathBuf};

/// The symbols of the house with those of a folder in their place. Every file that cannot be used is told.
pub(super) fn of_folder(folder: &Path) -> Result<SymbolSet, Fault> {
    let cannot =
        |e: std::io::Error| Fault::usage(format!("{} cannot be read as a folder of symbols: {e}", shown(folder)));
    let entries =
        std::fs::read_dir(folder).and_then(|entries| entries.collect::<Result<Vec<_>, _>>()).map_err(cannot)?;
    let mut files: Vec<PathBuf> = entries.into_iter().map(|e| e.path()).collect();
    files.retain(|path| path.is_file() && path.extension().is_some_and(|e| e.eq_ignore_ascii_case("svg")));
    files.sort();
    if files.is_empty() {
        return Err(Fault::usage(format!("{} holds no .svg file, so there is no symbol in it", shown(folder))));
    }
    let mut set = SymbolSet::house();
    let mut faults = Vec::new();
    for path in files {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let text = match read_text(&path) {
            Ok(text) => text,
            Err(fault) => {
                faults.push(fault.message);
                continue;
            }
        };
        match set.clone().with_file(&name, &text) {
            Ok(more) => set = more,
            Err(fault) => faults.push(format!("{}: {}", shown(&path), fault.message)),
        }
    }
    match faults.as_slice() {
        [] => Ok(set),
        faults => Err(Fault::usage(faults.join("\nerror: "))),
    }
}
