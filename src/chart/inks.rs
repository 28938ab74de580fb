use crate::chart::ChartInfo;
use std::fmt;

/// A printing ink, as red, green, blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ink(pub [u8; 3]);

impl Ink {
    /// Near black, softer on the page than full black.
    pub const BLACK: Ink = Ink([0x22, 0x22, 0x22]);
    /// Full black, for print in one ink.
    pub const SOLID: Ink = Ink([0, 0, 0]);
    /// The pale band under every other row in one black: it helps the eye, and nothing is lost where it is.
    pub const BAND: Ink = Ink([0xec, 0xec, 0xec]);
    /// White paper.
    pub const PAPER: Ink = Ink([0xff, 0xff, 0xff]);
    /// The ground of a dark page.
    pub const NIGHT: Ink = Ink([0x1d, 0x1e, 0x20]);
    /// The first row ink.
    pub const BLUE: Ink = Ink([0x12, 0x38, 0x7c]);
    /// The second row ink: parted from the blue in hue for most eyes, and in lightness for all and for grey print.
    pub const RUST: Ink = Ink([0xc0, 0x50, 0x0f]);
    /// What has been worked before and is there only to be found again: as pale as a line may be.
    pub const PAST: Ink = Ink([0x8c, 0x8c, 0x8c]);
    /// The same for words, which have to be darker to be read.
    pub const PAST_WORDS: Ink = Ink([0x6e, 0x6e, 0x6e]);
    /// Tint under stitches in doubt.
    pub const DOUBT_TINT: Ink = Ink([0xff, 0xf2, 0xc2]);
    /// Outline round stitches in doubt.
    pub const DOUBT_LINE: Ink = Ink([0x8a, 0x5a, 0x00]);
}

impl Ink {
    /// The print ink of a colour told as `#c62828` or in a word that is known, such as `leaf green`.
    ///
    /// What is too pale to be seen on white paper is darkened in its own hue.
    pub fn told(colour: &str) -> Option<Ink> {
        let Some(digits) = colour.trim().strip_prefix('#') else { return named_ink(colour) };
        if digits.len() != 6 || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
            return None;
        }
        let part = |k: usize| u8::from_str_radix(&digits[k..k + 2], 16).ok();
        let mut ink = Ink([part(0)?, part(2)?, part(4)?]);
        while contrast_on_white(ink) < LEAST_CONTRAST {
            // OK: every pass takes at least one from each part above 0, and black stands out
            ink = Ink(ink.0.map(|c| (u32::from(c) * 31 / 32) as u8));
        }
        Some(ink)
    }
}

impl Ink {
    /// The ink for a dark page: lighter in its own hue until words in it can be read; a tint of white paper becomes as
    /// faint a tint of the dark.
    pub fn at_night(self) -> Ink {
        let mixed = |from: Ink, to: Ink, share: f64| {
            let part = |k: usize| (f64::from(from.0[k]) * (1.0 - share) + f64::from(to.0[k]) * share).round() as u8;
            Ink([part(0), part(1), part(2)])
        };
        if contrast(self, Ink::PAPER) < TINT_CONTRAST {
            return mixed(Ink::NIGHT, self, TINT_SHARE);
        }
        // what is darkest on paper is lightest here, so that inks part as they do there
        let wanted = (100.0 - 0.75 * self.lightness()).max(NIGHT_LIGHTNESS);
        let inks = (0..=50).map(|k| mixed(self, Ink::PAPER, f64::from(k) / 50.0));
        inks.into_iter().find(|ink| ink.lightness() >= wanted).unwrap_or(Ink::PAPER)
    }

    /// The ink as words on white paper need it: darkened in its own hue where it is too pale to be read.
    pub fn for_words(mut self) -> Ink {
        while contrast(self, Ink::PAPER) < WORDS_CONTRAST {
            // OK: every pass takes at least one from each part above 0, and black stands out
            self = Ink(self.0.map(|c| (u32::from(c) * 31 / 32) as u8));
        }
        self
    }

    /// The grey of a lightness, 0 to 100.
    ///
    /// Source: L* of CIE 1976 and the transfer curve of sRGB, both the other way round.
    pub(super) fn grey(lightness: f64) -> Ink {
        let f = (lightness + 16.0) / 116.0;
        let y = if lightness > 8.0 { f * f * f } else { lightness / 903.3 };
        let c = if y <= 0.003_130_8 { 12.92 * y } else { 1.055 * libm::pow(y, 1.0 / 2.4) - 0.055 };
        Ink([(c * 255.0).clamp(0.0, 255.0).round() as u8; 3])
    }

    /// How light it is to the eye, 0 to 100.
    ///
    /// Source: L* of CIE 1976.
    pub fn lightness(self) -> f64 {
        let y = luminance(self);
        if y > 0.008_856 { 116.0 * libm::cbrt(y) - 16.0 } else { 903.3 * y }
    }
}

/// How much of a tint there is on a dark page.
const TINT_SHARE: f64 = 0.16;
/// A colour that stands out less than this from white paper is a tint.
const TINT_CONTRAST: f64 = 1.6;
/// Contrast of words.
///
/// Source: WCAG 2, 4.5 for text.
const WORDS_CONTRAST: f64 = 4.5;
/// Least lightness of an ink on a dark page: words in it have the contrast they need.
const NIGHT_LIGHTNESS: f64 = 60.0;

/// Contrast of two colours, 1 to 21.
///
/// Source: the contrast ratio of WCAG 2, from relative luminance.
pub fn contrast(a: Ink, b: Ink) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Contrast of a line that can be seen.
///
/// Source: WCAG 2, 3 for graphics.
const LEAST_CONTRAST: f64 = 3.0;

impl fmt::Display for Ink {
    /// As in CSS, `#144f9e`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [r, g, b] = self.0;
        write!(f, "#{r:02x}{g:02x}{b:02x}")
    }
}

/// Contrast of an ink on white paper, 1 to 21.
///
/// Source: the contrast ratio of WCAG 2, from relative luminance.
pub fn contrast_on_white(ink: Ink) -> f64 {
    contrast(ink, Ink::PAPER)
}

/// Relative luminance, 0 to 1.
fn luminance(ink: Ink) -> f64 {
    let linear = |c: u8| {
        let c = f64::from(c) / 255.0;
        if c <= 0.040_45 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) }
    };
    let [r, g, b] = ink.0.map(linear);
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

/// Print inks by the colour words of yarn labels: legible hues, darker than the yarn where it is pale.
///
/// The longest word that occurs in the name wins, so that "off white" is not "white".
const BY_WORD: &[(&str, [u8; 3])] = &[
    ("red", [0xc6, 0x28, 0x28]),
    ("crimson", [0xa8, 0x12, 0x33]),
    ("scarlet", [0xcc, 0x2a, 0x1c]),
    ("wine", [0x7a, 0x1f, 0x3d]),
    ("burgundy", [0x7a, 0x1f, 0x3d]),
    ("pink", [0xc8, 0x3c, 0x7e]),
    ("rose", [0xbf, 0x3f, 0x68]),
    ("coral", [0xd0, 0x4e, 0x3a]),
    ("salmon", [0xcf, 0x5a, 0x45]),
    ("peach", [0xc4, 0x62, 0x2e]),
    ("apricot", [0xc0, 0x66, 0x1c]),
    ("orange", [0xc7, 0x5a, 0x00]),
    ("rust", [0xa8, 0x44, 0x12]),
    ("terracotta", [0xa8, 0x4a, 0x2c]),
    ("yellow", [0x9a, 0x75, 0x00]),
    ("gold", [0x96, 0x6d, 0x0a]),
    ("mustard", [0x8f, 0x6a, 0x06]),
    ("lemon", [0x94, 0x7a, 0x00]),
    ("green", [0x2b, 0x7a, 0x35]),
    ("leaf", [0x3a, 0x7a, 0x22]),
    ("lime", [0x5c, 0x7f, 0x0a]),
    ("olive", [0x66, 0x6b, 0x1a]),
    ("sage", [0x56, 0x74, 0x5c]),
    ("mint", [0x2b, 0x80, 0x66]),
    ("teal", [0x0a, 0x73, 0x73]),
    ("turquoise", [0x0a, 0x7c, 0x86]),
    ("aqua", [0x0a, 0x7c, 0x86]),
    ("blue", [0x1d, 0x55, 0xa8]),
    ("navy", [0x1b, 0x2d, 0x66]),
    ("sky", [0x2a, 0x78, 0xb4]),
    ("denim", [0x35, 0x5c, 0x8c]),
    ("purple", [0x6d, 0x2f, 0x96]),
    ("violet", [0x66, 0x3a, 0xa6]),
    ("lilac", [0x82, 0x56, 0xab]),
    ("lavender", [0x74, 0x5f, 0xac]),
    ("plum", [0x75, 0x2d, 0x66]),
    ("brown", [0x6b, 0x43, 0x26]),
    ("chocolate", [0x55, 0x34, 0x20]),
    ("tan", [0x8d, 0x66, 0x3e]),
    ("camel", [0x93, 0x69, 0x38]),
    ("beige", [0x8a, 0x73, 0x54]),
    ("sand", [0x8f, 0x74, 0x4d]),
    ("cream", [0x8c, 0x7a, 0x4f]),
    ("ivory", [0x8a, 0x7c, 0x58]),
    ("white", [0x77, 0x7c, 0x84]),
    ("grey", [0x66, 0x6b, 0x70]),
    ("gray", [0x66, 0x6b, 0x70]),
    ("silver", [0x74, 0x79, 0x7f]),
    ("charcoal", [0x3d, 0x42, 0x48]),
    ("black", [0x22, 0x22, 0x22]),
];

/// Inks for yarns whose name tells no colour, parted in lightness as well as in hue.
const PALETTE: [Ink; 6] = [
    Ink([0x14, 0x4f, 0x9e]),
    Ink([0xb0, 0x41, 0x0b]),
    Ink([0x1c, 0x75, 0x55]),
    Ink([0x8a, 0x2a, 0x7c]),
    Ink([0x6b, 0x5a, 0x00]),
    Ink([0x22, 0x22, 0x22]),
];

/// The ink of each yarn: its letter, its ink. `letters` are those the stitches name, in their order.
///
/// Inks told for a letter stand; the others keep away from them.
pub(super) fn yarn_inks(info: &ChartInfo, told: &[(String, Ink)], letters: &[String]) -> Vec<(String, Ink)> {
    let told = |letter: &str| told.iter().find(|(l, _)| l.eq_ignore_ascii_case(letter)).map(|&(_, ink)| ink);
    let mut inks: Vec<(String, Ink)> = Vec::new();
    for letter in letters {
        if let Some(ink) = told(letter) {
            inks.push((letter.clone(), ink));
            continue;
        }
        let kept = letters.iter().filter_map(|l| told(l));
        let used: Vec<Ink> = inks.iter().map(|&(_, ink)| ink).chain(kept).collect();
        let name = info.yarns.iter().find(|y| y.letter == *letter).map_or(letter.as_str(), |y| y.name.as_str());
        // two yarns of one colour word still have to be told apart
        let named = named_ink(name).filter(|ink| !used.contains(ink));
        let free = || PALETTE.iter().copied().find(|ink| !used.contains(ink));
        let ink = named.or_else(free).unwrap_or(PALETTE[inks.len() % PALETTE.len()]);
        inks.push((letter.clone(), ink));
    }
    inks
}

fn named_ink(name: &str) -> Option<Ink> {
    let name = name.to_lowercase();
    let mut words = name.split(|c: char| !c.is_alphabetic());
    // the last colour word is the noun: "rust red" is a red
    words.by_ref().filter_map(|word| BY_WORD.iter().find(|(known, _)| *known == word)).last().map(|&(_, rgb)| Ink(rgb))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: WCAG 2, 4.5 for text, 3 for graphics.
    #[test]
    fn inks_stand_out_on_white_paper() {
        for ink in [Ink::BLACK, Ink::BLUE, Ink::RUST, Ink::DOUBT_LINE].iter().chain(&PALETTE) {
            assert!(contrast_on_white(*ink) >= 4.5, "{ink}: {}", contrast_on_white(*ink));
        }
        for &(word, rgb) in BY_WORD {
            assert!(contrast_on_white(Ink(rgb)) >= 3.0, "{word}: {}", contrast_on_white(Ink(rgb)));
        }
    }

    #[test]
    fn a_grey_is_as_light_as_it_is_told() {
        for part in [0, 40, 128, 236, 255] {
            let grey = Ink([part; 3]);
            assert_eq!(Ink::grey(grey.lightness()), grey);
        }
    }

    #[test]
    fn a_yarn_is_printed_in_its_own_hue_and_no_two_alike() {
        let info =
            ChartInfo::titled("Pear").with_yarn("A", "leaf green").with_yarn("B", "green").with_yarn("C", "no. 12");
        let letters = ["A".into(), "B".into(), "C".into()];
        let inks = yarn_inks(&info, &[], &letters);
        assert_eq!(inks[0].1, named_ink("green").unwrap());
        assert!(inks[0].1 != inks[1].1 && inks[1].1 != inks[2].1);
    }

    #[test]
    fn a_colour_is_told_in_figures_or_in_words_and_can_be_seen() {
        assert_eq!(Ink::told("#C62828"), Some(Ink([0xc6, 0x28, 0x28])));
        assert_eq!(Ink::told("apple red"), named_ink("red"));
        assert_eq!(Ink::told("#c628"), None);
        assert_eq!(Ink::told("#ä2828"), None);
        assert_eq!(Ink::told("no. 12"), None);
        for pale in ["#ffffff", "#ffff00", "#f5c400"] {
            assert!(contrast_on_white(Ink::told(pale).unwrap()) >= LEAST_CONTRAST, "{pale}");
        }
        let info = ChartInfo::titled("Pear").with_yarn("A", "red").with_yarn("B", "red");
        let inks = yarn_inks(&info, &[("b".into(), Ink([0xc6, 0x28, 0x28]))], &["A".into(), "B".into()]);
        assert!(inks[1].1 == Ink([0xc6, 0x28, 0x28]) && inks[0].1 != inks[1].1);
    }
}
