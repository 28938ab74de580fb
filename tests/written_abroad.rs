//! Patterns written out in other languages: the rows that English tells, in the abbreviations of the trade there.
//!
//! No outside source: the wordings are from memory, as the table says. What is held here is that the table is used as
//! it reads, that the same work is told in every language, and that nothing is dropped.

mod program;

use fanwise::Pattern;
use fanwise::symbol::{Language, Speak};
use fanwise::write::{Block, Line, Written, as_text};
use program::Folder;

fn language(code: &str) -> Language {
    match Speak::of_code(code) {
        Some(Speak::In(language)) => language,
        _ => panic!("{code} is no language"),
    }
}

fn written(text: &str, code: &str) -> Written {
    let pattern = Pattern::read(text);
    assert!(pattern.is_sound(), "{:#?}", pattern.problems());
    pattern.write_in(language(code)).expect("a language with abbreviations")
}

fn rows(written: &Written) -> Vec<&Line> {
    fn row(block: &Block) -> Option<&Line> {
        match block {
            Block::Row(line) => Some(line),
            _ => None,
        }
    }
    written.blocks.iter().filter_map(row).collect()
}

const LANGUAGES: [&str; 10] = ["de", "fr", "es-ES", "es-MX", "es-AR", "nl", "it", "pt-PT", "pt-BR", "da"];

const MOTIF: &str = "Acorn Mat\n\nUS terms\n\nYarn A: bark brown\nHook: 3.5 mm\nGauge: 16 sc and 18 rows = 10 cm\n\n\
    Special stitch\nV-stitch (V-st): (dc, ch 1, dc) in same st.\n\n\
    Ch 4, join with sl st to form a ring.\n\
    Rnd 1: Ch 3 (counts as dc), 11 dc in ring. Join with sl st to top of beg ch-3. (12 dc)\n\
    Rnd 2: Ch 1, *sc in next st, ch 3, skip next st; rep from * around. Join with sl st to first sc. (6 sc, 6 ch-3 sps)\n\
    Rnd 3: Ch 1, *(sc, hdc, dc, hdc, sc) in next ch-3 sp; rep from * around. Join with sl st to first sc. (30 sts)\n\
    Rnd 4: Ch 1, sc in each st around, admire it. Join with sl st to first sc. (30 sts)\n\
    Rnd 5: Ch 1, sc in each st around, admire it. Join with sl st to first sc. (30 sts)\n\
    Rnd 6: Ch 1, *[sc2tog, V-st in next st] twice, sc in next 4 sts; rep from * around. Join with sl st to first sc.\n\
    Fasten off.\n";

fn motif() -> String {
    MOTIF.replace(", admire it", "")
}

#[test]
fn a_stitch_with_a_letter_in_its_name_is_no_yarn() {
    assert_eq!(Pattern::read(MOTIF).tree().yarns.len(), 1);
}

#[test]
fn a_motif_in_german() {
    let text = as_text(&written(&motif(), "de"));
    for words in [
        "\nGarn A: [im Original: bark brown]\nHäkelnadel: 3,5 mm\nMaschenprobe: 16 fM, 18 Reihen = 10 cm\n",
        "\nBesondere Maschen\nV-stitch (V-st): (1 Stb, 1 Lm, 1 Stb) in ",
        "\n4 Lm, mit 1 Km zum Ring schließen.\n",
        "\nRunde 1: 3 Lm (zählt als 1 Stb), 11 Stb in den Ring. Mit 1 Km in die oberste Anfangs-Lm zur Runde schließen. (12 Stb)\n",
        "\nRunde 2: 1 Lm, *1 fM in die nächste M, 3 Lm, 1 M überspringen; ab * bis zum Ende wiederholen. Mit 1 Km in die erste M zur Runde schließen. (6 fM, 6 3-Lm-Bögen)\n",
        "*(1 fM, 1 hStb, 1 Stb, 1 hStb, 1 fM) in den nächsten 3-Lm-Bogen; ab * bis zum Ende wiederholen.",
        "\nRunden 4 und 5: 1 Lm, 1 fM in jede M. Mit 1 Km in die erste M zur Runde schließen. (30 M)\n",
        "*[2 fM zus. über die nächsten 2 M, 1 v-stitch in die nächste M] 2 ×, je 1 fM in die nächsten 4 M; ab * bis zum Ende wiederholen.",
        "\nFaden abschneiden und durchziehen.\n",
    ] {
        assert!(text.contains(words), "{words}\n{text}");
    }
    let list = text.split("Abkürzungen\n").nth(1).and_then(|t| t.split("\n\n").next()).expect("a list");
    let shorts: Vec<&str> = list.lines().filter_map(|l| Some(l.split_once(": ")?.0)).collect();
    assert_eq!(shorts, ["Lm", "Km", "fM", "2 fM zus.", "hStb", "Stb", "M"]);
}

#[test]
fn every_language_tells_the_rows_that_english_tells() {
    for name in ["pear", "leaf", "apple", "acorn", "coaster"] {
        let path = format!("{}/examples/orchard/{name}.txt", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).expect("the pattern is there");
        let english = Pattern::read(&text).write(None);
        for code in LANGUAGES {
            let told = written(&text, code);
            let (own, theirs) = (rows(&told), rows(&english));
            assert_eq!(own.len(), theirs.len(), "{name} in {code}");
            for (own, theirs) in own.iter().zip(&theirs) {
                assert_eq!(own.rows, theirs.rows, "{name} in {code}");
                assert_eq!(own.count.is_empty(), theirs.count.is_empty(), "{name} in {code}: {}", own.text());
                // of a row nothing but its remarks is left in English
                let stays = own.words().contains("rigin");
                assert_eq!(stays, theirs.words().contains("For the stalk"), "{name} in {code}: {}", own.text());
                assert!(!own.text().contains('{'), "{name} in {code}: {}", own.text());
            }
        }
    }
}

#[test]
fn words_without_a_settled_wording_stay_and_are_marked() {
    let text = "Twig\n\nUS terms\n\nCh 11.\nRow 1: Sc in 2nd ch from hook and in each ch across. Turn. (10 sts)\n\
        Row 2: Ch 1, sc in each st across. Turn.\nRow 3: Work even until 6 rows.\n\nFinishing\nWeave in ends. Press it lightly.\n";
    let told = as_text(&written(text, "nl"));
    assert!(told.contains("[in het origineel: Work even until 6 rows]"), "{told}");
    assert!(told.contains("\nAfwerking\nDraden wegwerken. [in het origineel: Press it lightly.]\n"), "{told}");
}

#[test]
fn what_a_note_tells_of_chains_stands_at_the_chains_and_rows_worked_over_are_counted() {
    let text = "Strip\n\nUS terms\nCh 3 counts as dc.\n\nCh 12.\nRow 1: Dc in 4th ch from hook and in each ch across. Turn. (10 dc)\n\
        Row 2: Ch 3, skip first dc, dc in each dc across. Turn.\nRow 3: Ch 1, sc in each dc across. Turn.\n\
        Rows 4-7: Rep rows 2 and 3 twice.\n";
    let german = as_text(&written(text, "de"));
    assert!(german.contains("\nReihe 2: 3 Lm (zählt als 1 Stb), das erste Stb überspringen,"), "{german}");
    assert!(german.contains("\nReihen 4-7: Wie Reihen 2 und 3, 2 ×.\n"), "{german}");
    let english = as_text(&Pattern::read(text).write(None));
    assert!(english.contains("\nRows 4-7: Rep rows 2 and 3 twice.\n"), "{english}");
}

#[test]
fn a_land_has_its_own_names() {
    let row = |code| rows(&written(&motif(), code))[2].text();
    assert!(row("es-ES").contains("*1 pb en el siguiente p, 3 cad, saltar 1 p;"), "{}", row("es-ES"));
    assert!(row("es-AR").contains("*1 mp en el siguiente p, 3 cad, saltar 1 p;"), "{}", row("es-AR"));
    assert!(row("pt-BR").contains("pular 1 p;") && row("pt-PT").contains("saltar 1 p;"));
}

#[test]
fn japanese_is_refused_with_the_reason() {
    let folder = Folder::new("written-abroad");
    folder.file("motif.txt", motif());
    let run = folder.run(&["write", "motif.txt", "--lang", "ja", "-o", "motif-ja.txt"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("no settled abbreviations for rows in words"), "{}", run.err);
    assert_eq!(folder.names(), ["motif.txt"]);
    let german = folder.run(&["write", "motif.txt", "--lang", "de", "--format", "html"]);
    assert_eq!(german.code, 0);
    assert!(german.out.contains("<html lang=\"de\">") && german.out.contains("<h2>Abkürzungen</h2>"));
}

#[test]
fn all_sizes_are_told_in_one_text() {
    const BAND: &str = "Acorn Band\n\nSizes: S (M, L)\n\nCh 21 (25, 29).\n\n\
        Row 1: Sc in 2nd ch from hook and in each ch across. Turn. (20 (24, 28) sc)\n\n\
        Row 2: Ch 1, sc in next 1 (3, 5) sts, 2 sc in next st, sc in each st across. Turn. (21 (25, 29) sc)\n\n\
        Sizes M and L only: Row 3: Ch 1, sc in each st across. Turn.\n\n\
        All sizes: Row 4: Ch 1, sc2tog, sc in each st across. (20 (24, 28) sc)\n";
    let options = fanwise::reading::ReadOptions::default().size(fanwise::reading::SizeChoice::All);
    let pattern = Pattern::read_with(BAND, &options);
    assert!(pattern.is_sound(), "{:#?}", pattern.problems());
    for code in LANGUAGES {
        let text = as_text(&pattern.write_in(language(code)).expect("a language with abbreviations"));
        for list in ["21 (25, 29)", "20 (24, 28)", "25 (29)"] {
            assert!(text.contains(list), "{code}: {list}: {text}");
        }
        // one stitch and several are other words: a line for each size
        for size in ["S", "M", "L"] {
            assert!(text.lines().any(|l| l.contains(&format!("{size} ")) || l.contains(&format!("{size}:"))), "{code}");
        }
        assert!(!text.contains("Sizes"), "{code}: {text}");
    }
    let german = as_text(&pattern.write_in(language("de")).expect("German"));
    assert!(german.contains("Nur Größe M: Reihe 2: 1 Lm, je 1 fM in die nächsten 3 M,"), "{german}");
    assert!(german.contains("Nur Größe M, L: Reihe 3: 1 Lm, 1 fM in jede M."), "{german}");
}

#[test]
fn yarn_joined_in_any_place_is_told_so() {
    const MAT: &str = "Acorn Mat\n\nCh 4, join with sl st to form a ring.\n\n\
        Rnd 1: Ch 3 (counts as dc), 2 dc in ring, ch 2, [3 dc in ring, ch 2] 3 times. Join with sl st to top of ch 3.\n\
        Fasten off.\n\n\
        Rnd 2: Join B with sl st in any ch-2 sp, ch 1, [(2 sc, ch 2, 2 sc) in next ch-2 sp] 4 times. Join with sl st to \
        first sc.\nFasten off.\n";
    assert!(as_text(&Pattern::read(MAT).write(None)).contains("Join B with sl st in any ch-2 sp, ch 1"));
    assert!(as_text(&written(MAT, "de")).contains("B anschlingen: 1 Km in einen beliebigen 2-Lm-Bogen"));
    assert!(as_text(&written(MAT, "fr")).contains("1 mc dans n’importe quel arceau de 2 ml"));
}
