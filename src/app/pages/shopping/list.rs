//! The list: what to buy by groups, ticked off, and what it comes to.

use leptos::prelude::*;
use rackweek::calendar::Wall;
use rackweek::supply::{Bought, Group, Line, amount, left_over, packs_in_words, price};

use super::Shop;
use crate::app::intl;
use crate::app::parts::{For, Icon, capital};

/// What the list comes to, and the way into the larder.
#[component]
pub(super) fn Bill(shop: Shop) -> impl IntoView {
    let words = move || {
        let list = shop.list.read();
        let mut parts = Vec::new();
        if list.planned > 0 {
            parts.push(format!("still to buy: {}", shop.money(list.planned)));
        }
        match list.unpriced {
            0 => {}
            1 => parts.push("1 thing has no price yet".to_owned()),
            many => parts.push(format!("{many} things have no price yet")),
        }
        if list.lines().any(|line| line.bought.is_some()) {
            parts.push(format!("paid: {}", shop.money(list.spent)));
        }
        capital(&parts.join(" · "))
    };
    let any = Memo::new(move |_| !shop.supplies.read().bought.is_empty());
    let put_away = move |_| {
        let (now, uses) = (shop.now.get_untracked(), shop.uses.get_untracked());
        // The button goes with what is ticked.
        let later = move || match shop.change(|supplies| supplies.put_away(now, &uses)) {
            Ok(()) => shop.say("Put into the larder", true),
            Err(why) => shop.say(why, false),
        };
        set_timeout(later, std::time::Duration::ZERO);
    };
    view! {
        <div class="row apart">
            <p class="number" data-bill="">{words}</p>
            {move || {
                any.get()
                    .then(|| {
                        view! {
                            <button type="button" class="button" on:click=put_away>
                                <Icon name="check" />
                                "Put away what is ticked"
                            </button>
                        }
                    })
            }}
        </div>
    }
}

/// All groups.
#[component]
pub(super) fn ListView(shop: Shop) -> impl IntoView {
    let groups = Memo::new(move |_| {
        shop.list.read().shelves.iter().map(|shelf| shelf.group).collect::<Vec<_>>()
    });
    let empty = Memo::new(move |_| groups.read().is_empty());
    view! {
        {move || {
            empty
                .get()
                .then(|| {
                    view! {
                        <p class="card">
                            "Nothing is lacking. What the steps of your planned orders use up, and is not in the larder, is listed here."
                        </p>
                    }
                })
        }}
        <For each=move || groups.get() key=|group| *group let:group>
            <GroupView shop=shop group=group />
        </For>
    }
}

#[component]
fn GroupView(shop: Shop, group: Group) -> impl IntoView {
    let goods = Memo::new(move |_| {
        let list = shop.list.read();
        let own = list.shelves.iter().find(|shelf| shelf.group == group);
        own.map_or_else(Vec::new, |shelf| {
            shelf.lines.iter().map(|line| line.good.id.as_str()).collect::<Vec<&'static str>>()
        })
    });
    view! {
        <section class="card" aria-label=group.name()>
            <h2>{group.name()}</h2>
            <ul class="shopping-list">
                <For each=move || goods.get() key=|id| *id let:id>
                    <Row shop=shop id=id />
                </For>
            </ul>
        </section>
    }
}

/// One line: a tick, what to buy, and the way to its packages.
#[component]
fn Row(shop: Shop, id: &'static str) -> impl IntoView {
    let line =
        Memo::new(move |_| shop.list.read().lines().find(|line| line.good.id == id).cloned());
    let name = rackweek::supply::good(id).map_or_else(String::new, |good| capital(&good.name));
    let ticked = Memo::new(move |_| {
        line.read().as_ref().is_some_and(|line| line.bought.is_some() && line.buy.is_empty())
    });
    let tick = move |on: bool| {
        let Some(line) = line.get_untracked() else { return };
        shop.change_or_say(|supplies| {
            if !on {
                supplies.bought.remove(id);
                return;
            }
            let before = supplies.bought.get(id).copied();
            let packs = left_over(0, &line.buy);
            let milli = if line.buy.is_empty() { line.lacking } else { packs };
            let paid = price(&line.buy).map(|now| now + before.and_then(|b| b.paid).unwrap_or(0));
            let milli = milli + before.map_or(0, |before| before.milli);
            supplies.bought.insert(id.to_owned(), Bought { milli, paid });
        });
    };
    let words = move || line.read().as_ref().map_or_else(Vec::new, |line| clauses(shop, line));
    let buy = move || line.read().as_ref().map_or_else(String::new, |line| what_to_buy(shop, line));
    let label = format!("Bought: {name}");
    view! {
        <li class:done=ticked>
            <label class="shopping-tick">
                <input
                    type="checkbox"
                    aria-label=label
                    prop:checked=ticked
                    on:change=move |event| tick(event_target_checked(&event))
                />
            </label>
            <button
                type="button"
                class="shopping-good"
                aria-haspopup="dialog"
                on:click=move |_| shop.open.set(Some(id))
            >
                <span>
                    <strong>{name}</strong>
                    " "
                    <span class="number">{buy}</span>
                </span>
                <span class="soft small">{move || words().join(" · ")}</span>
            </button>
        </li>
    }
}

fn what_to_buy(shop: Shop, line: &Line) -> String {
    let units = shop.units();
    match (line.bought, line.buy.is_empty()) {
        (Some(bought), true) => format!("{} bought", amount(line.good, bought.milli, units)),
        (None, true) => amount(line.good, line.lacking, units),
        _ => packs_in_words(line.good, &line.buy, units),
    }
}

fn clauses(shop: Shop, line: &Line) -> Vec<String> {
    let units = shop.units();
    let mut out = Vec::new();
    if line.needed > 0 {
        out.push(format!("{} needed", amount(line.good, line.needed, units)));
        let there = line.needed.saturating_sub(line.lacking);
        if there > 0 {
            out.push(format!("{} there", amount(line.good, there, units)));
        }
    }
    if line.low && line.lacking == 0 {
        out.push("low in the larder".to_owned());
    }
    if line.left > 0 && line.lacking > 0 {
        out.push(format!("{} left over", amount(line.good, line.left, units)));
    }
    if let Some(by) = line.by {
        out.push(format!("needed by {}", intl::date_time(by)));
    }
    if let Some((days, _)) = line.good.keeps_days() {
        out.push(format!("keeps {days} days"));
        // Bought too early it would be past its best at its last use.
        let last = line.last.map(Wall::date);
        let today = shop.now.read().date();
        if let Some(last) = last.filter(|last| i64::from(days) < last.days_since(today)) {
            let first = last.plus_days(-i64::from(days));
            out.push(format!("buy on {} or later", intl::date_long(first)));
        }
    }
    match (line.bought.and_then(|bought| bought.paid), price(&line.buy)) {
        (Some(paid), _) if line.buy.is_empty() => out.push(format!("paid {}", shop.money(paid))),
        (_, Some(price)) if !line.buy.is_empty() => out.push(shop.money(price)),
        _ => {}
    }
    out
}
