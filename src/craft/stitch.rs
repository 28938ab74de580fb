use super::Stem;
use serde::{Deserialize, Serialize};
use std::fmt;

/// How the legs of a stitch meet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Meet {
    /// At the head: a plain stitch, n together, a cluster.
    #[default]
    Head,
    /// At the foot only.
    Foot,
    /// At head and foot: bobble, puff.
    Both,
    /// Whole stitches drawn together at the head: popcorn.
    Closed,
}

/// Which loops of a top a stitch is worked through.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LoopPart {
    /// Both loops.
    #[default]
    Both,
    /// The front loop only, as worked.
    Front,
    /// The back loop only, as worked.
    Back,
    /// The third loop, behind the two of the top.
    Third,
}

/// From which side the hook goes round a post, as worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PostSide {
    /// From the front.
    Front,
    /// From the back.
    Back,
}

/// What is done to a stitch beyond its legs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(default)]
pub struct Extra {
    /// Worked round a post.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub post: Option<PostSide>,
    /// Worked backwards along the row.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub reverse: bool,
    /// Crosses its neighbour.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub crossed: bool,
    /// One more chain drawn before the last pull-through.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub extended: bool,
    /// The loop worked through.
    #[serde(rename = "loop", skip_serializing_if = "is_both")]
    pub part: LoopPart,
}

fn is_both(part: &LoopPart) -> bool {
    *part == LoopPart::Both
}

/// The make of a stitch before it has a place: its stem, its legs, how they meet.
///
/// `sc2tog` is two `sc` legs meeting at the head over two places; a three-dc cluster is three
/// `dc` legs meeting at head and foot in one place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StitchForm {
    /// The stem of every leg.
    pub stem: Stem,
    /// Number of legs, at least 1.
    pub legs: u8,
    /// How the legs meet.
    pub meet: Meet,
    /// True where the legs stand in one place, false where each has a place of its own.
    pub one_place: bool,
    /// Modifiers.
    pub extra: Extra,
}

impl StitchForm {
    /// One leg, no modifiers.
    pub const fn plain(stem: Stem) -> Self {
        Self {
            stem,
            legs: 1,
            meet: Meet::Head,
            one_place: true,
            extra: Extra { post: None, reverse: false, crossed: false, extended: false, part: LoopPart::Both },
        }
    }

    /// `legs` legs over as many places, one head.
    pub const fn together(stem: Stem, legs: u8) -> Self {
        let mut form = Self::plain(stem);
        form.legs = legs;
        form.one_place = false;
        form
    }

    /// `legs` legs in one place, meeting as told.
    pub const fn cluster(stem: Stem, legs: u8, meet: Meet) -> Self {
        let mut form = Self::plain(stem);
        form.legs = legs;
        form.meet = meet;
        form
    }

    /// Places one such stitch takes.
    pub const fn places(self) -> usize {
        if self.one_place { 1 } else { self.legs as usize }
    }
}

impl fmt::Display for StitchForm {
    /// The name for people: `[fp|bp|rev|x|e]STEM[Ntog|Ncl|Npuff|Npc]`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.extra.post {
            Some(PostSide::Front) => f.write_str("fp")?,
            Some(PostSide::Back) => f.write_str("bp")?,
            None => {}
        }
        if self.extra.reverse {
            f.write_str("rev")?;
        }
        if self.extra.crossed {
            f.write_str("x")?;
        }
        if self.extra.extended {
            f.write_str("e")?;
        }
        write!(f, "{}", self.stem)?;
        let n = self.legs;
        match (self.meet, n, self.one_place) {
            (_, 1, _) => Ok(()),
            (Meet::Head | Meet::Foot, _, false) => write!(f, "{n}tog"),
            (Meet::Closed, ..) => write!(f, "{n}pc"),
            (Meet::Both, ..) if self.stem == Stem::HalfDouble => write!(f, "{n}puff"),
            _ => write!(f, "{n}cl"),
        }
    }
}

impl std::str::FromStr for StitchForm {
    type Err = String;

    /// Reads the name for people back; the loop worked through is not in it.
    fn from_str(text: &str) -> Result<Self, String> {
        let mut rest = text;
        let mut extra = Extra::default();
        for (prefix, post) in [("fp", PostSide::Front), ("bp", PostSide::Back)] {
            if let Some(after) = rest.strip_prefix(prefix) {
                (rest, extra.post) = (after, Some(post));
                break;
            }
        }
        for (prefix, flag) in [("rev", &mut extra.reverse), ("x", &mut extra.crossed), ("e", &mut extra.extended)] {
            if let Some(after) = rest.strip_prefix(prefix) {
                (rest, *flag) = (after, true);
            }
        }
        let made = |stem: &str, legs: &str, meet: Meet, one_place: bool| {
            let legs = legs.parse().ok().filter(|&n: &u8| n > 1)?;
            Some(StitchForm { stem: stem.parse().ok()?, legs, meet, one_place, extra })
        };
        for (ending, meet, one_place) in [
            ("tog", Meet::Head, false),
            ("pc", Meet::Closed, true),
            ("puff", Meet::Both, true),
            ("cl", Meet::Head, true),
        ] {
            let Some(before) = rest.strip_suffix(ending) else { continue };
            let stem = before.trim_end_matches(|c: char| c.is_ascii_digit());
            if let Some(form) = made(stem, &before[stem.len()..], meet, one_place) {
                return Ok(form);
            }
        }
        Ok(StitchForm { extra, ..StitchForm::plain(rest.parse()?) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_reads_back() {
        for name in
            ["sc", "sl st", "fpdc", "bptr", "revsc", "xdc", "esc", "sc2tog", "dc3cl", "hdc5puff", "dc5pc", "fpdc2tog"]
        {
            assert_eq!(name.parse::<StitchForm>().map(|f| f.to_string()).as_deref(), Ok(name));
        }
        assert!("dctog".parse::<StitchForm>().is_err() && "shell".parse::<StitchForm>().is_err());
    }
}
