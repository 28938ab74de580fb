use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

/// What one leg of a stitch is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stem {
    /// A chain, or `n` chains standing for a leg.
    Chain(u8),
    /// Slip stitch.
    SlipStitch,
    /// Single crochet (UK double crochet).
    Single,
    /// Half double crochet (UK half treble).
    HalfDouble,
    /// Double crochet and taller, by the times the yarn is wrapped before the hook goes in: 1 is dc, 2 tr, 3 dtr, 4 trtr.
    Tall(u8),
}

impl Stem {
    /// Double crochet.
    pub const DC: Stem = Stem::Tall(1);
    /// Treble.
    pub const TR: Stem = Stem::Tall(2);
    /// Double treble.
    pub const DTR: Stem = Stem::Tall(3);

    /// Strokes across the drawn stem: one per wrap, none below dc.
    pub const fn strokes(self) -> u8 {
        match self {
            Stem::Tall(wraps) => wraps,
            _ => 0,
        }
    }

    /// True for a chain or a chain leg.
    pub const fn is_chain(self) -> bool {
        matches!(self, Stem::Chain(_))
    }
}

impl fmt::Display for Stem {
    /// The US abbreviation; beyond `trtr` the number of wraps, as `5-wrap`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stem::Chain(1) => f.write_str("ch"),
            Stem::Chain(n) => write!(f, "ch{n}"),
            Stem::SlipStitch => f.write_str("sl st"),
            Stem::Single => f.write_str("sc"),
            Stem::HalfDouble => f.write_str("hdc"),
            Stem::Tall(1) => f.write_str("dc"),
            Stem::Tall(2) => f.write_str("tr"),
            Stem::Tall(3) => f.write_str("dtr"),
            Stem::Tall(4) => f.write_str("trtr"),
            Stem::Tall(n) => write!(f, "{n}-wrap"),
        }
    }
}

impl std::str::FromStr for Stem {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let unknown = || format!("\"{text}\" is no stem");
        Ok(match text {
            "ch" => Stem::Chain(1),
            "sl st" => Stem::SlipStitch,
            "sc" => Stem::Single,
            "hdc" => Stem::HalfDouble,
            "dc" => Stem::Tall(1),
            "tr" => Stem::Tall(2),
            "dtr" => Stem::Tall(3),
            "trtr" => Stem::Tall(4),
            _ => match (text.strip_prefix("ch"), text.strip_suffix("-wrap")) {
                (Some(n), _) => Stem::Chain(n.parse().map_err(|_| unknown())?),
                (_, Some(n)) => Stem::Tall(n.parse().map_err(|_| unknown())?),
                _ => return Err(unknown()),
            },
        })
    }
}

impl Serialize for Stem {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Stem {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}
