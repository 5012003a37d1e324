//! Free windows: what is left of the horizon when all that is fixed is taken out.

use super::Span;

/// The horizon seen as time to work, time at home, and time that is taken.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Windows {
    /// When the baker can work: sorted, disjoint, never touching midnight needlessly.
    pub free: Vec<Span>,
    /// When somebody is awake at home and may watch an oven: sorted, disjoint, contains `free`.
    pub home: Vec<Span>,
    /// Everything else, with its reason: sorted, disjoint, complements `free`.
    pub busy: Vec<BusySpan>,
}

/// A span that is not free.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BusySpan {
    /// When.
    pub span: Span,
    /// Why.
    pub kind: BusyKind,
    /// In the baker's words, for example "day job".
    pub label: String,
}

/// Why a span is not free.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BusyKind {
    /// Day job and the way there and back.
    DayJob,
    /// Sleep.
    Sleep,
    /// Family time.
    Family,
    /// A one-off commitment.
    Exception,
    /// On the road with a delivery.
    Delivery,
    /// Just up or just home, not yet at work.
    Settling,
}
