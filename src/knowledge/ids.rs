//! Numbers by which crops and pathogens are known within one [`super::Knowledge`].

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub(super) u16);

        impl $name {
            /// Place in the table, from 0.
            #[must_use]
            pub fn index(self) -> usize {
                usize::from(self.0)
            }
        }
    )*};
}

ids! {
    /// A row of the crops table: a crop, cover, weed or any other plant that may stand in a bed.
    CropId;
    /// A row of the pathogens table: a disease, nematode or soil pest, or a group of them.
    PathogenId;
}
