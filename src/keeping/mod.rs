//! Keeping: how long a thing may rest where, for quality and for safety, with sources.
//!
//! A safety limit may be tightened, never loosened. Wherever these show, local rules and licensed
//! practice decide.

/// Said wherever a keeping time shows.
pub const CAUTION: &str = "Keeping times are guidance. Your local food rules and licensed practice \
decide, and may not allow some products from a home kitchen at all.";
