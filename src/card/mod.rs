//! Method cards: how one product is made, as data.
//!
//! In: card files (JSON), the built-in ones among them. Out: [`Card`]s that hold together, so that
//! everything behind this room may trust them, or a [`CardError`] that names the place in the file.
//! Knows nothing of orders, kitchens as measured, or dates.
//!
//! # The file
//!
//! A card is one object that a baker can read. Ids are lower-case words with hyphens. Hand times are
//! **seconds**, all other times **minutes**, lengths **mm**.
//!
//! ```json
//! { "id": "butter-biscuits", "version": 1, "name": "Butter biscuits",
//!   "piece": "biscuit", "pieces": "biscuits", "about": "Plain round biscuits",
//!   "options": [ { "id": "size", "label": "Size across, mm", "default": 60,
//!                  "kind": { "is": "length", "min": 30, "max": 120 } } ],
//!   "counts":  [ { "id": "dough-grams", "rule": "divide", "of": ["pieces", "size", "size"], "per": 300 } ],
//!   "things":  [ { "id": "trays", "what": "tray of biscuits", "is": "trays", "of": "pieces", "across": "size",
//!                  "gap": 15, "height": 30 },
//!                { "id": "tins", "what": "tin of biscuits", "is": "tins", "of": "pieces", "across": "size",
//!                  "thick": 12, "layers": 8 } ],
//!   "steps":   [ { "id": "shape", "name": "Mix and shape the dough", "kind": "plain",
//!                  "detail": "{amount} on {trays|tray|trays}",
//!                  "setup": 600, "work": [ { "each": 600 }, { "each": 30, "per": ["pieces"] } ],
//!                  "cleanup": 600, "needs": [ { "use": "mixer" } ] },
//!                { "id": "bake", "name": "Bake", "kind": "oven", "work": [ { "each": 720 } ],
//!                  "needs": [ { "use": "oven", "trays": "trays" } ] },
//!                { "id": "pack", "name": "Pack", "kind": "plain", "setup": 600,
//!                  "work": [ { "each": 20, "per": ["pieces"] } ], "cleanup": 300 } ],
//!   "rests":   [ { "id": "shaped", "from": "shape", "to": "bake", "what": "shaped biscuits",
//!                  "modes": [ { "name": "on the trays", "greatest": 30, "stay": { "place": "rack",
//!                    "footprint": { "as": "thing", "thing": "trays" } } } ] },
//!                { "id": "cool", "from": "bake", "to": "pack", "what": "baked biscuits",
//!                  "modes": [ { "name": "cool on the trays", "least": [ { "each": 60 } ] } ] } ],
//!   "keeps":   [ { "name": "in tins", "greatest": 14400, "source": "…", "stay": { "place": "room-shelf",
//!                  "footprint": { "as": "thing", "thing": "tins" } } } ],
//!   "ingredients": [ { "of": "flour", "step": "shape", "amount": [ { "each": 1, "per": ["dough-grams"] } ],
//!                      "over": 2 } ],
//!   "packaging":   [ { "of": "tin", "step": "pack", "amount": [ { "each": 1, "per": ["tins"] } ] } ] }
//! ```
//!
//! * `options`: what the order form asks. [`FIRST_TIME`] doubles hands-on time. One with `rule` is a rule of the
//!   trade, on unless it is switched off.
//! * `spares`: extra pieces that a batch has by default, per cent.
//! * `counts`: numbers that follow from `pieces`, `ordered`, `spares`, the options and counts before.
//! * `things`: what stands somewhere while it rests, by kind ([`Shape`]): a `board-cake` or `boxed-cake`,
//!   something `wrapped`, `trays` of round pieces, pieces `boxed` or in `tins`, grams in `tubs` or `bags`.
//!   Its size follows from the item's size and the kitchen's list of containers
//!   ([`crate::kitchen::boxes`]), unless she measured it herself; its number is a count by its id.
//!   A footprint names a thing, or gives plain `boxes` with their millimetres where geometry decides
//!   nothing, or `trays` as many as a count says.
//! * `components`: other cards' products, made in one batch and used by one or more steps.
//! * `steps`: the work, in the order in which it is read. The last one finishes the product and always
//!   happens. An oven step's `work` is one load; it is repeated until all trays are through.
//! * `rests`: the waits, from one step to a later one, with one or more `modes`; the first that applies
//!   is the usual one, `cost` says how unwelcome the others are. A mode's `heat` adds what cooling takes by
//!   size ([`Heat`]): `"heat": { "stuff": "crumb", "form": { "is": "round", "across": { "mm": 0, "plus":
//!   "size" }, "tall": { "mm": 45 } }, "air": "rack", "from": 96, "within": 8 }`; a tail's stands for its
//!   minutes. A step left out by its `when` joins the rests on both sides: the one with the longer least time
//!   holds for both. Starting temperatures, heights of layers and how near is near enough are common practice,
//!   no published source; 96 °C is what baked goods have as they leave the oven, by trade notes.
//! * `keeps`: like a rest's modes, from the last step to the handover, or to the use of a component.
//! * `limits`: keeping limits that run across several steps.
//! * `ingredients`, `packaging`: what a step uses up, by ids of [`crate::supply`]'s catalogue: the sum of the terms
//!   of `amount`, divided by `over`, in grams or pieces; `waste` per cent is bought on top.
//! * `cautions`: for the baker, wherever keeping shows. `client`: what goes with the quote and the confirmation.
//! * a step's `cut_max`: its longest sitting whatever the evenings allow, so that fine work is spread over days.

mod builtin;
mod differences;
mod edit;
mod file;
mod find;
pub mod form;
mod heat;
mod model;
mod reach;
mod supplies;
mod things;
mod tighten;
mod validate;
mod words;

pub use builtin::builtin;
pub use differences::differences;
pub use edit::fresh_id;
pub use file::FILE_BYTES_MAX;
pub use find::find_card;
pub use heat::{Form, Heat};
pub use model::*;
pub use supplies::CardSupply;
pub use things::{Shape, Thing};
pub use validate::{CardError, check_components};
pub use words::{AMOUNT_ORIGIN, HAND_ORIGIN, HEAT_ORIGIN, SIZE_ORIGIN, WAIT_ORIGIN};
