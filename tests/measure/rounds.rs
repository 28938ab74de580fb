//! Patterns in joined rounds, written out from the counts of their rounds.

/// Rounds of one stitch about a ring of thread; increases stand in other places from round to round.
pub fn rounds(stitch: &str, counts: &[usize]) -> String {
    let mut text =
        "Round piece\n\nUS terms.\nCh 1 at the start of a round does not count as a stitch.\n\nMake a magic ring.\n"
            .to_owned();
    let mut before = 0;
    for (k, &count) in counts.iter().enumerate() {
        let work = match k {
            0 => format!("{count} {stitch} in ring"),
            _ => round(stitch, before, count, k % 2),
        };
        text += &format!("Rnd {}: Ch 1, {work}. Join with sl st to first {stitch}. ({count} sts)\n", k + 1);
        before = count;
    }
    text
}

fn round(stitch: &str, before: usize, count: usize, odd: usize) -> String {
    let mut words: Vec<String> = Vec::new();
    let plain = |n: usize| match n {
        0 => None,
        1 => Some(format!("{stitch} in next st")),
        _ => Some(format!("{stitch} in next {n} sts")),
    };
    if count >= before {
        let more = count - before;
        let shift = odd * (before.checked_div(more).unwrap_or(0) / 2);
        let twice: Vec<bool> =
            (0..before).map(|i| (0..more).any(|q| (q * before / more + shift) % before == i)).collect();
        let mut i = 0;
        while i < before {
            let run = twice[i..].iter().take_while(|&&t| t == twice[i]).count();
            match (twice[i], run) {
                (false, n) => words.extend(plain(n)),
                (true, 1) => words.push(format!("2 {stitch} in next st")),
                (true, n) => words.push(format!("2 {stitch} in each of next {n} sts")),
            }
            i += run;
        }
    } else {
        let less = before - count;
        let mut at = 0;
        for q in 0..less {
            let from = q * before / less;
            words.extend(plain(from.saturating_sub(at)));
            words.push(format!("{stitch}2tog"));
            at = from.max(at) + 2;
        }
        words.extend(plain(before - at));
    }
    words.join(", ")
}

/// The rounds of a disc that grows by so many stitches each time.
pub fn growing(stitch: &str, by: usize, rounds_made: usize) -> String {
    rounds(stitch, &(1..=rounds_made).map(|k| k * by).collect::<Vec<_>>())
}
