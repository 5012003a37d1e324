//! By which rules for keeping food she goes, and what she made stricter.

use leptos::prelude::*;
use rackweek::keeping::{CAUTION, Fridge, OutRule, Region, Rule, Rules, Temperature};
use rackweek::plan::json;
use rackweek::record::Command;
use serde::Serialize;
use serde_json::Value;

use super::{Room, degrees, first, small, tiny};
use crate::app::parts::{Choose, Icon, Measure, Switch};

/// Region, its rules with their sources, and the stricter numbers.
#[component]
pub(super) fn KeepingRules(
    /// Of this page.
    room: Room,
) -> impl IntoView {
    let state = room.state;
    let rules = Memo::new(move |_| state.book.read().settings.rules);
    let change = move |edit: &dyn Fn(&mut Rules)| {
        let mut new = rules.get_untracked();
        edit(&mut new);
        state.apply(Command::SetRules(new)).map_err(|refusals| first(&refusals))
    };
    let or_say = move |answer: Result<(), String>| {
        if let Err(why) = answer {
            state.say(why, false);
        }
    };
    let number = move |read: fn(&Rules) -> i64| Signal::derive(move || read(&rules.read()));
    let regions: Vec<(String, String)> =
        Region::ALL.iter().map(|region| (slug(*region), region.name().to_owned())).collect();
    let choose_region = move |name: String| {
        if let Some(region) = Region::ALL.into_iter().find(|region| slug(*region) == name) {
            or_say(change(&|rules| *rules = Rules::of(region)));
        }
    };
    let outs = Signal::derive(move || {
        let all = rules.read().region.out_rules();
        all.iter().map(|out| (slug(*out), out.words().to_owned())).collect::<Vec<_>>()
    });
    let choose_out = move |name: String| {
        let all = rules.read_untracked().region.out_rules();
        if let Some(out) = all.iter().copied().find(|out| slug(*out) == name) {
            or_say(change(&|rules| {
                rules.out = out;
                // The rule's own minutes, unless hers are fewer.
                rules.out_minutes = rules.out_minutes.min(out.greatest(None, true));
            }));
        }
    };
    let is_states = move || rules.read().region == Region::UnitedStates;
    let fridge = move || {
        let inside = room.kitchen.read().warmth.climate.fridge;
        let profile = rules.read().profile().ok()?;
        let temperature = Temperature::celsius(inside);
        let (good, words) = match profile.fridge(temperature) {
            Fridge::Cold => (true, "cold enough"),
            Fridge::AllowedNotCounted => {
                (false, "allowed here, but days are counted at 5 °C: make it colder")
            }
            Fridge::TooWarm => (false, "too warm for what must be kept cold"),
        };
        Some((good, format!("Your fridge at {temperature}: {words}.")))
    };
    view! {
        <section class="card stack" aria-labelledby="rules-title">
            <h2 id="rules-title">"Rules for keeping food"</h2>
            <p class="caution">{CAUTION}</p>
            <Choose
                id="rules-region"
                label="Where you work"
                options=Signal::stored(regions)
                value=Signal::derive(move || slug(rules.read().region))
                on_change=choose_region
            />
            {move || {
                let region = rules.read().region;
                [
                    ("Fridge", region.cold()),
                    ("Days", region.days()),
                    ("Out of the fridge", region.out()),
                    ("Cooling", region.cooling()),
                ]
                    .into_iter()
                    .map(|(what, rule)| line(what, rule))
                    .collect_view()
            }}
            {move || {
                fridge()
                    .map(|(good, words)| {
                        view! {
                            <p>
                                <Icon name=if good { "check" } else { "warn" } />
                                " "
                                {words}
                            </p>
                        }
                    })
            }}
            <h3>"Stricter, if you like"</h3>
            <p class="soft small">
                "Plans go by the shorter of the card’s limit and yours. What is looser than the rule is refused."
            </p>
            <div class="grid-4">
                <Measure
                    id="rules-cold"
                    label="Fridge at most"
                    unit="°C"
                    value=number(|rules| rules.cold.into())
                    on_commit=move |value| change(&|rules| rules.cold = degrees(value))
                />
                <Measure
                    id="rules-days"
                    label="Days in all"
                    unit="days"
                    value=number(|rules| rules.days.into())
                    on_commit=move |value| change(&|rules| rules.days = tiny(value))
                />
                <Measure
                    id="rules-out-minutes"
                    label="Out of the fridge"
                    unit="min"
                    value=number(|rules| rules.out_minutes.into())
                    on_commit=move |value| change(&|rules| rules.out_minutes = small(value).into())
                />
            </div>
            <Choose
                id="rules-out"
                label="How time out of the fridge is counted"
                options=outs
                value=Signal::derive(move || slug(rules.read().out))
                on_change=choose_out
            />
            <Show when=is_states>
                <Switch
                    id="rules-procedure"
                    label="I have a written procedure"
                    hint="Four and six hours out of the fridge need one, made in advance."
                    on=Signal::derive(move || rules.read().written_procedure)
                    on_change=move |on| {
                        or_say(
                            change(
                                &|rules| {
                                    rules.written_procedure = on;
                                    if !on {
                                        rules.out = OutRule::Home;
                                        rules.out_minutes = rules
                                            .out_minutes
                                            .min(OutRule::Home.greatest(None, true));
                                    }
                                },
                            ),
                        );
                    }
                />
            </Show>
            <Switch
                id="rules-freezing"
                label="The day of freezing counts"
                hint="The stricter way."
                on=Signal::derive(move || rules.read().freezing_day_counts)
                on_change=move |on| or_say(change(&|rules| rules.freezing_day_counts = on))
            />
        </section>
    }
}

/// A rule, and where it comes from.
fn line(what: &'static str, rule: Rule) -> AnyView {
    let taken = (!rule.own).then_some(
        "The region’s own rules name no number here; this one is taken for want of one.",
    );
    view! {
        <details class="method-part">
            <summary>
                <span>
                    <span class="method-title">{what}</span>
                    <span class="soft small">{rule.words}</span>
                </span>
            </summary>
            <ul>
                <li>"Source: " {rule.source}</li>
                {taken.map(|words| view! { <li>{words}</li> })}
            </ul>
        </details>
    }
    .into_any()
}

/// The name that the records have.
fn slug(choice: impl Serialize) -> String {
    let name = json::value_of(&choice).ok();
    name.as_ref().and_then(Value::as_str).unwrap_or_default().to_owned()
}
