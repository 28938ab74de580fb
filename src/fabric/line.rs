use super::{Fabric, Row, RowId, RowShape, SpaceId, StitchId};
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

    /// True where a branch is the chain that widens a row at its start: the row goes on into the stitch the chain runs on
    /// from, and the next row, if there is one, goes back over it; or the row is worked on it alone, and the next on that.
    pub fn widens(&self, row: &Row, strand: &Strand) -> bool {
        let begins = self.stitch(strand.root).row != row.index && row.strands.first() == Some(strand);
        let onto = |id: StitchId, of: StitchId| self.stitch(id).into.iter().any(|p| p.stitch() == Some(of));
        let worked = |row: &Row| row.order.iter().copied().find(|&id| !self.stitch(id).is_chain());
        let next = self.rows.get(row.index.index() + 1).filter(|n| n.part == row.part);
        let goes_back = || next.is_none_or(|n| n.order.iter().any(|&id| strand.order.iter().any(|&of| onto(id, of))));
        begins
            && row.shape == RowShape::Row
            && match worked(row) {
                Some(first) => onto(first, strand.root) && goes_back(),
                None => strand.order.last().is_some_and(|&last| next.and_then(worked).is_some_and(|n| onto(n, last))),
            }
    }
}
