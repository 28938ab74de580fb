use super::{Fabric, RowId, SpaceId, StitchId};
use serde::{Deserialize, Serialize};

/// A side branch: a chain worked out from a row, and stitches worked back along it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Strand {
    /// The stitch of the row (or of another branch) it grows out of.
    pub root: StitchId,
    /// The chain worked out, root first, the turning chain at its tip included.
    pub chain: Vec<StitchId>,
    /// The stitches with a head, in working order: from the tip back to the root.
    pub order: Vec<StitchId>,
}

/// One node of a row's line: a head, or the apex of a chain space.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LineNode {
    /// The head of a stitch; of a foundation, a chain.
    Stitch(StitchId),
    /// A chain space, all its chains in one.
    Space(SpaceId),
}

impl Fabric {
    /// The nodes of a row's line in working order: chains of one space are drawn together into one node.
    pub fn line(&self, row: RowId) -> Vec<LineNode> {
        self.nodes_of(&self.row(row).order)
    }

    /// The same for any run of ids, such as a branch.
    pub fn nodes_of(&self, order: &[StitchId]) -> Vec<LineNode> {
        let mut nodes: Vec<LineNode> = Vec::with_capacity(order.len());
        for &id in order {
            let node = match self.space_of(id) {
                Some(k) => LineNode::Space(k),
                None => LineNode::Stitch(id),
            };
            if nodes.last() != Some(&node) {
                nodes.push(node);
            }
        }
        nodes
    }
}
