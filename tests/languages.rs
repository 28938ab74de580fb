//! Charts in other languages: legend, numbers, description, font.

#![cfg(feature = "cli")]

mod program;

use fanwise::chart::{Font, LabelRole, Style};
use fanwise::symbol::Speak;
use fanwise::{ChartOptions, Pattern};
use program::Folder;

const PEAR: &str = include_str!("../examples/orchard/pear.txt");
const JAPANESE: &[u8] = include_bytes!("fonts/NotoSansCJKjp-subset.otf");

fn legend(style: Style) -> Vec<String> {
    let chart = Pattern::read(PEAR).chart(&ChartOptions::default().with_style(style)).expect("a chart");
    let labels = chart.scene().labels.iter().filter(|l| l.role == LabelRole::Legend);
    labels.map(|l| l.text.clone()).collect()
}

fn speaking(code: &str) -> Style {
    Style::default().with_speak(Speak::of_code(code).expect("a language"))
}

/// One word means different stitches in different lands: `medio punto` is an sc in Mexico and Argentina, and half of
/// an hdc in Spain; `dc` is a treble in Britain. Source: from memory, as the table says.
#[test]
fn each_land_has_its_own_terms() {
    let sc = |code: &str| legend(speaking(code))[1].clone();
    let told = ["en-US", "en-GB", "de", "fr", "es-ES", "es-MX", "es-AR", "nl", "it", "pt-BR", "da"].map(sc);
    assert_eq!(
        told,
        [
            "sc – single crochet",
            "dc – double crochet",
            "fM – feste Masche",
            "ms – maille serrée",
            "pb – punto bajo",
            "mp – medio punto",
            "mp – medio punto",
            "v – vaste",
            "mb – maglia bassa",
            "pb – ponto baixo",
            "fm – fastmaske",
        ]
    );
    assert!(legend(speaking("de")).contains(&"2 fM zus. – 2 × feste Masche, zusammen abgemascht".to_owned()));
}

#[test]
fn every_language_has_the_letters_of_its_words() {
    let japanese = Font::read(JAPANESE.to_vec()).expect("a font");
    for code in Speak::codes() {
        let style = speaking(code);
        let style = if code == "ja" { style.with_font(japanese.clone()) } else { style };
        assert!(legend(style).len() > 3, "{code}");
    }
}

#[test]
fn the_description_is_read_in_the_language_of_the_chart() {
    let folder = Folder::new("language");
    folder.file("pear.txt", PEAR);
    let run = folder.run(&["draw", "pear.txt", "-o", "pear.svg", "--lang", "DE"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let svg = String::from_utf8(folder.bytes("pear.svg")).unwrap();
    assert!(svg.contains(" lang=\"de\"") && svg.contains("Häkelschrift: Pear, 5 Reihen."), "{svg:.900}");
    assert!(svg.contains("\nReihe 1: ") && svg.contains("\nRand Reihe 2: "));
    assert!(svg.contains("feste Masche: 6") && !svg.contains("single crochet"));
    assert!(svg.contains(">Rand 2<"));
}

#[test]
fn japanese_wants_a_font_and_draws_its_sc_as_a_cross() {
    let folder = Folder::new("japanese");
    folder.file("pear.txt", PEAR);
    for out in ["pear.svg", "pear.png", "pear.pdf"] {
        let run = folder.run(&["draw", "pear.txt", "-o", out, "--lang", "ja"]);
        assert_eq!(run.code, 2);
        assert!(run.err.contains("Japanese") && run.err.contains("--font FILE"), "{}", run.err);
    }
    assert_eq!(folder.names(), ["pear.txt"]);
    folder.file("japanese.otf", JAPANESE);
    folder.file("no-font.otf", "no font");
    let run = folder.run(&["draw", "pear.txt", "-o", "pear.svg", "--lang", "ja", "--font", "no-font.otf"]);
    assert!(run.code == 2 && run.err.contains("no-font.otf: this is no font"), "{}", run.err);
    let drawn = |args: &[&str]| {
        let base = ["draw", "pear.txt", "-o", "pear.svg", "--lang", "ja", "--font", "japanese.otf"];
        let run = folder.run(&[&base, args].concat());
        assert_eq!((run.code, run.err.as_str()), (0, ""));
        String::from_utf8(folder.bytes("pear.svg")).unwrap()
    };
    let svg = drawn(&[]);
    assert!(svg.contains(">細編み<") && svg.contains("Noto Sans CJK JP"));
    assert_eq!(svg, drawn(&["--sc", "cross"]), "× without asking");
    assert_ne!(svg, drawn(&["--sc", "plus"]));
    let run = folder.run(&["draw", "pear.txt", "-o", "pear.pdf", "--lang", "ja", "--font", "japanese.otf"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let pdf = folder.bytes("pear.pdf");
    let holds = |words: &[u8]| pdf.windows(words.len()).any(|w| w == words);
    assert!(holds(b"NotoSansCJKjp"), "the font is in the file");
}

#[test]
fn a_language_that_is_not_there_is_refused() {
    let folder = Folder::new("no-language");
    folder.file("pear.txt", PEAR);
    let run = folder.run(&["draw", "pear.txt", "-o", "pear.svg", "--lang", "tlh"]);
    assert!(run.code == 2 && run.err.contains("it is one of en-US, en-GB, de"), "{}", run.err);
}
