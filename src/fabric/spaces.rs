use super::{Fabric, Place, Space, SpaceId, StitchId};

impl Fabric {
    /// The space that a chain belongs to, if it belongs to one.
    pub fn space_of(&self, chain: StitchId) -> Option<SpaceId> {
        // OK to search: spaces are made in yarn order, so their first ids ascend
        let at = self.spaces.partition_point(|s| s.ids.first().is_some_and(|&f| f <= chain));
        let k = at.checked_sub(1)?;
        self.spaces[k].ids.contains(&chain).then(|| SpaceId::new(k))
    }

    /// Brings spaces into yarn order: a chain that opens a row is known for a space only once it is worked into.
    pub(crate) fn order_spaces(&mut self) {
        if self.spaces.is_sorted_by_key(|s| s.ids.first().copied()) {
            return;
        }
        let mut order: Vec<usize> = (0..self.spaces.len()).collect();
        order.sort_by_key(|&k| self.spaces[k].ids.first().copied());
        let mut new = vec![SpaceId::new(0); order.len()];
        for (at, &k) in order.iter().enumerate() {
            new[k] = SpaceId::new(at);
        }
        let renumber = |place: &mut Place| {
            if let Place::Space { space } = place {
                *space = new[space.index()];
            }
        };
        for stitch in &mut self.stitches {
            stitch.legs.iter_mut().flat_map(|l| &mut l.into).for_each(renumber);
            stitch.into.iter_mut().chain(&mut stitch.covers).for_each(renumber);
        }
        self.edges.iter_mut().flat_map(|e| &mut e.places).for_each(renumber);
        let mut spaces: Vec<Option<Space>> = std::mem::take(&mut self.spaces).into_iter().map(Some).collect();
        self.spaces = order.into_iter().filter_map(|k| spaces[k].take()).collect();
    }
}
