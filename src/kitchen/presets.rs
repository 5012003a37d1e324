//! Kitchens to start from; every number is then measured and edited.

use super::Kitchen;

/// A kitchen to start from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Preset {
    /// Stable name.
    pub id: &'static str,
    /// What it is, in a few words.
    pub name: &'static str,
    /// The kitchen.
    pub kitchen: Kitchen,
}

/// All presets, the commonest first.
pub fn presets() -> Vec<Preset> {
    Vec::new()
}
