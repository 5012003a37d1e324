//! Small signs that stand beside words, drawn here so that no font decides how they look.

use leptos::prelude::*;

/// What a sign stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    Pin,
    Done,
    Fine,
    Oven,
    Warn,
    Late,
    Old,
    Hands,
    Handover,
    Earlier,
    Later,
    Little,
    Much,
    None,
}

impl Sign {
    fn path(self) -> &'static str {
        match self {
            Self::Pin => "M8 2v5M4.5 9.5h7L10 7V3H6v4zM8 9.5V14",
            Self::Done => "M3 8.5l3.5 3.5L13 4.5",
            Self::Fine => "M3 13l1-4 7-7 3 3-7 7zM9 4l3 3",
            Self::Oven => "M2.5 2.5h11v11h-11zM2.5 6h11M5 9h6v2.5H5zM5 4.2h.1M8 4.2h.1",
            Self::Warn => "M8 2L1.5 13.5h13zM8 6.5v3.5M8 11.8v.2",
            Self::Late => "M8 2.5a5.5 5.5 0 1 0 0 11a5.5 5.5 0 1 0 0-11M8 5v3.2l2.2 1.4",
            Self::Old => "M4 2.5h8M4 13.5h8M5 2.5c0 4 6 7 6 11M11 2.5c0 4-6 7-6 11",
            Self::Hands => {
                "M5.5 7a2 2 0 1 0 0-4a2 2 0 1 0 0 4M2 13c0-5 7-5 7 0M11 8.5a1.75 1.75 0 1 0 0-3.5M10.5 9.5c2.5 0 3.5 1.5 3.5 3.5"
            }
            Self::Handover => "M4 14.5V2M4 2.5h8.5L10 5.5l2.5 3H4",
            Self::Earlier => "M10 3L5 8l5 5",
            Self::Later => "M6 3l5 5-5 5",
            Self::Little => "M3 10l5-4 5 4",
            Self::Much => "M3 12l5-4 5 4M3 7l5-4 5 4",
            Self::None => "M4 4l8 8M12 4l-8 8",
        }
    }
}

/// A sign; decorative, the words are elsewhere.
#[component]
pub(super) fn SignView(
    /// Which.
    sign: Sign,
) -> impl IntoView {
    view! {
        <svg class="week-sign" viewBox="0 0 16 16" aria-hidden="true" focusable="false">
            <path d=sign.path()></path>
        </svg>
    }
}
