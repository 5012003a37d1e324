//! A shared week: a link holds it, short enough to be sent and to be a QR code; what is not exactly what was
//! sent is refused whole, in words; and nothing in it says who the client is.
#![cfg(not(target_arch = "wasm32"))]

#[path = "common/hostile.rs"]
mod hostile;
#[path = "common/weeks.rs"]
mod weeks;

use proptest::prelude::*;
use rackweek::calendar::{Wall, Zone};
use rackweek::order::HandoverWay;
use rackweek::share::{
    Choice, Entry, EntryKind, LINK_LONGEST, LinkError, Named, QR_MODULES_MAX, SharedOrder,
    SharedWeek, bare, digits_of, fragment_of, qr, read_fragment,
};

/// Where a free host would serve it from.
const HOST: &str = "https://somebody.example.org/rackweek/#";

fn demo_week() -> SharedWeek {
    let weeks = weeks::demo_weeks(Zone::fixed("kitchen", 0));
    share(&weeks, &weeks.all())
}

fn share(weeks: &weeks::Weeks, choice: &Choice) -> SharedWeek {
    choice.share(&weeks.doings, &weeks.horizon, &weeks.book.orders, weeks.now)
}

#[test]
fn a_week_comes_back_as_it_was_sent() {
    let week = demo_week();
    assert!(week.entries.len() > 50, "{}", week.entries.len());
    assert!(week.entries.iter().any(|entry| entry.kind == EntryKind::TakeOut));
    assert!(week.entries.iter().any(|entry| entry.kind == EntryKind::Handover));
    assert_eq!(read_fragment(&fragment_of(&week)), Ok(week.clone()));
    assert_eq!(read_fragment(&digits_of(&week)), Ok(week.clone()));
    let listed: usize = week.days().iter().map(|(_, entries)| entries.len()).sum();
    assert_eq!(listed, week.entries.len());
}

#[test]
fn a_hundred_sittings_of_every_product_are_a_link_of_two_thousand_characters() {
    let weeks = weeks::mixed_week(100);
    let week = share(&weeks, &weeks.all());
    assert_eq!(week.entries.len(), 100);
    let different: std::collections::BTreeSet<&str> =
        week.entries.iter().map(|entry| entry.detail.as_str()).collect();
    assert!(different.len() > 30, "a hard week: {} amounts differ", different.len());
    let link = format!("{HOST}{}", fragment_of(&week));
    println!("100 sittings of {} orders: {} characters", week.orders.len(), link.len());
    assert!(link.len() <= 2000, "{}", link.len());
}

/// Points on a side of which the grey of a pixel is the mean.
const FINE: usize = 5;

/// What a telephone sees: the drawing on so many pixels, each as grey as the squares that it covers, a little
/// blurred.
fn seen(drawing: &rackweek::share::QrDrawing, pixels: usize) -> Vec<u8> {
    let side = drawing.side;
    let mut dark = vec![false; side * side];
    for run in drawing.path.split('M').skip(1) {
        let numbers: Vec<usize> = run
            .split(|letter: char| !letter.is_ascii_digit())
            .filter_map(|part| part.parse().ok())
            .collect();
        let [x, y, width, ..] = numbers[..] else { panic!("a run is {run}") };
        for at in x..x + width {
            dark[y * side + at] = true;
        }
    }
    let grey = |x: usize, y: usize| -> u32 {
        let mut light = 0;
        for (dx, dy) in (0..FINE * FINE).map(|at| (at % FINE, at / FINE)) {
            let square = |at: usize, d: usize| (at * FINE + d) * side / (pixels * FINE);
            light += u32::from(!dark[square(y, dy) * side + square(x, dx)]);
        }
        light * 255 / 25
    };
    let sharp: Vec<u32> = (0..pixels * pixels).map(|at| grey(at % pixels, at / pixels)).collect();
    let at = |x: usize, y: usize| sharp[y.min(pixels - 1) * pixels + x.min(pixels - 1)];
    (0..pixels * pixels)
        .map(|index| {
            let (x, y) = (index % pixels, index / pixels);
            let beside = at(x.saturating_sub(1), y)
                + at(x + 1, y)
                + at(x, y.saturating_sub(1))
                + at(x, y + 1);
            ((4 * at(x, y) + beside) / 8).to_le_bytes()[0]
        })
        .collect()
}

/// Read by another library than the one that drew it.
fn read_back(drawing: &rackweek::share::QrDrawing, pixels: usize) -> Option<String> {
    let picture = seen(drawing, pixels);
    let mut image =
        rqrr::PreparedImage::prepare_from_greyscale(pixels, pixels, |x, y| picture[y * pixels + x]);
    let grids = image.detect_grids();
    Some(grids.first()?.decode().ok()?.1)
}

#[test]
fn a_code_of_sixty_sittings_is_read_from_four_hundred_pixels() {
    let weeks = weeks::demo_weeks(Zone::fixed("kitchen", 0));
    for sittings in [1, 20, 40, 60] {
        let mut week = share(&weeks, &weeks.all());
        week.entries.truncate(sittings);
        let link = format!("{HOST}{}", digits_of(&week));
        let drawing = qr(&link).expect("few enough sittings");
        println!("{sittings} sittings: {} squares on a side", drawing.side - 8);
        assert!(drawing.side <= QR_MODULES_MAX + 8);
        for pixels in [400, 500, 800] {
            assert_eq!(read_back(&drawing, pixels).as_deref(), Some(link.as_str()), "on {pixels}");
        }
        let (_, fragment) = link.split_once('#').expect("a fragment");
        assert_eq!(read_fragment(fragment), Ok(week));
    }
}

#[test]
fn what_is_too_much_for_a_code_has_none() {
    let weeks = weeks::mixed_week(100);
    let week = share(&weeks, &weeks.all());
    assert_eq!(qr(&format!("{HOST}{}", digits_of(&week))), None);
}

#[test]
fn any_one_character_changed_is_refused_in_words() {
    let mut week = demo_week();
    week.entries.truncate(30);
    let letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_=%+/ .#é\u{0}";
    let mut tried = 0;
    for fragment in [fragment_of(&week), digits_of(&week)] {
        for (at, old) in fragment.char_indices() {
            for new in letters.chars().filter(|new| *new != old) {
                let (before, after) = (&fragment[..at], &fragment[at + 1..]);
                let error =
                    read_fragment(&format!("{before}{new}{after}")).expect_err("was changed");
                assert!(error.to_string().len() > 40, "{error}");
                tried += 1;
            }
        }
    }
    assert!(tried > 100_000, "{tried}");
}

#[test]
fn cut_lengthened_doubled_swapped_and_foreign_links_are_refused() {
    let week = demo_week();
    for fragment in [fragment_of(&week), digits_of(&week)] {
        for end in 0..fragment.len() {
            assert!(read_fragment(&fragment[..end]).is_err(), "cut at {end}");
        }
        for end in ["A", "0", "AA", "000", "AAAA", "0000000000", "=", "%20", " ", "\n", "&x=1", "#"]
        {
            assert!(read_fragment(&format!("{fragment}{end}")).is_err(), "with {end:?}");
        }
        let body = &fragment[3..];
        for at in 0..body.len() - 1 {
            let mut swapped: Vec<char> = body.chars().collect();
            swapped.swap(at, at + 1);
            let swapped: String = swapped.into_iter().collect();
            if swapped != body {
                assert!(read_fragment(&format!("{}{swapped}", &fragment[..3])).is_err(), "at {at}");
            }
        }
        assert_eq!(read_fragment(&format!("{fragment}{fragment}")), Err(LinkError::Damaged));
        assert_eq!(read_fragment(&fragment.replacen('.', "%2E", 1)), Err(LinkError::NotAWeek));
        assert_eq!(read_fragment(&fragment.replacen('1', "2", 1)), Err(LinkError::OtherVersion));
        assert_eq!(read_fragment(&fragment.replacen('1', "17", 1)), Err(LinkError::OtherVersion));
    }
    for foreign in ["", "main", "w1", "w.", "x1.AAAA", "w1a.AAAA", "section-2.1", "=1+1", "🎂"] {
        assert_eq!(read_fragment(foreign), Err(LinkError::NotAWeek), "{foreign}");
    }
    let long = format!("w1.{}", "A".repeat(LINK_LONGEST));
    assert_eq!(read_fragment(&long), Err(LinkError::TooLarge));
    for hostile in hostile::strings() {
        assert!(read_fragment(&hostile).is_err());
        assert!(read_fragment(&format!("w1.{hostile}")).is_err());
        assert!(read_fragment(&format!("n1.{hostile}")).is_err());
    }
}

#[test]
fn a_link_of_the_first_version_is_read_as_ever() {
    let week = read_fragment(include_str!("data/share/week-1.txt").trim()).expect("version 1");
    assert_eq!(week, golden());
}

/// The week of which `data/share/week-1.txt` is the link. Neither is ever edited.
fn golden() -> SharedWeek {
    let wall = |text: &str| -> Wall { text.parse().expect(text) };
    let entry = |kind, at: &str, minutes, title: &str, detail: &str| Entry {
        kind,
        order: 0,
        at: wall(at),
        minutes,
        title: title.into(),
        product: if kind == EntryKind::Handover {
            String::new()
        } else {
            "Decorated cookies".into()
        },
        detail: detail.into(),
        part: None,
        done: false,
    };
    let mut week = SharedWeek {
        made: wall("2026-11-26T07:40"),
        note: "Keys are where they always are – thank you!".into(),
        orders: vec![SharedOrder {
            mark: "MH".into(),
            name: "woodland".into(),
            allergies: "no sesame".into(),
            tint: 3,
        }],
        entries: vec![
            entry(EntryKind::Oven, "2026-11-24T19:30", 60, "Bake the cookies", "3 trays, 2 loads"),
            entry(
                EntryKind::Work,
                "2026-11-26T18:00",
                75,
                "Outline and flood the base coat",
                "24 cookies",
            ),
            entry(
                EntryKind::Fine,
                "2026-11-27T19:05",
                40,
                "Pipe the details",
                "24 cookies in 3 colours",
            ),
            entry(
                EntryKind::TakeOut,
                "2026-11-28T13:00",
                0,
                "Take the toppers out of the fridge",
                "",
            ),
            entry(EntryKind::Handover, "2026-11-28T15:00", 0, "Handover", ""),
        ],
    };
    week.entries[0].done = true;
    week.entries[1].part = Some((2, 3));
    week
}

#[test]
fn nothing_says_who_the_client_is_or_what_it_costs() {
    let mut weeks = weeks::demo_weeks(Zone::fixed("kitchen", 0));
    for order in weeks.book.orders.values_mut() {
        order.client = "Quintessa Vexborough".into();
        order.theme =
            "Quintessa’s woodland, call +44 20 7946 0958 or mail q@vexborough.example".into();
        order.allergies = "no nuts (QUINTESSA’S brother; 0207-946-0958)".into();
        order.notes = "zyxnotes".into();
        order.handover.way = HandoverWay::Delivery { travel: 20, place: "zyxplace".into() };
        for item in &mut order.items {
            item.notes = "zyxitem".into();
        }
        weeks.book.pricing.agreed.insert(order.id, 987_654);
    }
    for named in [Named::Mark, Named::Theme] {
        let mut choice = weeks.all();
        choice.named = named;
        let week = share(&weeks, &choice);
        assert!(week.entries.len() > 50);
        let said = format!("{week:?}").to_lowercase();
        for secret in ["quintessa", "vexborough", "zyx", "7946", "0958", "9876", "@"] {
            assert!(!said.contains(secret), "{secret} in {said}");
        }
        assert_eq!(said.contains("woodland"), named == Named::Theme);
        assert!(said.contains("no nuts"));
        choice.allergies = false;
        assert!(!format!("{:?}", share(&weeks, &choice)).contains("no nuts"));
    }
}

#[test]
fn names_and_numbers_are_taken_out_of_her_words() {
    for (text, client, bare_text) in [
        ("Mira’s woodland", "Mira Holm", "MH’s woodland"),
        ("miras 30th", "Mira Holm", "MH 30th"),
        ("for HOLM, not for Holmes & Holmdale", "Mira Holm", "for MH, not for MH & Holmdale"),
        ("admiral blue", "Mira Holm", "admiral blue"),
        ("Li’s bamboo in little", "Li", "MH’s bamboo in little"),
        ("Δέσποινα 40", "Δέσποινα Παππά", "MH 40"),
        ("24 cookies, 12 pops, 2026", "Mira Holm", "24 cookies, 12 pops, 2026"),
        ("call 07700 900123 then", "Mira Holm", "call … then"),
        ("call +44 (20) 7946-0958 then", "Mira Holm", "call … then"),
        ("see https://a.example/b or www.b.example", "Mira", "see … or …"),
        ("", "Mira", ""),
        ("woodland", "", "woodland"),
    ] {
        assert_eq!(bare(text, client, "MH"), bare_text, "{text}");
    }
    for hostile in hostile::strings() {
        let told = bare(&hostile, "Mira Holm", "MH");
        assert!(told.len() <= hostile.len() + 2 * hostile.matches("Mira").count(), "{hostile}");
        assert!(bare("woodland", &hostile, "MH").len() <= "woodland".len());
    }
}

#[test]
fn only_chosen_days_and_orders_are_handed_on() {
    let weeks = weeks::demo_weeks(Zone::fixed("kitchen", 0));
    let all = share(&weeks, &weeks.all());
    let (day, on_day) = all.days().swap_remove(3);
    let mut choice = weeks.all();
    choice.days = [day].into();
    let one = share(&weeks, &choice);
    assert_eq!(one.entries.len(), on_day.len());
    assert!(one.entries.iter().all(|entry| entry.at.date() == day));
    let mut choice = weeks.all();
    let gone = *weeks.book.orders.keys().next().expect("an order");
    choice.without.insert(gone);
    let rest = share(&weeks, &choice);
    let own = weeks.doings.iter().filter(|doing| doing.order == gone).count();
    assert!(own > 0);
    assert_eq!(rest.entries.len(), all.entries.len() - own);
    assert_eq!(
        rest.orders.len(),
        all.orders.len() - 1,
        "an order for which nothing happens is not told"
    );
}

#[test]
fn hostile_words_come_back_as_one_line_without_control_characters() {
    let mut weeks = weeks::demo_weeks(Zone::fixed("kitchen", 0));
    for text in hostile::strings() {
        for order in weeks.book.orders.values_mut() {
            order.mark.clone_from(&text);
            order.theme.clone_from(&text);
            order.allergies.clone_from(&text);
        }
        weeks.doings.truncate(2);
        for doing in &mut weeks.doings {
            doing.title.clone_from(&text);
            doing.product.clone_from(&text);
            doing.detail.clone_from(&text);
        }
        let mut choice = weeks.all();
        choice.note.clone_from(&text);
        let week = share(&weeks, &choice);
        assert_eq!(read_fragment(&fragment_of(&week)), Ok(week.clone()), "{text}");
        let entry = &week.entries[0];
        for told in [&entry.title, &week.note, &week.orders[0].name, &week.orders[0].mark] {
            assert!(!told.chars().any(char::is_control), "{told:?}");
            assert!(told.chars().count() <= 300);
        }
    }
}

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "[a-zA-Z ,.+0-9]{1,40}",
        "\\PC{1,12}",
        Just("Flood the base coat".to_owned()),
    ]
}

fn any_week() -> impl Strategy<Value = SharedWeek> {
    let order = (text(), text(), text(), 0_u8..8)
        .prop_map(|(mark, name, allergies, tint)| SharedOrder { mark, name, allergies, tint });
    let entry = (
        0_usize..5,
        any::<prop::sample::Index>(),
        0_i64..40_000,
        0_u32..2000,
        text(),
        text(),
        any::<u8>(),
    );
    (
        0_i64..60_000_000,
        text(),
        prop::collection::vec(order, 1..9),
        prop::collection::vec(entry, 0..40),
    )
        .prop_map(|(made, note, orders, rows)| {
            let made = Wall::from_as_if_utc(made);
            let mut entries: Vec<Entry> = rows
                .into_iter()
                .map(|(kind, order, after, minutes, title, detail, bits)| Entry {
                    kind: EntryKind::ALL[kind],
                    order: order.index(orders.len()),
                    at: made.plus_minutes(after),
                    minutes,
                    title,
                    product: "Cake pops".into(),
                    detail,
                    part: (bits & 1 == 1).then_some((u32::from(bits >> 5) + 1, 9)),
                    done: bits & 2 == 2,
                })
                .collect();
            entries.sort_by_key(|entry| entry.at);
            SharedWeek { made, note, orders, entries }
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_week_comes_back(week in any_week()) {
        prop_assert_eq!(read_fragment(&fragment_of(&week)), Ok(week.clone()));
        prop_assert_eq!(read_fragment(&digits_of(&week)), Ok(week));
    }
}
