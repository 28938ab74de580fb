//! What was measured, for a person.

use fanwise::Pattern;
use fanwise::measure::{Curve, CurveRow, GaugeSource, INCH_MM, Measured, Shape, Verdict, YARD_M, YarnUse, totals};

/// The report of several patterns.
pub(super) fn report(all: &[(String, Pattern, Measured)]) -> String {
    let each = all.iter().map(|(_, pattern, measured)| one(pattern, measured));
    let mut out = each.collect::<Vec<_>>().join("\n");
    if all.len() > 1 {
        out.push_str(&format!("\nAll {} together\n", all.len()));
        for (k, total) in totals(all.iter().map(|(.., m)| &m.yarn)).iter().enumerate() {
            line(&mut out, if k == 0 { "yarn" } else { "" }, &amount(&total.colour, total));
        }
    }
    out
}

fn one(pattern: &Pattern, measured: &Measured) -> String {
    let title = &pattern.tree().title;
    let mut out = format!("{}\n", if title.is_empty() { "(no title)" } else { title });
    size(measured, &mut out);
    yarn(pattern, measured, &mut out);
    curve(pattern, &measured.curve, &mut out);
    if measured.space.shape != Shape::Flat {
        line(&mut out, "shape", &shape(measured));
    }
    out
}

/// A line under a heading of its own; the next lines of the same stand below it without.
fn line(out: &mut String, heading: &str, text: &str) {
    out.push_str(format!("  {heading:<6}  {text}").trim_end());
    out.push('\n');
}

fn size(measured: &Measured, out: &mut String) {
    match &measured.size {
        Some(size) => {
            let unsure = (size.high - 1.0) * 100.0;
            line(
                out,
                "size",
                &format!("{}{}, {unsure:.0} % either way", extent(size.width, size.height), standing(size.stands)),
            );
        }
        None => line(out, "size", "not known: no gauge, and no yarn weight to go by; --gauge tells one"),
    }
    if measured.pieces.len() > 1 {
        for piece in &measured.pieces {
            let times = if piece.copies > 1 { format!(" (make {})", piece.copies) } else { String::new() };
            line(
                out,
                "",
                &format!("{}{times}: {}", piece.name, extent(piece.width, piece.height) + standing(piece.stands)),
            );
        }
    }
    if let Some(gauge) = &measured.gauge {
        let rows = if gauge.rows_told {
            format!("{} rows", number(gauge.rows))
        } else {
            format!("about {:.0} rows", gauge.rows)
        };
        let sts = number(gauge.sts);
        let text =
            format!("gauge {sts} {} and {rows} over {}, {}", gauge.stitch, length(gauge.over_mm), source(gauge.source));
        line(out, "", &text);
    }
    if let Some(rounds) = &measured.gauge_of_rounds {
        let [first, last] = rounds.rows;
        let rows = if first == last { format!("rnd {first}") } else { format!("rnds {first}-{last}") };
        line(out, "", &format!("gauge {rows} {} across, {}", length(rounds.across_mm), source(rounds.source)));
    }
    for (k, y) in measured.in_yarns.iter().enumerate() {
        let heading = if k == 0 { "by the table" } else { "" };
        let yarn = format!("{} ({}), {} mm hook", y.name, y.weight, number(y.hook_mm));
        let unsure = (y.high - 1.0) * 100.0;
        let size = extent(y.width, y.height) + standing(y.stands);
        line(out, "", &format!("{heading:<12}  {yarn:<26}  {size}, {unsure:.0} % either way"));
    }
}

fn yarn(pattern: &Pattern, measured: &Measured, out: &mut String) {
    let estimate = &measured.yarn;
    if estimate.colours.is_empty() && !pattern.fabric().stitches.is_empty() {
        line(out, "yarn", "not known: no gauge to go by; --gauge or --swatch tells one");
    }
    for (k, one) in estimate.colours.iter().enumerate() {
        let name = match one.name.as_str() {
            "" => one.colour.clone(),
            name if name == one.colour => name.to_owned(),
            name => format!("{} {name}", one.colour),
        };
        let by = if k == 0 && estimate.calibrated { "; by your swatch" } else { "" };
        line(out, if k == 0 { "yarn" } else { "" }, &format!("{}{by}", amount(&name, one)));
    }
    for note in &estimate.notes {
        line(out, "", &format!("{}{}", note.message, words(pattern, note.span.start, note.span.end)));
    }
}

fn amount(name: &str, one: &YarnUse) -> String {
    let grams = one.grams.map_or(String::new(), |g| format!(", {} g", tenths(g)));
    let yards = [one.yards, one.low / YARD_M, one.high / YARD_M].map(tenths);
    let metres = [one.metres, one.low, one.high].map(tenths);
    format!(
        "{name}: {} m ({} to {}), {} yd ({} to {}){grams}; {} ends to weave in",
        metres[0], metres[1], metres[2], yards[0], yards[1], yards[2], one.ends
    )
}

/// With tenths below a hundred: more would be more than is known.
fn tenths(n: f64) -> String {
    if n < 100.0 { format!("{n:.1}") } else { format!("{n:.0}") }
}

fn extent(width: f64, height: f64) -> String {
    format!("{:.0} x {:.0} mm ({:.1} x {:.1} in)", width, height, width / INCH_MM, height / INCH_MM)
}

/// How a size is meant: of what stands up, across and high.
fn standing(stands: bool) -> &'static str {
    if stands { " across and high, unstuffed" } else { "" }
}

fn length(mm: f64) -> String {
    if (mm / INCH_MM).fract().abs() < 1e-9 { format!("{} in", mm / INCH_MM) } else { format!("{} mm", number(mm)) }
}

/// A number without a needless point.
fn number(n: f64) -> String {
    if n.fract().abs() < 1e-9 { format!("{n:.0}") } else { format!("{n:.2}").trim_end_matches('0').to_owned() }
}

fn source(source: GaugeSource) -> &'static str {
    match source {
        GaugeSource::Pattern => "as the pattern tells",
        GaugeSource::Option => "as given",
        GaugeSource::Table => "by the table of yarn weights and hooks",
    }
}

fn curve(pattern: &Pattern, curve: &Curve, out: &mut String) {
    let (worked, needed) = curve
        .rows
        .iter()
        .filter(|r| r.judged)
        .fold((0.0, 0.0), |sum, row| (sum.0 + row.extra_worked(), sum.1 + row.extra_needed()));
    let does = match curve.verdict {
        Verdict::Flat => "lies flat",
        Verdict::Cups => "cups",
        Verdict::Ruffles => "ruffles",
    };
    let figures = match curve.rows.iter().any(|r| r.judged) {
        // no stitch is "-0" stitches
        true => {
            let (worked, needed) = (worked.round() + 0.0, (10.0 * needed).round() / 10.0 + 0.0);
            let lost = if worked == -1.0 { "1 stitch".to_owned() } else { format!("{} stitches", -worked) };
            match worked < 0.0 {
                true if needed < 0.0 => {
                    format!(": {lost} lost where a flat piece loses {:.1}", -needed)
                }
                true if needed == 0.0 => format!(": {lost} lost where a flat piece loses none"),
                true => format!(": {lost} lost where {needed:.1} extra are needed"),
                false => format!(": {worked:.0} extra stitches worked where {needed:.1} are needed"),
            }
        }
        false => ", as far as chains, rings and loops tell".to_owned(),
    };
    // what a fan has over is told with the fan
    let figures = match curve.notes.iter().any(|n| n.about == "fan") {
        true => String::new(),
        false => figures,
    };
    line(out, "curve", &format!("{does}{figures}"));
    let width = curve.rows.iter().map(|r| r.label.chars().count()).max().unwrap_or(0);
    for row in &curve.rows {
        line(out, "", &format!("  {:<width$}  {}", row.label, row_in_words(row)));
        for place in row.places.iter().filter(|_| row.judged && row.places.len() > 1) {
            let words = words(pattern, place.span.start, place.span.end);
            let fits = match place.verdict {
                Verdict::Flat => "",
                Verdict::Cups => ", too few",
                Verdict::Ruffles => ", too many",
            };
            let turn = place.turn_deg.round();
            line(
                out,
                "",
                &format!(
                    "  {:<width$}    turns {turn}°: needs {:.1}, gets {:.1}{fits}{words}",
                    "", place.needed, place.worked
                ),
            );
        }
    }
    for note in &curve.notes {
        let words = if note.span.start < note.span.end {
            words(pattern, note.span.start, note.span.end)
        } else {
            String::new()
        };
        line(out, "", &format!("{}{words}", note.message));
    }
}

/// The shape in a sentence: what it is, how deep, how wide, with its angle or its waves.
pub(super) fn shape(measured: &Measured) -> String {
    let space = &measured.space;
    let long = |widths: f64| match measured.stitch_mm {
        Some(mm) => format!("{:.0} mm", widths * mm),
        None => format!("{widths:.1} sts"),
    };
    let (deep, wide) = (long(space.depth), long(space.across));
    if space.depth == 0.0 {
        return format!("{} by its rows; too large to relax in space", name(space.shape));
    }
    match space.shape {
        Shape::Flat => "flat".to_owned(),
        Shape::Tube => format!("a tube, {deep} long and {wide} across"),
        Shape::Cone => {
            let angle = space.half_angle_deg.map_or(String::new(), |a| format!(", its side {a:.0}° from its axis"));
            format!("a cone, {deep} deep and {wide} across{angle}")
        }
        Shape::Cup => format!("a cup, {deep} deep and {wide} across"),
        Shape::Closed => format!("it closes, {deep} from end to end and {wide} across"),
        Shape::Saddle => match space.waves {
            Some(waves) if waves > 0 => {
                let s = if waves == 1 { "" } else { "s" };
                format!("a saddle of {waves} wave{s}, {deep} from its lowest point to its highest")
            }
            _ => format!("a saddle, {deep} from its lowest point to its highest"),
        },
    }
}

fn name(shape: Shape) -> &'static str {
    match shape {
        Shape::Flat => "flat",
        Shape::Tube => "a tube",
        Shape::Cone => "a cone",
        Shape::Cup => "a cup",
        Shape::Closed => "it closes",
        Shape::Saddle => "a saddle",
    }
}

fn row_in_words(row: &CurveRow) -> String {
    let does = match row.verdict {
        Verdict::Flat => "flat",
        Verdict::Cups => "cups",
        Verdict::Ruffles => "ruffles",
    };
    if row.judged {
        format!("{} sts, flat would be {:.1}: {does}", row.made, row.needed)
    } else {
        format!("{} sts, not judged: {}", row.made, row.why)
    }
}

/// The words of a place, short enough for a line, with the line of the file.
fn words(pattern: &Pattern, start: usize, end: usize) -> String {
    const MOST: usize = 48;
    let text = pattern.text();
    let told = text.get(start..end).unwrap_or("").split_whitespace().collect::<Vec<_>>().join(" ");
    let shown: String = told.chars().take(MOST).collect();
    let more = if told.chars().count() > MOST { "…" } else { "" };
    let number = text.get(..start).map_or(1, |before| before.matches('\n').count() + 1);
    format!("; line {number}: \"{shown}{more}\"")
}
