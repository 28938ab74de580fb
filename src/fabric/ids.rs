use serde::{Deserialize, Serialize};

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(u32);

        impl $name {
            /// The id of an index.
            ///
            /// # Panics
            /// Past 2³² − 1, which the limits on a pattern keep far away.
            pub fn new(index: usize) -> Self {
                Self(u32::try_from(index).expect("fewer than 2^32 of anything"))
            }

            /// The index of the id.
            pub const fn index(self) -> usize {
                self.0 as usize
            }
        }
    };
}

id!(
    /// A stitch, by yarn order from 0 within the fabric.
    StitchId
);
id!(
    /// A row, round or foundation, from 0 within the fabric.
    RowId
);
id!(
    /// A chain space.
    SpaceId
);
id!(
    /// A ring.
    RingId
);
id!(
    /// A part of the pattern.
    PartId
);
