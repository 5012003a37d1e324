//! The quote: what an order costs, what is asked for it, and what an hour of work earns.
//!
//! In: amounts of goods already priced, minutes of work, the baker's rates and her price list. Out: costs line by line,
//! prices side by side with the earnings of an hour, dues, cheaper forms of an order, and the letter to the client.
//! Money is whole minor units of any currency; where it is rounded is said in `money`. Knows no screen, no
//! currency signs, no plans: whether a cheaper form can be made in time is the fit check's to say.
//!
//! | file | says |
//! |---|---|
//! | `money` | rounding, shares, margin and markup, tax, deposit |
//! | `costs` | what the baker counts with, and what an order costs |
//! | `prices` | her price list |
//! | `pricing` | what of it is kept in the book |
//! | `offer` | prices side by side, dues, what meets a budget |
//! | `words` | quote and confirmation as text |

mod costs;
mod money;
mod offer;
mod prices;
mod pricing;
mod words;

pub use costs::{AMOUNT_MAX, Costs, Effort, Goods, Rates};
pub use money::{
    Minor, Rounding, WHOLE, deposit, edible, margin_of_markup, read_amount, share, tax, times,
    with_margin, written_amount,
};
pub use offer::{Basis, Cheaper, Dues, Way, by_list, compare, within_budget};
pub use prices::{Asked, Price, Surcharge};
pub use pricing::Pricing;
pub use words::{Letter, Writing, ready_words};
