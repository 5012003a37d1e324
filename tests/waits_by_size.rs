//! Waits whose length follows from size: what the cards reckon, what a baker timed, and what is said of cold
//! things in a humid room. The formulas themselves are held to handbooks in `heat_conduction.rs` and `heat_dew.rs`.

mod common;

use common::{Bench, item};
use rackweek::breakdown::{Wait, Work};

fn cake(bench: &Bench, across: i64, layers: i64) -> Work {
    bench.work(item("tall-layer-cake", 1, 0, &[("diameter", across), ("layers", layers)]))
}

fn wait<'a>(work: &'a Work, rest: &str) -> &'a Wait {
    let begins = format!("{rest}: ");
    work.waits.iter().find(|wait| wait.wait.starts_with(&begins)).expect(rest)
}

fn least(work: &Work, rest: &str) -> u32 {
    let ends = format!(".{rest}");
    work.rests.iter().find(|found| found.id.ends_with(&ends)).expect(rest).choices[0].least
}

#[test]
fn a_wider_layer_cools_longer_and_a_warmer_room_too() {
    let mut bench = Bench::default();
    let usual = [100, 150, 200, 250].map(|across| least(&cake(&bench, across, 4), "cool"));
    assert!(usual.is_sorted() && usual[0] < usual[3], "{usual:?}");
    // Handbook's order: an hour for the least, two and a half for the widest (common practice, no published
    // source, has "an hour or two").
    assert!(usual.iter().all(|minutes| (60..=150).contains(minutes)), "{usual:?}");
    bench.kitchen.warmth.climate.room = 30;
    let warm = least(&cake(&bench, 150, 4), "cool");
    assert_ne!(warm, usual[1]);
}

#[test]
fn what_was_timed_counts_and_scales_other_sizes() {
    let mut bench = Bench::default();
    let before = cake(&bench, 150, 4);
    let reckoned = wait(&before, "cool").clone();
    assert_eq!((reckoned.minutes, reckoned.timed), (reckoned.reckoned, None));
    let half = reckoned.reckoned.div_ceil(2);
    let known = &mut bench.kitchen.warmth;
    known.time(&reckoned.card, &reckoned.wait, &reckoned.size, Some((reckoned.reckoned, half)));
    let after = cake(&bench, 150, 4);
    assert_eq!((least(&after, "cool"), wait(&after, "cool").timed), (half, Some(true)));
    let wider = cake(&bench, 200, 4);
    let scaled = wait(&wider, "cool");
    assert_eq!(scaled.minutes, (scaled.reckoned * half).div_ceil(reckoned.reckoned));
    assert_eq!((scaled.timed, least(&wider, "cool")), (Some(false), scaled.minutes));
    assert_eq!(wait(&wider, "stack-chill").timed, None, "another wait");
}

#[test]
fn nothing_is_believed_that_iced_water_could_not_do() {
    let work = cake(&Bench::default(), 150, 4);
    let cool = wait(&work, "cool");
    assert!(0 < cool.fewest && cool.fewest < cool.reckoned, "{cool:?}");
    assert_eq!(cool.accept(cool.fewest), Ok(cool.fewest));
    let why = cool.accept(cool.fewest - 1).expect_err("too fast");
    assert!(why.contains(&cool.reckoned.to_string()), "{why}");
}

#[test]
fn a_thawing_layer_is_taken_out_as_long_before_as_its_size_needs() {
    let bench = Bench::default();
    let tail = |across: i64| {
        let work = cake(&bench, across, 4);
        let rest = work.rests.iter().find(|rest| rest.id.ends_with(".layers")).expect("layers");
        let frozen =
            rest.choices.iter().find(|choice| choice.name.contains("frozen")).expect("frozen");
        assert!(frozen.tail.as_ref().is_some_and(|(minutes, _)| *minutes <= frozen.least));
        frozen.tail.as_ref().map_or(0, |(minutes, _)| *minutes)
    };
    let tails = [100, 150, 250].map(tail);
    assert!(tails.is_sorted() && tails[0] < tails[2], "{tails:?}");
}

#[test]
fn cold_cake_in_a_humid_room_is_said_where_the_hands_are() {
    let mut bench = Bench::default();
    let told = |bench: &Bench| {
        let work = cake(bench, 150, 4);
        let steps =
            work.steps.iter().filter(|step| step.notes.iter().any(|n| n.contains("water settles")));
        steps.map(|step| step.id.0.clone()).collect::<Vec<_>>()
    };
    // 22 °C and 50 %: the dew point is 11 °C (psychrolib's grid), far above the fridge's 4 °C.
    assert_eq!(told(&bench), ["o1.i1.decorate", "o1.i1.box"]);
    // At 20 °C and 30 % it is 1.9 °C.
    bench.kitchen.warmth.climate.room = 20;
    bench.kitchen.warmth.climate.humidity = 30;
    assert_eq!(told(&bench), Vec::<String>::new());
}
