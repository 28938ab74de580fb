//! Temporary.
fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let (pattern, mut problems) = fanwise::reading::read(&text, &Default::default());
    let worked = fanwise::working::work(&pattern);
    problems.extend(worked.problems.iter().cloned());
    problems.extend(fanwise::check::check(&pattern, &worked));
    for t in &worked.tallies {
        println!(
            "{:14} read={} off={:?} used={:?} passed={} left={} made={} stated={:?} {:?} {:?} {:?}",
            t.label,
            t.read,
            t.offered,
            t.used,
            t.passed,
            t.left,
            t.made,
            t.stated.iter().map(|s| (s.count, s.of.name())).collect::<Vec<_>>(),
            t.kinds,
            t.spaces,
            t.side.map(|s| s.as_str())
        );
    }
    for p in &problems {
        println!("{:?} {} | {} | {:?}", p.code, p.message, &text[p.span.start..p.span.end.min(text.len())], p.hints);
    }
    if std::env::args().nth(2).is_some() {
        for part in &pattern.parts {
            println!("== {} x{}", part.name, part.copies);
            for r in &part.rows {
                println!("{:?} {:?}: {r}", r.heading.kind, r.heading.rows);
            }
        }
        println!("{:?} {:?} {:?} {:?}", pattern.yarns, pattern.gauge, pattern.hook_mm, pattern.conventions);
    }
}
