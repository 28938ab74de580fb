//! Reads a case, runs it, and says where it differs from what it expects.
#![allow(dead_code)] // not every test asks everything

mod ask;
mod fabric;
mod laws;

use ask::Report;
use fanwise::instructions::{Assumed, Terms};
use fanwise::reading::HouseWords;
use fanwise::{Pattern, ReadOptions, SizeChoice};

/// Divides the pattern from what is expected of it.
const RULE: &str = "---- expect";

/// A pattern and its expectations.
pub struct Case<'a> {
    pattern: &'a str,
    expect: Vec<&'a str>,
}

/// What came of a case.
pub struct Outcome {
    /// Where it differs; empty for a case that passes.
    pub faults: Vec<String>,
    /// The case as it would have to read, where it can be rewritten.
    pub rewritten: Option<String>,
}

impl Outcome {
    pub fn failing(faults: Vec<String>) -> Self {
        Self { faults, rewritten: None }
    }
}

impl<'a> Case<'a> {
    pub fn parse(text: &'a str) -> Result<Self, String> {
        let at = text.find(&format!("{RULE}\n")).ok_or_else(|| format!("there is no line \"{RULE}\""))?;
        let expect = text[at + RULE.len() + 1..].lines().map(str::trim).filter(|l| !l.is_empty()).collect();
        Ok(Self { pattern: &text[..at], expect })
    }

    pub fn run(&self) -> Outcome {
        let pattern = Pattern::read_with(self.pattern, &self.options());
        let mut report = Report::of(&pattern);
        let mut faults = laws::broken(self.pattern, &pattern, &self.options());
        let mut lines: Vec<String> = Vec::new();
        let mut known = None;
        let mut problems = Vec::new();
        for line in &self.expect {
            if let Some(why) = line.strip_prefix("known fault:") {
                known = Some(why.trim());
                lines.push((*line).to_owned());
            } else if ["#", "read as ", "read in ", "read with ", "read assuming "].iter().any(|w| line.starts_with(w))
            {
                lines.push((*line).to_owned());
            } else if is_problem(line) {
                problems.push(*line);
            } else {
                match report.answer(line) {
                    Ok(answer) if answer == *line => lines.push(answer),
                    Ok(answer) => {
                        faults.push(format!("expected {line}\n         came {answer}"));
                        lines.push(answer);
                    }
                    Err(why) => {
                        faults.push(format!("{why}: {line}"));
                        lines.push((*line).to_owned());
                    }
                }
            }
        }
        let (told, mut wrong) = report.problems(&problems);
        faults.append(&mut wrong);
        if problems.is_empty() {
            faults.push("nothing is said of problems; write \"no problems\", or each of them".into());
        }
        let head = lines.iter().take_while(|l| keeps_its_place(l)).count();
        lines.splice(head..head, told);
        let rewritten = Some(format!("{}{RULE}\n{}\n", self.pattern, lines.join("\n")));
        let show = std::env::var_os("FANWISE_KNOWN").is_some_and(|v| v == "1");
        match known.filter(|_| !show) {
            Some(_) if !faults.is_empty() => Outcome { faults: Vec::new(), rewritten: None },
            Some(why) => Outcome::failing(vec![format!("this works now; take out the known fault \"{why}\"")]),
            None => Outcome { faults, rewritten },
        }
    }

    /// The pattern's own words.
    pub fn pattern(&self) -> &'a str {
        self.pattern
    }

    /// Words of the house that the case reads with.
    pub fn house(&self) -> ReadOptions {
        ReadOptions::default().house_words(self.house_words())
    }

    /// How the case is read.
    pub fn options(&self) -> ReadOptions {
        let told = |what: &str| self.expect.iter().find_map(|l| l.strip_prefix(what));
        let options = match told("read as ") {
            Some("uk") => ReadOptions::default().terms(Terms::Uk),
            Some("us") => ReadOptions::default().terms(Terms::Us),
            _ => ReadOptions::default(),
        };
        let options = options.house_words(self.house_words()).assumed(self.assumed());
        match told("read in size ") {
            Some("all") => options.size(SizeChoice::All),
            Some(name) => options.size(SizeChoice::Named(name.to_owned())),
            None => options,
        }
    }

    /// `read with remark WORDS`, `read with alias NAME = STITCH`, `read with stitch NAME = DEFINITION`.
    fn house_words(&self) -> HouseWords {
        let mut words = HouseWords::default();
        for told in self.expect.iter().filter_map(|l| l.strip_prefix("read with ")) {
            let (what, rest) = told.split_once(' ').expect("what, and its words");
            let pair = || rest.split_once(" = ").expect("a name and what it stands for");
            let added = match what {
                "remark" => words.add_remark(rest),
                "alias" => words.add_alias(pair().0, pair().1),
                _ => words.add_stitch(pair().0, pair().1),
            };
            added.unwrap_or_else(|fault| panic!("{told}: {fault}"));
        }
        words
    }

    fn assumed(&self) -> Assumed {
        let told = self.expect.iter().filter_map(|l| l.strip_prefix("read assuming "));
        told.fold(Assumed::default(), |assumed, how| match how {
            "turning-chain=counts" => assumed.with_turning_chain_counts(true),
            "turning-chain=not" => assumed.with_turning_chain_counts(false),
            "repeat=more" => assumed.with_repeat_more(true),
            "repeat=total" => assumed.with_repeat_more(false),
            _ => panic!("nothing is assumed by {how}"),
        })
    }
}

fn is_problem(line: &str) -> bool {
    line == "no problems"
        || line == "no mend"
        || ["error ", "warning ", "note ", "hint:", "mend:"].iter().any(|w| line.starts_with(w))
}

/// Lines that stand before the problems.
fn keeps_its_place(line: &str) -> bool {
    ["known fault:", "#", "read as ", "read in ", "read with ", "read assuming ", "title:", "terms:"]
        .iter()
        .any(|w| line.starts_with(w))
}
