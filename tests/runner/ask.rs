//! Answers each line of an expectation with what came, in the same form.

use super::fabric;
use fanwise::Pattern;
use fanwise::export::json::fabric_document;
use fanwise::face::check_document;
use fanwise::source::{Problem, SourceText};
use serde_json::Value;

/// The documents a case is held against.
pub struct Report {
    pattern: Value,
    fabric: Value,
    /// Rows of every part, in order.
    rows: Vec<Value>,
    /// The row of the last answer: row lines stand in the order of the rows.
    at: usize,
    problems: Vec<(Problem, String)>,
}

impl Report {
    pub fn of(pattern: &Pattern) -> Self {
        let document = check_document(&[("case".to_owned(), pattern.clone())]);
        let document: Value = serde_json::from_str(&document).expect("the report of check is JSON");
        let source = SourceText::new(pattern.text());
        let fabric = fabric_document(pattern.fabric(), pattern.is_sound(), pattern.problems(), &source);
        let entry = document["patterns"][0].clone();
        let rows = each(&entry["parts"]).flat_map(|p| each(&p["rows"])).cloned().collect();
        let words = |p: &Problem| {
            let words = pattern.text().get(p.span.start..p.span.end).unwrap_or("(no such words)");
            words.split_whitespace().collect::<Vec<_>>().join(" ")
        };
        Self {
            pattern: entry,
            fabric: serde_json::from_str(&fabric).expect("the fabric is JSON"),
            rows,
            at: 0,
            problems: pattern.problems().iter().map(|p| (p.clone(), words(p))).collect(),
        }
    }

    /// What came, in the form of the line that asks.
    pub fn answer(&mut self, line: &str) -> Result<String, String> {
        let (head, rest) = line.split_once(':').ok_or("this expectation is not understood")?;
        match head {
            "title" | "terms" => Ok(format!("{head}: {}", self.pattern[head].as_str().unwrap_or("none"))),
            "sizes" => Ok(format!("sizes: {}", words(&self.pattern["sizes"]))),
            "parts" => Ok(format!("parts: {}", self.parts())),
            "conventions" => self.conventions(rest),
            "rows" => Ok(format!("rows: {}", self.rows.iter().map(label).collect::<Vec<_>>().join("; "))),
            "events" => Ok(format!("events: {}", fabric::events(&self.fabric))),
            _ => match head.strip_prefix("stitch ") {
                Some(name) => fabric::stitch(&self.fabric, name, rest),
                None => self.row(head, rest),
            },
        }
    }

    fn parts(&self) -> String {
        let part = |p: &Value| match p["copies"].as_u64() {
            Some(1) | None => p["name"].as_str().unwrap_or("").to_owned(),
            Some(n) => format!("{} x{n}", p["name"].as_str().unwrap_or("")),
        };
        each(&self.pattern["parts"]).map(part).collect::<Vec<_>>().join("; ")
    }

    /// `conventions: dc counts, slip stitches do not count`.
    fn conventions(&self, rest: &str) -> Result<String, String> {
        let all = &self.pattern["conventions"];
        let answer = |fact: &str| -> Result<String, String> {
            let words = fact.trim().trim_end_matches(" do not count").trim_end_matches(" does not count");
            let what = words.trim_end_matches(" counts").trim_end_matches(" count");
            let (value, many) = match what {
                "slip stitches" => (&all["slip_stitches_count"], true),
                "chains" => (&all["chains_count"], true),
                stem => (&all["turning_chain_counts"][stem], false),
            };
            let verb = match (value.as_bool(), many) {
                (Some(true), true) => "count",
                (Some(false), true) => "do not count",
                (Some(true), false) => "counts",
                (Some(false), false) => "does not count",
                (None, _) => "is not spoken of",
            };
            Ok(format!("{what} {verb}"))
        };
        let facts: Result<Vec<_>, _> = rest.split(',').map(answer).collect();
        Ok(format!("conventions: {}", facts?.join(", ")))
    }

    fn row(&mut self, name: &str, rest: &str) -> Result<String, String> {
        let found = self.rows.iter().skip(self.at).position(|r| label(r) == name);
        let found = found.ok_or_else(|| {
            let labels: Vec<_> = self.rows.iter().map(label).collect();
            format!("there is no such row from here on among {}", labels.join("; "))
        })?;
        self.at += found;
        let row = &self.rows[self.at];
        self.at += 1;
        let facts: Result<Vec<_>, _> = rest.split(',').map(|f| row_fact(row, f.trim())).collect();
        Ok(format!("{name}: {}", facts?.join(", ")))
    }

    /// The problem lines as they should read, and where the lines are wrong.
    pub fn problems(&self, lines: &[&str]) -> (Vec<String>, Vec<String>) {
        let mut left: Vec<&(Problem, String)> = self.problems.iter().collect();
        let (mut right, mut faults) = (Vec::new(), Vec::new());
        let mut last: Option<&(Problem, String)> = None;
        for line in lines.iter().filter(|&&l| l != "no problems") {
            if let Some(hint) = line.strip_prefix("hint:") {
                match last.filter(|(p, _)| p.hints.iter().any(|h| h.contains(hint.trim()))) {
                    Some(_) => right.push((*line).to_owned()),
                    None => faults.push(format!("no such hint: {}", hint.trim())),
                }
                continue;
            }
            if let Some(row) = line.strip_prefix("mend:") {
                match last.filter(|(p, _)| p.mends.iter().any(|m| m.row.contains(row.trim()))) {
                    Some(_) => right.push((*line).to_owned()),
                    None => faults.push(format!("no such mend: {}", row.trim())),
                }
                continue;
            }
            if *line == "no mend" {
                match last.filter(|(p, _)| p.mends.is_empty()) {
                    Some(_) => right.push((*line).to_owned()),
                    None => faults.push("there is a mend".into()),
                }
                continue;
            }
            last = left.iter().position(|p| is_told(p, line)).map(|k| left.remove(k));
            match last {
                Some(_) => right.push((*line).to_owned()),
                None => faults.push(format!("there is no {line}")),
            }
        }
        faults.extend(left.iter().map(|p| format!("nobody expects {}", told(p))));
        right.extend(left.iter().map(|p| told(p)));
        if self.problems.is_empty() {
            right.push("no problems".into());
        }
        (right, faults)
    }
}

/// `error places-left at "words": message`.
fn told((problem, words): &(Problem, String)) -> String {
    format!("{} {} at \"{words}\": {}", problem.severity.as_str(), problem.code.as_str(), problem.message)
}

/// True where the line gives severity, code and words as they are, and a part of the message.
fn is_told((problem, words): &(Problem, String), line: &str) -> bool {
    let head = format!("{} {} at \"{words}\":", problem.severity.as_str(), problem.code.as_str());
    line.strip_prefix(head.as_str()).is_some_and(|part| problem.message.contains(part.trim()))
}

/// "S, M, L".
fn words(list: &Value) -> String {
    each(list).filter_map(Value::as_str).collect::<Vec<_>>().join(", ")
}

fn label(row: &Value) -> String {
    row["label"].as_str().unwrap_or("").to_owned()
}

pub fn each(list: &Value) -> impl Iterator<Item = &Value> {
    list.as_array().into_iter().flatten()
}

/// One fact of a row, as it is.
fn row_fact(row: &Value, fact: &str) -> Result<String, String> {
    let first = fact.split(' ').next().unwrap_or("");
    if let Ok(_count) = first.parse::<usize>() {
        let what = fact[first.len()..].trim();
        let of = |map: &str| row[map][what].as_u64();
        return Ok(format!("{} {what}", of("kinds").or(of("spaces")).or(of("groups")).unwrap_or(0)));
    }
    let number = |key: &str| row[key].as_u64().map_or_else(|| "none".to_owned(), |n| n.to_string());
    Ok(match first {
        "offered" | "used" | "passed" | "left" | "made" | "chains" | "line" => format!("{first} {}", number(first)),
        "side" => format!("side {}", row["side"].as_str().unwrap_or("none")),
        "read" | "not" if fact == "read" || fact == "not read" => {
            (if row["read"] == true { "read" } else { "not read" }).into()
        }
        "kinds" | "spaces" | "groups" => format!("{first} {}", counted(&row[first])),
        "stated" => format!("stated {}", stated(row)),
        "sizes" => {
            let what = fact["sizes".len()..].split_whitespace().next().unwrap_or("made");
            let of = |s: &Value| s[what].as_u64().map_or_else(|| "-".to_owned(), |n| n.to_string());
            format!("sizes {what} {}", each(&row["by_size"]).map(of).collect::<Vec<_>>().join(" "))
        }
        _ => return Err(format!("the fact \"{fact}\" is not understood")),
    })
}

/// `12 sc + 3 dc`.
fn counted(map: &Value) -> String {
    let all: Vec<_> = map.as_object().into_iter().flatten().map(|(k, n)| format!("{n} {k}")).collect();
    if all.is_empty() { "none".into() } else { all.join(" + ") }
}

fn stated(row: &Value) -> String {
    let one = |s: &Value| {
        let verdict = if s["agrees"] == true { "agrees" } else { "differs" };
        format!("{} {} {verdict}", s["count"], s["of"].as_str().unwrap_or(""))
    };
    let all: Vec<_> = each(&row["stated"]).map(one).collect();
    if all.is_empty() { "nothing".into() } else { all.join(" + ") }
}
