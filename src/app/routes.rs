//! Which page is shown, and its name in the address (`?page=orders`).
//!
//! The query is used because the fragment after `#` is kept for a shared week. Works under any path.

/// The pages of the app.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Page {
    /// The grid of days.
    Week,
    /// The order book.
    Orders,
    /// Shelves, racks, counter, oven, mixer.
    Kitchen,
    /// Day job, sleep, family, exceptions.
    Time,
    /// Backup, restore, where the data is.
    Safe,
}

impl Page {
    /// In the order of the navigation.
    pub(crate) const ALL: [Self; 5] =
        [Self::Week, Self::Orders, Self::Kitchen, Self::Time, Self::Safe];

    /// Its name in the address.
    pub(crate) fn slug(self) -> &'static str {
        match self {
            Self::Week => "week",
            Self::Orders => "orders",
            Self::Kitchen => "kitchen",
            Self::Time => "time",
            Self::Safe => "safe",
        }
    }

    /// Its name on screen.
    pub(crate) fn title(self) -> &'static str {
        match self {
            Self::Week => "Week",
            Self::Orders => "Order book",
            Self::Kitchen => "Kitchen",
            Self::Time => "My time",
            Self::Safe => "Keep safe",
        }
    }
}
