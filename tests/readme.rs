//! What the README shows is what the program prints, and its Rust compiles.

#![cfg(feature = "cli")]

use std::path::{Path, PathBuf};
use std::process::Command;

const README: &str = include_str!("../README.md");

/// A fenced block: its language, its text, and the line of text before it.
struct Block<'a> {
    language: &'a str,
    text: String,
    before: &'a str,
}

fn blocks(text: &str) -> Vec<Block<'_>> {
    let mut blocks = Vec::new();
    let mut before = "";
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        if let Some(language) = line.strip_prefix("```") {
            let body: Vec<&str> = lines.by_ref().take_while(|l| *l != "```").collect();
            blocks.push(Block { language, text: body.join("\n") + "\n", before });
            before = "";
        } else if !line.is_empty() {
            before = line;
        }
    }
    blocks
}

/// The file that "Save this as `NAME`:" asks for.
fn file_named(before: &str) -> Option<&str> {
    before.strip_suffix("`:")?.rsplit_once("ave this as `").map(|(_, name)| name)
}

/// A folder as a reader has it: the orchard, and every file the README says to save.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let orchard = folder.join("examples/orchard");
    std::fs::create_dir_all(&orchard).expect("a folder to work in");
    let here = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/orchard");
    for entry in std::fs::read_dir(here).expect("the orchard is there") {
        let path = entry.expect("its files can be read").path();
        if path.extension().is_some_and(|e| e == "txt") {
            std::fs::copy(&path, orchard.join(path.file_name().expect("a file"))).expect("it can be copied");
        }
    }
    for block in blocks(README) {
        if let Some(name) = file_named(block.before) {
            let path = folder.join(name);
            std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder can be made");
            std::fs::write(path, &block.text).expect("a file can be saved");
        }
    }
    folder
}

fn fanwise(folder: &Path, words: &str) -> std::process::Output {
    let words = words.split('#').next().unwrap_or("").split_whitespace();
    Command::new(env!("CARGO_BIN_EXE_fanwise")).args(words).current_dir(folder).output().expect("the program runs")
}

#[test]
fn the_readme_shows_what_the_program_prints() {
    let folder = folder("readme-shows");
    let mut shown = 0;
    for block in blocks(README).iter().filter(|b| b.language == "console") {
        let (command, expected) = block.text.split_once('\n').expect("a command and what it prints");
        let words = command.strip_prefix("$ fanwise ").expect("a command of the program");
        let printed = String::from_utf8(fanwise(&folder, words).stdout).expect("text");
        assert_eq!(printed.trim_end(), expected.trim_end(), "{command}");
        shown += 1;
    }
    assert!(shown >= 5, "only {shown} commands are shown");
}

#[test]
fn every_command_of_the_readme_is_fine() {
    let folder = folder("readme-runs");
    let commands = |text: String| text.lines().map(str::to_owned).collect::<Vec<_>>();
    let all: Vec<_> =
        blocks(README).into_iter().filter(|b| b.language == "sh").flat_map(|b| commands(b.text)).collect();
    let ours: Vec<_> = all.iter().filter_map(|c| c.strip_prefix("fanwise ")).collect();
    assert!(ours.len() >= 10, "only {} commands were found", ours.len());
    for words in ours {
        let out = fanwise(&folder, words);
        assert!(out.status.success(), "fanwise {words}: {}", String::from_utf8_lossy(&out.stderr));
    }
}

/// The README's Rust, line for line; [`its_rust_is_what_is_tested_here`] holds the two together.
#[test]
fn the_rust_of_the_readme_works() -> Result<(), Box<dyn std::error::Error>> {
    {
        let text = "Swatch\n\nCh 6.\nRow 1: Sc in 2nd ch from hook and in each ch across. (5 sts)\n";
        let svg = fanwise::Pattern::read(text).chart(&fanwise::ChartOptions::default())?.to_svg();
        assert!(svg.starts_with("<svg"));
    }
    {
        use fanwise::craft::{Stem, StitchForm};
        use fanwise::working::Into;
        use fanwise::{Builder, Chart, ChartOptions};

        let sc = StitchForm::plain(Stem::Single);
        let fabric = Builder::new("Swatch")
            .chain(6)
            .row()
            .work(sc, Into::FromHook { n: 2 })
            .work_next(sc, 4)
            .row()
            .turn()
            .chain(1)
            .work_next(sc, 5)
            .finish()?;
        let svg = Chart::of_fabric(&fabric, &ChartOptions::default())?.to_svg();
        assert_eq!(svg.matches("class=\"stitch sc\"").count(), 10);
    }
    Ok(())
}

#[test]
fn its_rust_is_what_is_tested_here() {
    let tested = include_str!("readme.rs");
    for block in blocks(README).iter().filter(|b| b.language == "rust") {
        for line in block.text.lines().map(str::trim) {
            assert!(tested.contains(line), "not tested: {line}");
        }
    }
}

#[test]
fn every_link_into_the_tree_leads_somewhere() {
    for text in [README, include_str!("../DEVELOPERS.md")] {
        let links = text.split("](").skip(1).filter_map(|rest| rest.split(')').next());
        for link in links.filter(|l| !l.contains("://") && !l.starts_with('#') && !l.ends_with(".svg")) {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(link);
            assert!(path.exists(), "{link} is not there");
        }
    }
}
