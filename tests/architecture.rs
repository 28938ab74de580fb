//! The floors of the house, held.
//!
//! Every source file is read as tokens, so a path is found wherever it stands: in a `use` line, in the
//! middle of an expression, in a macro. Comments and doc links are not tokens and bind nothing. Test
//! modules (`#[cfg(test)]`) may name any room; the rules on files and sizes hold for them too.

use proc_macro2::{Delimiter, Ident, TokenStream, TokenTree};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// Every room and its floor. A room may name rooms on lower floors, and itself.
const FLOORS: &[(&str, u8)] = &[
    ("source", 0),
    ("craft", 0),
    ("instructions", 1),
    ("fabric", 1),
    ("reading", 2),
    ("working", 2),
    ("symbol", 2),
    ("check", 3),
    ("layout", 3),
    ("compare", 4),
    ("series", 4),
    ("mend", 4),
    ("write", 4),
    ("measure", 4),
    ("chart", 5),
    ("export", 6),
    ("face", 7),
    ("book", 8),
    ("cli", 9),
];

/// Only the command line knows files, clocks, threads and the environment.
const OUTSIDE: &[&str] = &["fs", "env", "time", "process", "thread", "net"];

/// Only the command line knows a terminal.
const TERMINAL: &[&str] = &["print", "println", "eprint", "eprintln", "dbg"];

/// Collections whose order differs from run to run.
const UNORDERED: &[&str] = &["HashMap", "HashSet", "RandomState"];

/// Functions that round differently from machine to machine; `libm` has them all.
const ROUNDING: &[&str] = &[
    "sin", "cos", "tan", "sin_cos", "asin", "acos", "atan", "atan2", "sinh", "cosh", "tanh", "powf", "exp", "exp2",
    "ln", "log", "log2", "log10", "cbrt",
];

/// Rooms whose arithmetic reaches the drawing.
const DRAWING: &[&str] = &["symbol", "layout", "measure", "chart", "export"];

/// Names that say nothing of what a file holds.
const EMPTY_NAMES: &[&str] = &["util", "utils", "helper", "helpers", "manager", "managers", "misc"];

/// More lines than this, and a file holds more than one idea.
const MOST_LINES: usize = 600;

fn floor(room: &str) -> Option<u8> {
    FLOORS.iter().find(|(name, _)| *name == room).map(|&(_, floor)| floor)
}

/// A path as written: its segments, and its line.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Named {
    segments: Vec<String>,
    line: usize,
}

/// Every path of a run of tokens; one for each leaf of a `use` tree.
fn paths(tokens: TokenStream) -> Vec<Named> {
    let mut found = Vec::new();
    gather(&tokens.into_iter().collect::<Vec<_>>(), &mut found);
    found
}

fn gather(tokens: &[TokenTree], found: &mut Vec<Named>) {
    let mut at = 0;
    while at < tokens.len() {
        match &tokens[at] {
            TokenTree::Ident(ident) => at = path_from(tokens, at, ident, &[], found),
            TokenTree::Group(group) => {
                gather(&group.stream().into_iter().collect::<Vec<_>>(), found);
                at += 1;
            }
            _ => at += 1,
        }
    }
}

/// Follows the path that begins at `at`, after `prefix`; returns where the tokens go on.
fn path_from(tokens: &[TokenTree], at: usize, first: &Ident, prefix: &[String], found: &mut Vec<Named>) -> usize {
    let line = first.span().start().line;
    let mut segments = [prefix, &[first.to_string()]].concat();
    let mut at = at + 1;
    while is_colons(tokens, at) {
        match tokens.get(at + 2) {
            Some(TokenTree::Ident(ident)) => segments.push(ident.to_string()),
            Some(TokenTree::Punct(star)) if star.as_char() == '*' => segments.push("*".into()),
            Some(TokenTree::Group(tree)) if tree.delimiter() == Delimiter::Brace => {
                use_tree(tree.stream(), &segments, found);
                return at + 3;
            }
            _ => break,
        }
        at += 3;
    }
    if matches!(tokens.get(at), Some(TokenTree::Ident(word)) if word == "as") {
        segments.push("as".into());
    }
    found.push(Named { segments, line });
    at
}

/// The leaves between the braces of a `use` tree.
fn use_tree(tree: TokenStream, prefix: &[String], found: &mut Vec<Named>) {
    let tokens: Vec<_> = tree.into_iter().collect();
    for leaf in tokens.split(|t| matches!(t, TokenTree::Punct(p) if p.as_char() == ',')) {
        match leaf.first() {
            Some(TokenTree::Ident(ident)) => {
                path_from(leaf, 0, ident, prefix, found);
            }
            Some(star) => {
                let segments = [prefix, &["*".to_owned()]].concat();
                found.push(Named { segments, line: star.span().start().line });
            }
            None => {}
        }
    }
}

fn is_colons(tokens: &[TokenTree], at: usize) -> bool {
    let colon = |k: usize| matches!(tokens.get(k), Some(TokenTree::Punct(p)) if p.as_char() == ':');
    colon(at) && colon(at + 1)
}

/// Takes out whatever stands under `#[cfg(test)]`; returns the modules of other files that were declared there.
fn without_tests(tokens: TokenStream) -> (TokenStream, Vec<String>) {
    let tokens: Vec<_> = tokens.into_iter().collect();
    let mut kept = Vec::new();
    let mut declared = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        if is_test_attribute(&tokens, at) {
            let mut end = at + 2;
            while end < tokens.len() && !ends_item(&tokens[end]) {
                end += 1;
            }
            if let [TokenTree::Ident(word), TokenTree::Ident(name), TokenTree::Punct(_)] =
                &tokens[end.max(2) - 2..=end.min(tokens.len() - 1)]
                && word == "mod"
            {
                declared.push(name.to_string());
            }
            at = end + 1;
            continue;
        }
        match &tokens[at] {
            TokenTree::Group(group) => {
                let (inner, more) = without_tests(group.stream());
                declared.extend(more);
                kept.push(TokenTree::Group(proc_macro2::Group::new(group.delimiter(), inner)));
            }
            other => kept.push(other.clone()),
        }
        at += 1;
    }
    (kept.into_iter().collect(), declared)
}

fn ends_item(token: &TokenTree) -> bool {
    match token {
        TokenTree::Punct(p) => p.as_char() == ';',
        TokenTree::Group(g) => g.delimiter() == Delimiter::Brace,
        _ => false,
    }
}

/// True at the `#` of `#[cfg(test)]`, also where further conditions stand beside it.
fn is_test_attribute(tokens: &[TokenTree], at: usize) -> bool {
    let (Some(TokenTree::Punct(hash)), Some(TokenTree::Group(attribute))) = (tokens.get(at), tokens.get(at + 1)) else {
        return false;
    };
    let text = attribute.stream().to_string();
    let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric() && c != '_').filter(|w| !w.is_empty()).collect();
    hash.as_char() == '#' && words.first() == Some(&"cfg") && words.contains(&"test") && !words.contains(&"not")
}

/// Where a file stands in the module tree: `src/fabric/row.rs` is `fabric::row`.
fn module_of(file: &str) -> Vec<String> {
    let inner = file.trim_start_matches("src/").trim_end_matches(".rs");
    inner.split('/').filter(|part| !matches!(*part, "mod" | "lib" | "main")).map(str::to_owned).collect()
}

/// What the root of the library passes on: `pub use fabric::Fabric` makes `crate::Fabric` a name of `fabric`.
fn passed_on(lib: &str) -> BTreeMap<String, String> {
    let tokens = lib.parse().expect("lib.rs can be read");
    let leaves = paths(tokens).into_iter().filter(|n| n.segments.len() > 1 && floor(&n.segments[0]).is_some());
    leaves.map(|n| (n.segments[n.segments.len() - 1].clone(), n.segments[0].clone())).collect()
}

/// What a path speaks of, beyond its own room.
enum Target {
    /// A room of the house.
    Room(String),
    /// Something of the root that is neither a room nor passed on from one.
    Unknown(String),
}

fn target(named: &Named, module: &[String], passed: &BTreeMap<String, String>) -> Option<Target> {
    let segments: Vec<&str> = named.segments.iter().map(String::as_str).collect();
    let room = match segments.as_slice() {
        ["crate" | "fanwise", "as", ..] => return Some(Target::Unknown("the whole crate".into())),
        ["crate" | "fanwise"] => return None,
        ["crate" | "fanwise", room, ..] => *room,
        _ => {
            let rest: Vec<&str> = segments.iter().copied().skip_while(|s| *s == "self").collect();
            let up = rest.iter().take_while(|s| **s == "super").count();
            if up == 0 || up < module.len() {
                return None;
            }
            rest.get(up).copied().filter(|s| *s != "as")?
        }
    };
    Some(match passed.get(room) {
        _ if floor(room).is_some() => Target::Room(room.to_owned()),
        Some(home) => Target::Room(home.clone()),
        None => Target::Unknown(room.to_owned()),
    })
}

/// Modules written out within a file push `super` one further; each is followed with its own place.
fn each_module(tokens: TokenStream, module: &[String], visit: &mut dyn FnMut(&Named, &[String])) {
    let tokens: Vec<_> = tokens.into_iter().collect();
    let mut outer = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        if let [TokenTree::Ident(word), TokenTree::Ident(name), TokenTree::Group(body), ..] = &tokens[at..]
            && word == "mod"
        {
            each_module(body.stream(), &[module, &[name.to_string()]].concat(), visit);
            at += 3;
        } else {
            outer.push(tokens[at].clone());
            at += 1;
        }
    }
    paths(outer.into_iter().collect()).iter().for_each(|named| visit(named, module));
}

/// Faults of one file outside its test modules.
fn faults_in(file: &str, text: &str, passed: &BTreeMap<String, String>) -> Vec<String> {
    let tokens: TokenStream = match text.parse() {
        Ok(tokens) => tokens,
        Err(error) => return vec![format!("{file}: cannot be read: {error}")],
    };
    let (tokens, _) = without_tests(tokens);
    let module = module_of(file);
    let room = module.first().cloned().unwrap_or_default();
    let root = room.is_empty();
    let outdoors = room == "cli" || file == "src/main.rs";
    let mut faults = Vec::new();
    match floor(&room) {
        None if !root => faults.push(format!("{file}: the room {room} has no floor")),
        own => each_module(tokens.clone(), &module, &mut |named, module| {
            let at = format!("{file}:{}", named.line);
            let names: Vec<&str> = named.segments.iter().map(String::as_str).collect();
            match target(named, module, passed) {
                Some(Target::Room(other)) if other != room && !root && floor(&other) >= own => {
                    faults.push(format!("{at}: {room} names {other}, which is not on a lower floor"));
                }
                Some(Target::Unknown(name)) if !root && !outdoors => {
                    faults.push(format!("{at}: {name} is neither a room nor passed on from one"));
                }
                _ => {}
            }
            if !outdoors
                && (matches!(names.as_slice(), ["std", what, ..] if OUTSIDE.contains(what) || matches!(*what, "*" | "as"))
                    || matches!(names.as_slice(), ["std", "io", "stdin" | "stdout" | "stderr", ..]))
            {
                faults.push(format!("{at}: only the command line may name {}", names.join("::")));
            }
            if let Some(word) = names.iter().find(|n| UNORDERED.contains(n)) {
                faults.push(format!("{at}: {word} has no order of its own; use a BTreeMap, a BTreeSet or a Vec"));
            }
        }),
    }
    faults.extend(token_faults(file, tokens, !outdoors, DRAWING.contains(&room.as_str())));
    faults.dedup();
    faults
}

/// What only shows in the tokens round a name: macros, method calls, attributes.
fn token_faults(file: &str, tokens: TokenStream, quiet: bool, draws: bool) -> Vec<String> {
    let tokens: Vec<_> = tokens.into_iter().collect();
    let mut faults = Vec::new();
    let is = |k: usize, c: char| matches!(tokens.get(k), Some(TokenTree::Punct(p)) if p.as_char() == c);
    for (k, token) in tokens.iter().enumerate() {
        match token {
            TokenTree::Ident(ident) => {
                let at = format!("{file}:{}", ident.span().start().line);
                let name = ident.to_string();
                if quiet && TERMINAL.contains(&name.as_str()) && is(k + 1, '!') {
                    faults.push(format!("{at}: only the command line may print, and {name}! does"));
                }
                let called =
                    matches!(tokens.get(k + 1), Some(TokenTree::Group(g)) if g.delimiter() == Delimiter::Parenthesis);
                let of_number =
                    k > 0 && is(k - 1, '.') || k > 2 && matches!(&tokens[k - 3], TokenTree::Ident(t) if t == "f64");
                if draws && called && of_number && ROUNDING.contains(&name.as_str()) {
                    faults.push(format!("{at}: {name} is not the same on every machine; use libm::{name}"));
                }
                if name == "include" && is(k + 1, '!')
                    || name == "extern" && matches!(tokens.get(k + 1), Some(TokenTree::Ident(_)))
                {
                    faults.push(format!("{at}: {name} hides what a file names"));
                }
            }
            TokenTree::Group(group) => {
                let line = group.span_open().start().line;
                if k > 0 && is(k - 1, '#') && group.stream().to_string().starts_with("path ") {
                    faults.push(format!("{file}:{line}: a path attribute hides where a module stands"));
                }
                faults.extend(token_faults(file, group.stream(), quiet, draws));
            }
            _ => {}
        }
    }
    faults
}

/// Faults that hold for every file, test modules too.
fn file_faults(file: &str, text: &str) -> Vec<String> {
    let mut faults = Vec::new();
    let lines = text.lines().count();
    if lines > MOST_LINES {
        faults.push(format!("{file}: {lines} lines, the most is {MOST_LINES}"));
    }
    for part in file.trim_end_matches(".rs").split('/') {
        if EMPTY_NAMES.contains(&part) {
            faults.push(format!("{file}: \"{part}\" does not say what is in it"));
        }
    }
    faults
}

/// Every source file with its text, by name.
fn sources() -> BTreeMap<String, String> {
    fn walk(folder: &Path, root: &Path, files: &mut BTreeMap<String, String>) {
        let entries = std::fs::read_dir(folder).expect("the source tree can be read");
        for path in entries.map(|e| e.expect("the source tree can be read").path()) {
            if path.is_dir() {
                walk(&path, root, files);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let name = path.strip_prefix(root).expect("inside").to_string_lossy().replace('\\', "/");
                files.insert(name, std::fs::read_to_string(&path).expect("a source file can be read"));
            }
        }
    }
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let mut files = BTreeMap::new();
    walk(&root.join("src"), &root, &mut files);
    files
}

/// Modules in files of their own that only tests see.
fn test_modules(files: &BTreeMap<String, String>) -> BTreeSet<Vec<String>> {
    let mut modules = BTreeSet::new();
    for (file, text) in files {
        let tokens: TokenStream = text.parse().unwrap_or_default();
        let own = module_of(file);
        modules.extend(without_tests(tokens).1.into_iter().map(|name| [own.as_slice(), &[name]].concat()));
    }
    modules
}

fn none(faults: &[String]) {
    assert!(faults.is_empty(), "\n{}\n", faults.join("\n"));
}

#[test]
fn no_room_names_a_room_on_its_own_floor_or_above() {
    let files = sources();
    let passed = passed_on(&files["src/lib.rs"]);
    let tests = test_modules(&files);
    let of_tests = |file: &str| {
        let module = module_of(file);
        (1..=module.len()).any(|n| tests.contains(&module[..n]))
    };
    let faults: Vec<_> = files
        .iter()
        .filter(|(file, _)| !of_tests(file))
        .flat_map(|(file, text)| faults_in(file, text, &passed))
        .collect();
    none(&faults);
}

#[test]
fn every_file_is_short_and_has_a_name_that_says_something() {
    let faults: Vec<_> = sources().iter().flat_map(|(file, text)| file_faults(file, text)).collect();
    none(&faults);
}

#[test]
fn every_floor_is_lived_on() {
    let files = sources();
    for (room, _) in FLOORS {
        assert!(files.keys().any(|f| f.starts_with(&format!("src/{room}/"))), "there is no room {room}");
    }
}

/// The checker itself: each of these must be seen, or nothing it says can be trusted.
mod checker {
    use super::*;

    fn faults(file: &str, text: &str) -> Vec<String> {
        let passed = passed_on("pub mod fabric;\npub use fabric::Fabric;\npub use face::{Chart, Pattern};");
        faults_in(file, text, &passed)
    }

    fn one(file: &str, text: &str, part: &str) {
        let found = faults(file, text);
        assert!(found.len() == 1 && found[0].contains(part), "{text}: {found:?}");
    }

    #[test]
    fn a_room_may_name_the_floors_below_and_itself() {
        none(&faults("src/check/mod.rs", "use crate::working::Tally; use crate::check::counts; use super::check;"));
        none(&faults("src/chart/post.rs", "use super::figure; fn f(x: crate::layout::Layout) {}"));
        none(&faults("src/layout/mod.rs", "use crate::Fabric; pub(crate) fn f() {} pub(in crate::layout) fn g() {}"));
    }

    #[test]
    fn a_use_line_upward_is_seen() {
        one("src/fabric/row.rs", "use crate::chart::Scene;", "src/fabric/row.rs:1: fabric names chart");
    }

    #[test]
    fn a_use_line_sideways_is_seen() {
        one("src/check/mod.rs", "\n\nuse crate::layout::Layout;", "src/check/mod.rs:3: check names layout");
    }

    #[test]
    fn a_leaf_deep_in_a_use_tree_is_seen() {
        one(
            "src/craft/mod.rs",
            "use crate::{craft::{Stem, stitch::{self}}, fabric::{Row, Side}};",
            "craft names fabric",
        );
        one("src/craft/mod.rs", "use {std::fmt, crate::face as front};", "craft names face");
    }

    #[test]
    fn a_path_in_an_expression_or_a_macro_is_seen() {
        one("src/layout/net.rs", "fn f() { let x = g(crate::chart::compose()); }", "layout names chart");
        one("src/layout/net.rs", "fn f() -> Vec<crate::chart::Scene> { Vec::new() }", "layout names chart");
        one("src/layout/net.rs", "fn f() { assert!(matches!(x, crate::chart::Ink)); }", "layout names chart");
        one("src/layout/net.rs", "macro_rules! m { () => { $crate::chart::x() } }", "layout names chart");
    }

    #[test]
    fn supers_that_climb_out_of_the_room_are_seen() {
        one("src/source/span.rs", "use super::super::craft::Stem;", "source names craft");
        one("src/source/mod.rs", "use self::super::craft::Stem;", "source names craft");
        one("src/source/mod.rs", "mod inner { use super::super::craft::Stem; }", "source names craft");
        none(&faults("src/source/span.rs", "mod inner { use super::super::Problem; }"));
    }

    #[test]
    fn names_the_root_passes_on_belong_to_their_rooms() {
        one("src/working/mod.rs", "use crate::Chart;", "working names face");
        one("src/working/mod.rs", "use fanwise::Pattern;", "working names face");
        one("src/working/mod.rs", "use crate::Pear;", "Pear is neither a room nor passed on");
        one("src/working/mod.rs", "use crate as house;", "the whole crate");
        one("src/working/mod.rs", "use crate::*;", "* is neither a room");
    }

    #[test]
    fn files_clocks_threads_and_the_terminal_belong_to_the_command_line() {
        one("src/face/mod.rs", "fn f() { std::fs::read(\"x\"); }", "std::fs::read");
        one("src/face/mod.rs", "use std::{fmt, env};", "std::env");
        one("src/face/mod.rs", "use std::time::Instant;", "std::time");
        one("src/face/mod.rs", "fn f() { println!(\"pear\"); }", "println!");
        one("src/face/mod.rs", "use std::io::{self, stdout};", "std::io::stdout");
        none(&faults("src/cli/files.rs", "use std::fs; fn f() { println!(\"pear\"); std::process::exit(0) }"));
        none(&faults("src/export/json.rs", "const V: &str = env!(\"CARGO_PKG_VERSION\"); use std::io;"));
    }

    #[test]
    fn unordered_collections_and_unsteady_arithmetic_are_seen() {
        one("src/layout/net.rs", "use std::collections::{BTreeMap, HashMap};", "HashMap has no order");
        one("src/layout/net.rs", "fn f(x: f64) -> f64 { x.sin() }", "libm::sin");
        one("src/chart/yarn.rs", "fn f(x: f64) -> f64 { f64::atan2(x, 1.0) }", "libm::atan2");
        none(&faults("src/chart/yarn.rs", "fn f(x: f64) -> f64 { libm::sin(x).sqrt() }"));
    }

    #[test]
    fn what_hides_a_name_is_seen() {
        one("src/chart/yarn.rs", "#[path = \"../layout/net.rs\"] mod net;", "path attribute");
        one("src/chart/yarn.rs", "include!(\"net.rs\");", "include hides");
        one("src/chart/yarn.rs", "extern crate serde as s;", "extern hides");
    }

    #[test]
    fn a_room_without_a_floor_is_seen() {
        one("src/shed/mod.rs", "use crate::face;", "the room shed has no floor");
    }

    #[test]
    fn test_modules_are_looser_and_comments_bind_nothing() {
        let text = "//! See [`crate::face`].\n/// crate::chart::Scene\nfn f() {}\n#[cfg(test)]\n#[allow(dead_code)]\nmod tests { use crate::face::Pattern; }\n#[cfg(test)]\nuse std::fs;";
        none(&faults("src/source/mod.rs", text));
        one("src/source/mod.rs", "#[cfg(not(test))] use crate::face::Pattern;", "source names face");
        one("src/source/mod.rs", "#[cfg(test)] mod tests {} use crate::face::Pattern;", "source names face");
    }

    #[test]
    fn a_test_module_in_its_own_file_is_known_by_its_declaration() {
        let files = [
            ("src/layout/mod.rs", "mod net; #[cfg(test)] mod tests;"),
            ("src/layout/net.rs", "#[cfg(test)] mod tests { mod inner {} }"),
        ];
        let files = files.map(|(f, t)| (f.to_owned(), t.to_owned())).into();
        assert_eq!(test_modules(&files), [vec!["layout".to_owned(), "tests".to_owned()]].into());
    }

    #[test]
    fn long_files_and_empty_names_are_seen() {
        assert_eq!(file_faults("src/chart/yarn.rs", &"\n".repeat(600)), Vec::<String>::new());
        assert_eq!(file_faults("src/chart/yarn.rs", &"\n".repeat(601)).len(), 1);
        assert_eq!(file_faults("src/chart/utils.rs", "").len(), 1);
        assert_eq!(file_faults("src/helpers/mod.rs", "").len(), 1);
    }
}
