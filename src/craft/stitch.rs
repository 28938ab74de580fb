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
