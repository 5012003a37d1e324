//! One good: its packages and prices, what was paid, and what is there.

use leptos::html::Dialog;
use leptos::prelude::*;
use rackweek::calendar::Date;
use rackweek::quote::{read_amount, written_amount};
use rackweek::supply::{Good, Pack, Stock, Supplies, good};

use super::Shop;
use crate::app::parts::{For, Input, Remove, capital, number, show_while};

/// The dialog over the page, for the good that is open.
#[component]
pub(super) fn GoodDialog(shop: Shop) -> impl IntoView {
    let dialog = NodeRef::<Dialog>::new();
    show_while(dialog, move || shop.open.get().is_some());
    let name = move || {
        let good = shop.open.get().and_then(good);
        good.map_or_else(String::new, |good| capital(&good.name))
    };
    view! {
        <dialog
            class="dialog"
            node_ref=dialog
            aria-label=name
            on:close=move |_| shop.open.set(None)
        >
            {move || {
                shop.open
                    .get()
                    .and_then(good)
                    .map(|good| view! { <GoodForm shop=shop good=good /> })
            }}
        </dialog>
    }
}

/// One field: how it is read from the supplies, and written into them.
#[derive(Clone, Copy)]
struct Edit {
    shop: Shop,
    good: &'static Good,
}

impl Edit {
    /// A field whose finished entry goes into the book at once, or is refused beside it.
    fn field(
        id: &'static str,
        label: String,
        unit: String,
        kind: &'static str,
        value: Signal<String>,
        write: Callback<String, Result<(), String>>,
    ) -> AnyView {
        let error = RwSignal::new(None);
        view! {
            <Input
                id=id
                label=label
                unit=unit
                kind=kind
                keyboard=if kind == "date" { "" } else { "decimal" }
                value=value
                on_change=move |text: String| error.set(write.run(text).err())
                error=error
                longest=12
            />
        }
        .into_any()
    }

    /// Thousandths typed in the good's own unit; empty is nothing.
    fn milli(self, text: &str) -> Result<u64, String> {
        let one = self.good.unit().1;
        if text.trim().is_empty() {
            return Ok(0);
        }
        let scale = i64::try_from(one).unwrap_or(1000);
        let read = number::read(text, scale).and_then(|milli| u64::try_from(milli).ok());
        read.ok_or_else(|| format!("“{text}” is not an amount; write for example 500"))
    }

    fn written(self, milli: u64) -> String {
        let one = self.good.unit().1;
        match milli {
            0 => String::new(),
            _ => number::written(
                i64::try_from(milli).unwrap_or(i64::MAX),
                i64::try_from(one).unwrap_or(1000),
            ),
        }
    }

    fn price(self, text: &str) -> Result<Option<i64>, String> {
        if text.trim().is_empty() {
            return Ok(None);
        }
        let digits = self.shop.rates.read_untracked().digits;
        let say = || {
            let example = written_amount(249, digits);
            format!("“{text}” is not a price; write for example {example}")
        };
        read_amount(text, digits).map(Some).ok_or_else(say)
    }

    fn stock(self, write: impl FnOnce(&mut Stock)) -> Result<(), String> {
        let now = self.shop.now.get_untracked();
        let uses = self.shop.uses.get_untracked();
        self.shop.change(|supplies| {
            let id = &self.good.id;
            let milli = supplies.present(id, &uses);
            let fresh = Stock { milli, counted: now, opened: None, use_by: None, low: 0 };
            write(supplies.larder.entry(id.clone()).or_insert(fresh));
        })
    }

    fn of_stock(self, read: fn(&Stock) -> Option<Date>) -> Signal<String> {
        let shop = self.shop;
        Signal::derive(move || {
            let supplies = shop.supplies.read();
            let date = supplies.larder.get(&self.good.id).and_then(read);
            date.map_or_else(String::new, |date| date.to_string())
        })
    }

    fn date(self, write: fn(&mut Stock, Option<Date>)) -> Callback<String, Result<(), String>> {
        Callback::new(move |text: String| {
            let date = match text.trim() {
                "" => None,
                text => Some(text.parse::<Date>().map_err(|error| error.to_string())?),
            };
            self.stock(|stock| write(stock, date))
        })
    }
}

#[component]
fn GoodForm(shop: Shop, good: &'static Good) -> impl IntoView {
    let edit = Edit { shop, good };
    let (unit, one) = good.unit();
    let per = u32::try_from(one / 1000).unwrap_or(1);
    let packs = Memo::new(move |_| shop.supplies.read().packs_of(&good.id));
    let count = Memo::new(move |_| packs.read().len());
    let set_packs = move |write: &dyn Fn(&mut Vec<Pack>)| {
        shop.change(|supplies: &mut Supplies| {
            let mut packs = supplies.packs_of(&good.id);
            write(&mut packs);
            supplies.packs.insert(good.id.clone(), packs);
        })
    };
    let there = Signal::derive(move || {
        let supplies = shop.supplies.read();
        match supplies.larder.get(&good.id) {
            Some(_) => match edit.written(supplies.present(&good.id, &shop.uses.read())) {
                none if none.is_empty() => "0".to_owned(),
                some => some,
            },
            None => String::new(),
        }
    });
    let low = Signal::derive(move || {
        let supplies = shop.supplies.read();
        supplies.larder.get(&good.id).map_or_else(String::new, |stock| edit.written(stock.low))
    });
    let bought = Memo::new(move |_| shop.supplies.read().bought.contains_key(&good.id));
    let paid = Signal::derive(move || {
        let supplies = shop.supplies.read();
        let paid = supplies.bought.get(&good.id).and_then(|bought| bought.paid);
        paid.map_or_else(String::new, |paid| written_amount(paid, shop.rates.read().digits))
    });
    let currency = move || shop.rates.read_untracked().currency.clone();
    let row = move |index: usize| {
        let size = Signal::derive(move || {
            packs.read().get(index).map_or_else(String::new, |pack| (pack.size / per).to_string())
        });
        let price = Signal::derive(move || {
            let price = packs.read().get(index).and_then(|pack| pack.price);
            price.map_or_else(String::new, |price| written_amount(price, shop.rates.read().digits))
        });
        let set_size = Callback::new(move |text: String| {
            let size = number::read(&text, 1).and_then(|size| u32::try_from(size).ok());
            let Some(size) = size else {
                return Err(format!("“{text}” is no whole number; write for example 1000"));
            };
            set_packs(&|packs| {
                if let Some(pack) = packs.get_mut(index) {
                    pack.size = size.saturating_mul(per);
                }
            })
        });
        let set_price = Callback::new(move |text: String| {
            let price = edit.price(&text)?;
            set_packs(&|packs| {
                if let Some(pack) = packs.get_mut(index) {
                    pack.price = price;
                }
            })
        });
        let (id_size, id_price) = [
            ("good-size-0", "good-price-0"),
            ("good-size-1", "good-price-1"),
            ("good-size-2", "good-price-2"),
        ]
        .get(index)
        .copied()
        .unwrap_or(("good-size-more", "good-price-more"));
        let remove = move |_| {
            let later = move || {
                let done = set_packs(&|packs| {
                    if index < packs.len() {
                        packs.remove(index);
                    }
                });
                if let Err(why) = done {
                    shop.say(why, false);
                }
            };
            set_timeout(later, std::time::Duration::ZERO);
        };
        view! {
            <div class="shopping-pack">
                {Edit::field(id_size, "Package of".to_owned(), unit.to_owned(), "text", size, set_size)}
                {Edit::field(id_price, "Costs".to_owned(), currency(), "text", price, set_price)}
                <Remove what=Signal::stored("this package".to_owned()) on_remove=remove />
            </div>
        }
    };
    let more = move |_| {
        let done = set_packs(&|packs| {
            let size = packs.last().map_or(per * 100, |pack| pack.size.saturating_mul(2));
            packs.push(Pack { size: size.min(rackweek::supply::SIZE_MAX), price: None });
        });
        if let Err(why) = done {
            shop.say(why, false);
        }
    };
    let set_there = Callback::new(move |text: String| {
        let milli = edit.milli(&text)?;
        let now = shop.now.get_untracked();
        if text.trim().is_empty() {
            return shop.change(|supplies| {
                supplies.larder.remove(&good.id);
            });
        }
        edit.stock(|stock| (stock.milli, stock.counted) = (milli, now))
    });
    let set_low = Callback::new(move |text: String| {
        let milli = edit.milli(&text)?;
        edit.stock(|stock| stock.low = milli)
    });
    let set_paid = Callback::new(move |text: String| {
        let price = edit.price(&text)?;
        shop.change(|supplies| {
            if let Some(bought) = supplies.bought.get_mut(&good.id) {
                bought.paid = price;
            }
        })
    });
    view! {
        <div class="stack">
            <div class="week-dialog-head">
                <h2>{capital(&good.name)}</h2>
                <button type="button" class="button" on:click=move |_| shop.open.set(None)>
                    "Close"
                </button>
            </div>
            {good
                .keeps_days()
                .map(|(days, source)| {
                    view! {
                        <p class="soft small">{format!("Keeps {days} days as it is bought ({source}). {}", rackweek::keeping::CAUTION)}</p>
                    }
                })}
            <h3>"Packages that you buy"</h3>
            <For each=move || 0..count.get() key=|index| *index children=row />
            {move || {
                (count.get() < 3)
                    .then(|| {
                        view! {
                            <div>
                                <button type="button" class="button" on:click=more>
                                    "Another package"
                                </button>
                            </div>
                        }
                    })
            }}
            {move || {
                bought
                    .get()
                    .then(|| {
                        Edit::field("good-paid", "Paid".to_owned(), currency(), "text", paid, set_paid)
                    })
            }}
            <h3>"In the larder"</h3>
            <div class="grid-2">
                {Edit::field(
                        "good-there",
                        "There now".to_owned(),
                        unit.to_owned(),
                        "text",
                        there,
                        set_there,
                    )}
                {Edit::field("good-low", "Low below".to_owned(), unit.to_owned(), "text", low, set_low)}
                {Edit::field(
                        "good-opened",
                        "Opened on".to_owned(),
                        String::new(),
                        "date",
                        edit.of_stock(|stock| stock.opened),
                        edit.date(|stock, date| stock.opened = date),
                    )}
                {Edit::field(
                        "good-use-by",
                        "Use by".to_owned(),
                        String::new(),
                        "date",
                        edit.of_stock(|stock| stock.use_by),
                        edit.date(|stock, date| stock.use_by = date),
                    )}
            </div>
        </div>
    }
}
