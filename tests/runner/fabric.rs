//! Stitches and events of the fabric, named as a person counts them.
//!
//! A stitch is `Row 2.3`, the third stitch of row 2 that counts, in yarn order; `Foundation.5`, the
//! fifth chain made; or `#17`, by its id.

use super::ask::each;
use serde_json::Value;

/// What came of a stitch, in the form of the line that asks.
pub fn stitch(fabric: &Value, name: &str, facts: &str) -> Result<String, String> {
    let found = find(fabric, name).ok_or_else(|| format!("there is no stitch {name}"))?;
    let mut answers = Vec::new();
    for (i, fact) in facts.split(',').map(str::trim).enumerate() {
        let first = fact.split(' ').next().unwrap_or("");
        answers.push(match first {
            _ if i == 0 => text(&found["kind"]),
            "into" => format!("into {}", places(fabric, found)),
            "colour" => match found["colour_end"].as_str() {
                Some(end) => format!("colour {} to {end}", text(&found["colour"])),
                None => format!("colour {}", text(&found["colour"])),
            },
            "role" => format!("role {}", text(&found["role"])),
            "counts" | "does" => (if found["counts"] == true { "counts" } else { "does not count" }).into(),
            "stands" => format!("stands for {}", found["stands_for"].as_str().unwrap_or("nothing")),
            "meets" => format!("meets {}", text(&found["meet"])),
            _ => return Err(format!("the fact \"{fact}\" is not understood")),
        });
    }
    Ok(format!("stitch {name}: {}", answers.join(", ")))
}

/// `attach A; turn; cut A`.
pub fn events(fabric: &Value) -> String {
    let one = |e: &Value| match e["colour"].as_str() {
        Some(colour) => format!("{} {colour}", text(&e["do"])),
        None => text(&e["do"]),
    };
    each(&fabric["events"]).map(one).collect::<Vec<_>>().join("; ")
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or("none").to_owned()
}

fn find<'a>(fabric: &'a Value, name: &str) -> Option<&'a Value> {
    if let Some(id) = name.strip_prefix('#') {
        let id: u64 = id.parse().ok()?;
        return each(&fabric["stitches"]).find(|s| s["id"] == id);
    }
    let (label, n) = name.rsplit_once('.')?;
    let n: usize = n.parse().ok()?;
    let row = each(&fabric["rows"]).find(|r| r["label"] == label)?;
    counted(fabric, row).nth(n.checked_sub(1)?)
}

/// The stitches a person counts in a row: chains of a foundation, else those that count.
fn counted<'a>(fabric: &'a Value, row: &'a Value) -> impl Iterator<Item = &'a Value> {
    let foundation = row["shape"] == "foundation";
    each(&fabric["stitches"])
        .filter(move |s| s["row"] == row["index"] && (s["counts"] == true || foundation && s["kind"] == "ch"))
}

/// `Row 2.3`, `Foundation.5` or `#17`.
fn name(fabric: &Value, id: &Value) -> String {
    let row = each(&fabric["stitches"]).find(|s| s["id"] == *id).map(|s| &s["row"]);
    let row = each(&fabric["rows"]).find(|r| Some(&r["index"]) == row);
    let named = row.and_then(|row| {
        let first = each(&fabric["rows"]).find(|r| r["label"] == row["label"])?;
        let n = counted(fabric, row).position(|s| s["id"] == *id)?;
        (first["index"] == row["index"]).then(|| format!("{}.{}", text(&row["label"]), n + 1))
    });
    named.unwrap_or_else(|| format!("#{id}"))
}

fn places(fabric: &Value, stitch: &Value) -> String {
    let all: Vec<_> = each(&stitch["into"]).map(|p| place(fabric, p)).collect();
    if all.is_empty() { "nothing".into() } else { all.join(" and ") }
}

fn place(fabric: &Value, place: &Value) -> String {
    let of = |key: &str| name(fabric, &place[key]);
    if !place["top"].is_null() {
        let part = place["loop"].as_str().filter(|&l| l != "both").map_or(String::new(), |l| format!(" {l} loop"));
        return format!("top {}{part}", of("top"));
    }
    for key in ["chain", "underside", "bump", "side"] {
        if !place[key].is_null() {
            return format!("{key} {}", of(key));
        }
    }
    if !place["post"].is_null() {
        return format!("{} post {}", text(&place["from"]), of("post"));
    }
    if let Some([a, b]) = place["between"].as_array().map(Vec::as_slice) {
        return format!("between {} & {}", name(fabric, a), name(fabric, b));
    }
    if let Some(end) = place["row_end"].as_object() {
        let row =
            each(&fabric["rows"]).find(|r| r["index"] == end["row"]).map_or_else(String::new, |r| text(&r["label"]));
        return format!("{} of {row} at {}", text(&end["edge"]), end["at"]);
    }
    if !place["space"].is_null() {
        return format!("space {}", place["space"]);
    }
    if !place["ring"].is_null() {
        return "ring".into();
    }
    place.to_string()
}
