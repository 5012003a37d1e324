//! The life of an order.

use std::fmt;

use serde::{Deserialize, Serialize};

/// Where an order stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// Asked for; not planned.
    Enquiry,
    /// A price was named; not planned.
    Quoted,
    /// Agreed; planned.
    Confirmed,
    /// Done.
    HandedOver,
    /// Not taken.
    Declined,
}

impl Stage {
    /// All five, in the order of an order's life.
    pub const ALL: [Self; 5] =
        [Self::Enquiry, Self::Quoted, Self::Confirmed, Self::HandedOver, Self::Declined];

    /// As it reads on screen, for example "handed over".
    pub fn words(self) -> &'static str {
        match self {
            Self::Enquiry => "enquiry",
            Self::Quoted => "quoted",
            Self::Confirmed => "confirmed",
            Self::HandedOver => "handed over",
            Self::Declined => "declined",
        }
    }

    /// The stages that may follow: the next one, one step back, or declined unless it is handed over.
    /// A declined order starts again as an enquiry.
    pub fn moves(self) -> &'static [Self] {
        match self {
            Self::Enquiry => &[Self::Quoted, Self::Declined],
            Self::Quoted => &[Self::Confirmed, Self::Enquiry, Self::Declined],
            Self::Confirmed => &[Self::HandedOver, Self::Quoted, Self::Declined],
            Self::HandedOver => &[Self::Confirmed],
            Self::Declined => &[Self::Enquiry],
        }
    }

    /// Whether `next` may follow.
    pub fn may_become(self, next: Self) -> bool {
        self.moves().contains(&next)
    }
}

impl fmt::Display for Stage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_legal_moves_are_these_and_no_others() {
        use Stage::{Confirmed, Declined, Enquiry, HandedOver, Quoted};
        let legal = [
            (Enquiry, Quoted),
            (Quoted, Confirmed),
            (Confirmed, HandedOver),
            (Quoted, Enquiry),
            (Confirmed, Quoted),
            (HandedOver, Confirmed),
            (Enquiry, Declined),
            (Quoted, Declined),
            (Confirmed, Declined),
            (Declined, Enquiry),
        ];
        for from in Stage::ALL {
            for to in Stage::ALL {
                assert_eq!(from.may_become(to), legal.contains(&(from, to)), "{from} → {to}");
            }
        }
    }
}
