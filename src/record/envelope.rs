//! A record as text: `{"kind":"order","id":"3","schema":1,"body":{…}}`.
//!
//! # To change a record's form
//!
//! 1. Change the type.
//! 2. Add one [`Migration`] for its kind to [`MIGRATIONS`], from the schema that was current, which
//!    turns an old body into a new one. The current schema follows from the table.
//! 3. Add a test that reads a text of the old schema.
//!
//! A field that is merely added needs a new schema as well, although an old text could still be read:
//! an older build would drop the field without a word. With the new number it refuses the record
//! instead and leaves it as it is. For the same reason rules that become stricter need a migration
//! that makes old values obey.

use serde::Serialize;
use serde_json::{Map, Value};

use super::json::read_value;
use super::kitchen;
use super::{Pin, Progress, Record, RecordKind, Settings, Shown, Timers};
use crate::breakdown::StepId;
use crate::calendar::MyTime;
use crate::card::Card;
use crate::kitchen::Kitchen;
use crate::margin::Margins;
use crate::order::Order;
use crate::plan::json;
use crate::quote::Pricing;
use crate::supply::Supplies;

/// Turns the body of one schema of a kind into that of the next.
#[derive(Debug, Clone, Copy)]
pub(super) struct Migration {
    /// Of which records.
    kind: RecordKind,
    /// From this schema to the next higher one.
    from: u32,
    /// What to do; the error says what is wrong with the body.
    step: fn(Value) -> Result<Value, String>,
}

/// Every migration there is, in order of kind and schema.
const MIGRATIONS: &[Migration] = &[
    // Schema 2 says what the household keeps in mm and knows clearings; schema 1 knew per cent.
    Migration { kind: RecordKind::Kitchen, from: 1, step: kitchen::shares_in_millimetres },
    // Schema 3 knows boxes and tubs; a kitchen of schema 2 gets what is usual.
    Migration { kind: RecordKind::Kitchen, from: 2, step: kitchen::with_usual_boxes },
    // Schema 4 knows how warm it is and what was timed; a kitchen of schema 3 gets what is usual.
    Migration { kind: RecordKind::Kitchen, from: 3, step: kitchen::with_usual_warmth },
    // Schema 5 knows shelves that the household takes for a while; in a kitchen of schema 4 there are none.
    Migration { kind: RecordKind::Kitchen, from: 4, step: Ok },
    // Schema 2 knows a region's rules and the book's key; settings of schema 1 go by the model code and have none.
    Migration { kind: RecordKind::Settings, from: 1, step: Ok },
    // Schema 2 knows hours to work against the habit; a text of schema 1 has none.
    Migration { kind: RecordKind::Time, from: 1, step: Ok },
    // Schema 3 knows breaks and tidying up; a text of schema 2 has none.
    Migration { kind: RecordKind::Time, from: 2, step: Ok },
    // Schema 4 knows days on which somebody helps; a text of schema 3 has none.
    Migration { kind: RecordKind::Time, from: 3, step: Ok },
    // Schema 2 knows things, whose size follows from geometry; a card of schema 1 has none.
    Migration { kind: RecordKind::Card, from: 1, step: Ok },
    // Schema 3 knows ingredients, packaging, spares, rules of the trade and longest sittings; a card of schema 2
    // has none.
    Migration { kind: RecordKind::Card, from: 2, step: Ok },
    // Schema 4 knows what it was copied from, and older versions under `card@version`; earlier ones do not.
    Migration { kind: RecordKind::Card, from: 3, step: Ok },
    // Schema 5 knows waits whose length follows from size; a card of schema 4 has none.
    Migration { kind: RecordKind::Card, from: 4, step: Ok },
    // Since schema 6 a limit holds where a rest was moved, renamed or removed too: what was kept before is made to obey.
    Migration { kind: RecordKind::Card, from: 5, step: obeying },
    // Schema 7 knows what the client is told; a card of schema 6 tells nothing.
    Migration { kind: RecordKind::Card, from: 6, step: Ok },
    // Schema 2 knows the versions of cards; an order of schema 1 goes by the newest.
    Migration { kind: RecordKind::Order, from: 1, step: Ok },
    // Schema 3 knows what was agreed about allergies; of an order of schema 2 nothing was written.
    Migration { kind: RecordKind::Order, from: 2, step: Ok },
    // Schema 4 knows the check list before a handover; of an order of schema 3 nothing is ticked.
    Migration { kind: RecordKind::Order, from: 3, step: Ok },
    // Schema 5 knows guests, and hours past a limit of quality; an order of schema 4 has neither.
    Migration { kind: RecordKind::Order, from: 4, step: Ok },
    // Schema 6 knows pictures; an order of schema 5 has none.
    Migration { kind: RecordKind::Order, from: 5, step: Ok },
    // Schema 2 knows her terms; pricing of schema 1 has none.
    Migration { kind: RecordKind::Pricing, from: 1, step: Ok },
];

/// A card with its safety limits in force. Cards have not changed their form since; when they do, this goes by the body.
fn obeying(body: Value) -> Result<Value, String> {
    let card: Card = json::of_value(&body).map_err(|error| error.to_string())?;
    serde_json::to_value(card.obeying_built_in()).map_err(|error| error.to_string())
}

/// Why a text is no record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unreadable {
    /// A newer build wrote it, and knows more of it than this one. It is to be left as it is.
    Newer {
        /// Its schema, or 0 when its very kind is unknown here.
        schema: u32,
    },
    /// Not a record, or a damaged one, with the reason.
    Damaged(String),
}

impl std::fmt::Display for Unreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Newer { .. } => {
                f.write_str("was written by a newer Rackweek; reload the page to get that one")
            }
            Self::Damaged(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for Unreadable {}

/// A record's frame, in the order in which a person reads it.
#[derive(Serialize)]
pub(super) struct Envelope<'a> {
    kind: &'static str,
    id: String,
    schema: u32,
    body: Body<'a>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Body<'a> {
    Kitchen(&'a Kitchen),
    Time(&'a MyTime),
    Settings(&'a Settings),
    Card(&'a Card),
    Order(&'a Order),
    Pin(&'a Pin),
    Shown(&'a Shown),
    Supplies(&'a Supplies),
    Pricing(&'a Pricing),
    Progress(&'a Progress),
    Timers(&'a Timers),
    Margins(&'a Margins),
}

impl Record {
    /// The record with its frame, to be written.
    pub(super) fn envelope(&self) -> Envelope<'_> {
        let key = self.key();
        let body = match self {
            Self::Kitchen(kitchen) => Body::Kitchen(kitchen),
            Self::Time(time) => Body::Time(time),
            Self::Settings(settings) => Body::Settings(settings),
            Self::Card(card) | Self::OldCard(card) => Body::Card(card),
            Self::Order(order) => Body::Order(order),
            Self::Pin(_, pin) => Body::Pin(pin),
            Self::Shown(shown) => Body::Shown(shown),
            Self::Supplies(supplies) => Body::Supplies(supplies),
            Self::Pricing(pricing) => Body::Pricing(pricing),
            Self::Progress(_, progress) => Body::Progress(progress),
            Self::Timers(timers) => Body::Timers(timers),
            Self::Margins(margins) => Body::Margins(margins),
        };
        let schema = schema(MIGRATIONS, key.kind);
        Envelope { kind: key.kind.name(), id: key.id, schema, body }
    }

    /// The record's text for the store. One line, the same for equal records.
    pub fn to_json(&self) -> String {
        // Plain data with text as names has a JSON form always.
        serde_json::to_string(&self.envelope()).unwrap_or_default()
    }

    /// Reads a record's text. An older schema's is migrated, a newer one's refused unharmed.
    pub fn from_json(text: &str) -> Result<Self, Unreadable> {
        let value = read_value(text).map_err(|error| Unreadable::Damaged(error.to_string()))?;
        from_value(MIGRATIONS, value)
    }

    /// As [`Record::from_json`], from a value that was read already.
    pub(super) fn from_value(value: Value) -> Result<Self, Unreadable> {
        from_value(MIGRATIONS, value)
    }
}

/// The schema that this build writes: one more than its last migration starts from.
fn schema(migrations: &[Migration], kind: RecordKind) -> u32 {
    let last = migrations.iter().filter(|migration| migration.kind == kind).map(|m| m.from).max();
    last.unwrap_or(0) + 1
}

fn from_value(migrations: &[Migration], value: Value) -> Result<Record, Unreadable> {
    let damaged = |why: String| Unreadable::Damaged(why);
    let Value::Object(mut envelope) = value else {
        return Err(damaged("is not a record, which looks like {\"kind\":\"order\",…}".into()));
    };
    let kind_name = text_field(&envelope, "kind")?;
    let id = text_field(&envelope, "id")?;
    let number = envelope.get("schema").and_then(Value::as_u64);
    let found = number
        .and_then(|number| u32::try_from(number).ok())
        .filter(|number| *number > 0)
        .ok_or_else(|| damaged("has no “schema”; it is a number such as 1".into()))?;
    let body = envelope.remove("body").ok_or_else(|| damaged("has no “body”".into()))?;
    let Some(kind) = RecordKind::of(&kind_name) else {
        return Err(Unreadable::Newer { schema: 0 });
    };
    if found > schema(migrations, kind) {
        return Err(Unreadable::Newer { schema: found });
    }
    let body = migrate(migrations, kind, found, body).map_err(damaged)?;
    let record = of_kind(kind, &id, body).map_err(damaged)?;
    if record.key().id != id {
        let inside = record.key().id;
        return Err(damaged(format!("is named “{id}” outside and “{inside}” inside")));
    }
    if let Some(refusal) = record.validate().into_iter().next() {
        return Err(damaged(refusal.to_string()));
    }
    Ok(record)
}

fn text_field(envelope: &Map<String, Value>, name: &str) -> Result<String, Unreadable> {
    let text = envelope.get(name).and_then(Value::as_str);
    let text = text.ok_or_else(|| Unreadable::Damaged(format!("has no “{name}”, a text")))?;
    Ok(text.to_owned())
}

fn migrate(
    migrations: &[Migration],
    kind: RecordKind,
    found: u32,
    mut body: Value,
) -> Result<Value, String> {
    for from in found..schema(migrations, kind) {
        let migration = migrations.iter().find(|m| m.kind == kind && m.from == from);
        let step = migration.ok_or_else(|| format!("schema {from} can no longer be read"))?.step;
        body = step(body).map_err(|why| format!("schema {from}: {why}"))?;
    }
    Ok(body)
}

fn of_kind(kind: RecordKind, id: &str, body: Value) -> Result<Record, String> {
    fn read<T: serde::de::DeserializeOwned>(body: Value) -> Result<T, String> {
        json::of_value(&body).map_err(|error| error.to_string())
    }
    Ok(match kind {
        RecordKind::Kitchen => Record::Kitchen(read(body)?),
        RecordKind::Time => Record::Time(read(body)?),
        RecordKind::Settings => Record::Settings(read(body)?),
        RecordKind::Card if id.contains('@') => Record::OldCard(read(body)?),
        RecordKind::Card => Record::Card(read(body)?),
        RecordKind::Order => Record::Order(read(body)?),
        RecordKind::Pin => Record::Pin(StepId(id.to_owned()), read(body)?),
        RecordKind::Shown => Record::Shown(read(body)?),
        RecordKind::Supplies => Record::Supplies(read(body)?),
        RecordKind::Pricing => Record::Pricing(read(body)?),
        RecordKind::Progress => Record::Progress(StepId(id.to_owned()), read(body)?),
        RecordKind::Timers => Record::Timers(read(body)?),
        RecordKind::Margins => Record::Margins(read(body)?),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::{OrderId, Stage};
    use crate::record::book::tests::full_book;

    #[test]
    fn every_kind_comes_back_as_it_was() {
        let records = full_book().records();
        let kinds: std::collections::BTreeSet<_> = records.iter().map(|r| r.key().kind).collect();
        assert_eq!(kinds.len(), RecordKind::ALL.len(), "the book holds every kind");
        for record in records {
            let text = record.to_json();
            assert_eq!(Record::from_json(&text), Ok(record), "{text}");
        }
    }

    #[test]
    fn the_envelope_reads_as_documented() {
        let book = full_book();
        let text = Record::Order(book.orders[&OrderId(1)].clone()).to_json();
        assert!(
            text.starts_with(r#"{"kind":"order","id":"1","schema":6,"body":{"id":1,"#),
            "{text}"
        );
    }

    #[test]
    fn damaged_texts_say_why() {
        let order = Record::Order(full_book().orders[&OrderId(1)].clone()).to_json();
        for (text, part) in [
            (String::new(), "EOF"),
            ("[]".to_owned(), "is not a record"),
            ("{\"id\":\"1\"}".to_owned(), "no “kind”"),
            ("{\"kind\":\"order\",\"id\":1}".to_owned(), "no “id”"),
            (order.replace("\"schema\":6", "\"schema\":0"), "no “schema”"),
            (order.replace("\"schema\":6", "\"schema\":1.5"), "no “schema”"),
            (order.replace("\"schema\":6", "\"schema\":-1"), "no “schema”"),
            (order.replace("\"body\"", "\"bode\""), "no “body”"),
            (order.replace("\"id\":\"1\"", "\"id\":\"2\""), "“2” outside and “1” inside"),
            (order.replace("\"id\":\"1\"", "\"id\":\"01\""), "“01” outside"),
            (order.replace("\"stage\":\"confirmed\"", "\"stage\":\"eaten\""), "eaten"),
            (order.replace("\"count\":24", "\"count\":4294967296"), "4294967296"),
            (order.replace("\"count\":24", "\"count\":0"), "items.0.count"),
            (order.replace("\"count\":24", "\"count\":\"24\""), "invalid type"),
            (order.replace("\"client\"", "\"theme\":\"x\",\"client\""), "“theme” is there twice"),
            (order.replace("T10:00", "T25:00"), "2026-11-28T18:30"),
        ] {
            match Record::from_json(&text) {
                Err(Unreadable::Damaged(why)) => assert!(why.contains(part), "{why} / {part}"),
                other => panic!("{part}: {other:?}"),
            }
        }
    }

    #[test]
    fn a_newer_schema_or_kind_is_refused_as_newer() {
        let order = Record::Order(full_book().orders[&OrderId(1)].clone()).to_json();
        let newer = order.replace("\"schema\":6", "\"schema\":7").replace("\"client\"", "\"for\"");
        assert_eq!(Record::from_json(&newer), Err(Unreadable::Newer { schema: 7 }));
        let kind = order.replace("\"kind\":\"order\"", "\"kind\":\"price\"");
        assert_eq!(Record::from_json(&kind), Err(Unreadable::Newer { schema: 0 }));
    }

    #[test]
    fn a_time_of_the_first_schema_is_read_as_it_was() {
        let text = concat!(
            r#"{"kind":"time","id":"","schema":1,"body":{"day_job":[{"label":"harbour office","#,
            r#""days":["mon","tue"],"start":510,"end":990,"away":true}],"travel":30,"#,
            r#""bedtime":1365,"wake":390,"settle":30,"family":[],"exceptions":[{"id":1,"#,
            r#""date":"2026-12-03","kind":{"what":"busy","start":1110,"end":1230,"#,
            r#""away":true},"label":"parents' evening"},{"id":2,"date":"2026-12-11","#,
            r#""kind":{"what":"day-off"},"label":"off"}],"limits":{"hands_on_workday":180,"#,
            r#""hands_on_free_day":420,"fine":120}}}"#
        );
        let record = Record::from_json(text).expect("is migrated");
        let Record::Time(time) = &record else { panic!("{record:?}") };
        assert_eq!(time.exceptions.len(), 2);
        let rhythm =
            "\"fine\":120},\"rhythm\":{\"wind_down\":0,\"break_after\":0,\"break_length\":0}";
        let expected = |from: &str, text: &str| {
            text.replace(from, "\"schema\":4").replace("\"fine\":120}", rhythm)
        };
        assert_eq!(record.to_json(), expected("\"schema\":1", text));
        let second = text.replace("\"schema\":1", "\"schema\":2");
        let record = Record::from_json(&second).expect("is migrated");
        assert_eq!(record.to_json(), expected("\"schema\":2", &second));
    }

    #[test]
    fn a_card_of_the_first_schema_has_no_things() {
        let text = concat!(
            r#"{"kind":"card","id":"plain-wafers","schema":1,"body":{"id":"plain-wafers","version":1,"#,
            r#""name":"Plain wafers","piece":"wafer","pieces":"wafers","component":false,"about":"Thin","#,
            r#""options":[],"counts":[],"components":[],"steps":[{"id":"bake","name":"Bake","#,
            r#""detail":null,"kind":"plain","when":null,"setup":0,"work":[{"each":30,"per":["pieces"],"#,
            r#""when":null}],"cleanup":0,"cut_min":null,"pause_max":null,"pause_at":null,"needs":[],"#,
            r#""margin":true,"notes":[]}],"rests":[],"keeps":[{"name":"in a box","when":null,"least":[],"#,
            r#""greatest":null,"safety":false,"source":"","stay":{"place":"room-shelf","footprint":"#,
            r#"{"as":"boxes","what":"box","count":"pieces","width":{"mm":200,"plus":null,"percent":100},"#,
            r#""depth":{"mm":200,"plus":null,"percent":100},"height":{"mm":60,"plus":null,"percent":100},"#,
            r#""pile":3}},"tail":null,"cost":0}],"limits":[],"cautions":[]}}"#
        );
        let record = Record::from_json(text).expect("is migrated");
        let expected = text
            .replace("\"name\":\"Plain", "\"copied_from\":null,\"name\":\"Plain")
            .replace("\"schema\":1", "\"schema\":7")
            .replace("\"cautions\":[]", "\"cautions\":[],\"client\":[]")
            .replace("\"about\":\"Thin\",", "\"about\":\"Thin\",\"spares\":0,")
            .replace("\"counts\":[],", "\"counts\":[],\"things\":[],")
            .replace("\"pause_max\":null", "\"cut_max\":null,\"pause_max\":null")
            .replace("\"least\":[],", "\"least\":[],\"heat\":null,")
            .replace("\"limits\":[],", "\"limits\":[],\"ingredients\":[],\"packaging\":[],");
        assert_eq!(record.to_json(), expected);
    }

    #[test]
    fn a_card_of_the_second_schema_uses_nothing_up() {
        let text = concat!(
            r#"{"kind":"card","id":"plain-wafers","schema":2,"body":{"id":"plain-wafers","version":3,"#,
            r#""name":"Plain wafers","piece":"wafer","pieces":"wafers","component":false,"about":"Thin","#,
            r#""options":[{"id":"glazed","label":"Glazed","help":"","kind":{"is":"switch"},"default":1}],"#,
            r#""counts":[],"things":[{"id":"tins","what":"tin","is":"tins","of":"pieces","across":"pieces","#,
            r#""thick":12,"gap":0,"layers":6}],"components":[],"steps":[{"id":"bake","name":"Bake","#,
            r#""detail":null,"kind":"plain","when":null,"setup":0,"work":[{"each":30,"per":["pieces"],"#,
            r#""when":null}],"cleanup":0,"cut_min":45,"pause_max":60,"pause_at":null,"needs":[],"#,
            r#""margin":true,"notes":[]}],"rests":[],"keeps":[{"name":"in tins","when":null,"least":[],"#,
            r#""greatest":null,"safety":false,"source":"","stay":{"place":"room-shelf","footprint":"#,
            r#"{"as":"thing","thing":"tins","pile":null}},"tail":null,"cost":0}],"limits":[],"cautions":[]}}"#
        );
        let record = Record::from_json(text).expect("is migrated");
        let expected = text
            .replace("\"schema\":2", "\"schema\":7")
            .replace("\"cautions\":[]", "\"cautions\":[],\"client\":[]")
            .replace("\"name\":\"Plain", "\"copied_from\":null,\"name\":\"Plain")
            .replace("\"about\":\"Thin\",", "\"about\":\"Thin\",\"spares\":0,")
            .replace("\"default\":1", "\"default\":1,\"rule\":false")
            .replace("\"pause_max\":60", "\"cut_max\":null,\"pause_max\":60")
            .replace("\"least\":[],", "\"least\":[],\"heat\":null,")
            .replace("\"limits\":[],", "\"limits\":[],\"ingredients\":[],\"packaging\":[],");
        assert_eq!(record.to_json(), expected);
    }

    #[test]
    fn a_card_of_the_third_schema_is_no_copy() {
        let text = concat!(
            r#"{"kind":"card","id":"plain-wafers","schema":3,"body":{"id":"plain-wafers","version":2,"#,
            r#""name":"Plain wafers","piece":"wafer","pieces":"wafers","component":false,"about":"Thin","#,
            r#""spares":10,"options":[],"counts":[],"things":[],"components":[],"steps":[{"id":"bake","#,
            r#""name":"Bake","detail":null,"kind":"plain","when":null,"setup":0,"work":[{"each":30,"#,
            r#""per":["pieces"],"when":null}],"cleanup":0,"cut_min":45,"cut_max":null,"pause_max":60,"#,
            r#""pause_at":null,"needs":[],"margin":true,"notes":[]}],"rests":[],"keeps":[{"name":"in a bag","#,
            r#""when":null,"least":[],"greatest":null,"safety":false,"source":"","stay":null,"tail":null,"#,
            r#""cost":0}],"limits":[],"ingredients":[{"of":"flour","step":"bake","amount":[{"each":4,"#,
            r#""per":["pieces"],"when":null}],"over":1,"waste":0,"when":null}],"packaging":[],"cautions":[]}}"#
        );
        let record = Record::from_json(text).expect("is migrated");
        let expected = text
            .replace("\"schema\":3", "\"schema\":7")
            .replace("\"cautions\":[]", "\"cautions\":[],\"client\":[]")
            .replace("\"least\":[],", "\"least\":[],\"heat\":null,")
            .replace("\"name\":\"Plain", "\"copied_from\":null,\"name\":\"Plain");
        assert_eq!(record.to_json(), expected);
    }

    #[test]
    fn a_card_of_the_fourth_schema_has_no_reckoned_waits() {
        let text = concat!(
            r#"{"kind":"card","id":"plain-wafers","schema":4,"body":{"id":"plain-wafers","version":3,"#,
            r#""copied_from":null,"name":"Plain wafers","piece":"wafer","pieces":"wafers","component":false,"about":"Thin","#,
            r#""spares":5,"options":[],"counts":[],"things":[],"components":[],"steps":[{"id":"bake","#,
            r#""name":"Bake","detail":null,"kind":"plain","when":null,"setup":0,"work":[{"each":30,"#,
            r#""per":["pieces"],"when":null}],"cleanup":0,"cut_min":null,"cut_max":null,"pause_max":null,"#,
            r#""pause_at":null,"needs":[],"margin":true,"notes":[]}],"rests":[],"keeps":[{"name":"in tins","#,
            r#""when":null,"least":[{"each":60,"per":[],"when":null}],"greatest":null,"safety":false,"#,
            r#""source":"","stay":null,"tail":{"minutes":60,"stay":null},"cost":0}],"limits":[],"#,
            r#""ingredients":[],"packaging":[],"cautions":[]}}"#
        );
        let record = Record::from_json(text).expect("is migrated");
        let expected = text
            .replace("\"schema\":4", "\"schema\":7")
            .replace("\"cautions\":[]", "\"cautions\":[],\"client\":[]")
            .replace("\"when\":null}],\"greatest\"", "\"when\":null}],\"heat\":null,\"greatest\"")
            .replace("{\"minutes\":60,", "{\"minutes\":60,\"heat\":null,");
        assert_eq!(record.to_json(), expected);
    }

    #[test]
    fn a_card_of_the_fifth_schema_that_lost_a_safety_limit_has_it_again() {
        let mut card = crate::card::builtin()
            .into_iter()
            .find(|card| card.id == "decorated-cookies")
            .expect("is built in");
        card.version += 1;
        card.rests.retain(|rest| !rest.modes.iter().any(|mode| mode.safety));
        let text = Record::Card(card.clone()).to_json().replace("\"schema\":7", "\"schema\":5");
        assert_ne!(Record::Card(card.clone()).validate(), [], "as it stands it is refused");
        let Ok(Record::Card(read)) = Record::from_json(&text) else { panic!("is read") };
        assert!(card.rests.len() < read.rests.len(), "the rests are back");
        assert_eq!(Record::Card(read).validate(), []);
    }

    #[test]
    fn a_card_of_the_sixth_schema_tells_the_client_nothing() {
        let card = crate::card::builtin().into_iter().find(|card| card.id == "cheesecake");
        let mut card = card.expect("is built in");
        assert_ne!(card.client, [""; 0]);
        card.version += 1;
        let text = Record::Card(card.clone()).to_json().replace("\"schema\":7", "\"schema\":6");
        let (before, after) = text.split_once(",\"client\":[").expect("has the field");
        let (_, rest) = after.split_once(']').expect("ends");
        let Ok(Record::Card(read)) = Record::from_json(&format!("{before}{rest}")) else {
            panic!("is read")
        };
        card.client.clear();
        assert_eq!(read, card);
    }

    #[test]
    fn an_order_of_the_first_schema_goes_by_the_newest_cards() {
        let text = concat!(
            r#"{"kind":"order","id":"1","schema":1,"body":{"id":1,"client":"Mara Lindqvist","#,
            r#""theme":"meadow","mark":"","handover":{"at":"2026-12-05T10:00","way":{"how":"delivery","#,
            r#""travel":25,"place":"village hall"}},"items":[{"id":1,"card":"decorated-cookies","#,
            r#""count":24,"spares":4,"options":{"colours":4},"notes":""}],"allergies":"","notes":"","#,
            r#""stage":"confirmed"}}"#
        );
        let record = Record::from_json(text).expect("is migrated");
        let expected = with_guests(text)
            .replace("\"schema\":1", "\"schema\":6")
            .replace("\"notes\":\"\"}]", "\"notes\":\"\",\"versions\":{}}]")
            .replace("\"allergies\":\"\"", "\"allergies\":\"\",\"agreed\":\"\",\"checked\":[]");
        assert_eq!(record.to_json(), expected);
    }

    #[test]
    fn in_an_order_of_the_second_schema_nothing_was_agreed() {
        let text = concat!(
            r#"{"kind":"order","id":"1","schema":2,"body":{"id":1,"client":"Mara Lindqvist","#,
            r#""theme":"meadow","mark":"","handover":{"at":"2026-12-05T10:00","way":{"how":"collection"}},"#,
            r#""items":[{"id":1,"card":"decorated-cookies","count":24,"spares":4,"options":{},"#,
            r#""notes":"","versions":{"decorated-cookies":2}}],"allergies":"no peanuts","notes":"","#,
            r#""stage":"quoted"}}"#
        );
        let record = Record::from_json(text).expect("is migrated");
        let expected = with_guests(text)
            .replace("\"schema\":2", "\"schema\":6")
            .replace("peanuts\"", "peanuts\",\"agreed\":\"\",\"checked\":[]");
        assert_eq!(record.to_json(), expected);
    }

    #[test]
    fn in_an_order_of_the_third_schema_nothing_is_ticked() {
        let text = concat!(
            r#"{"kind":"order","id":"1","schema":3,"body":{"id":1,"client":"Mara Lindqvist","#,
            r#""theme":"meadow","mark":"","handover":{"at":"2026-12-05T10:00","way":{"how":"collection"}},"#,
            r#""items":[{"id":1,"card":"decorated-cookies","count":24,"spares":4,"options":{},"#,
            r#""notes":"","versions":{}}],"allergies":"no peanuts","agreed":"none used","notes":"","#,
            r#""stage":"confirmed"}}"#
        );
        let record = Record::from_json(text).expect("is migrated");
        let expected = with_guests(text)
            .replace("\"schema\":3", "\"schema\":6")
            .replace("none used\"", "none used\",\"checked\":[]");
        assert_eq!(record.to_json(), expected);
    }

    #[test]
    fn in_an_order_of_the_fourth_schema_nobody_said_how_many_come() {
        let text = concat!(
            r#"{"kind":"order","id":"1","schema":4,"body":{"id":1,"client":"Mara Lindqvist","#,
            r#""theme":"meadow","mark":"","handover":{"at":"2026-12-05T10:00","way":{"how":"collection"}},"#,
            r#""items":[{"id":1,"card":"decorated-cookies","count":24,"spares":4,"options":{},"#,
            r#""notes":"","versions":{}}],"allergies":"","agreed":"","checked":["clean box"],"notes":"","#,
            r#""stage":"confirmed"}}"#
        );
        let record = Record::from_json(text).expect("is migrated");
        let expected = with_guests(text).replace("\"schema\":4", "\"schema\":6");
        assert_eq!(record.to_json(), expected);
    }

    #[test]
    fn an_order_of_the_fifth_schema_has_no_pictures() {
        let text = concat!(
            r#"{"kind":"order","id":"1","schema":5,"body":{"id":1,"client":"Mara Lindqvist","#,
            r#""theme":"meadow","mark":"","handover":{"at":"2026-12-05T10:00","way":{"how":"collection"}},"#,
            r#""items":[{"id":1,"card":"decorated-cookies","count":24,"spares":4,"options":{},"#,
            r#""notes":"","versions":{}}],"allergies":"","agreed":"","checked":[],"notes":"","#,
            r#""guests":30,"past_best":12,"stage":"confirmed"}}"#
        );
        let record = Record::from_json(text).expect("is migrated");
        let expected = with_pictures(text).replace("\"schema\":5", "\"schema\":6");
        assert_eq!(record.to_json(), expected);
    }

    /// What schema 5 added to orders, and what came after it, as it stands in those of before.
    fn with_guests(text: &str) -> String {
        with_pictures(&text.replace("\"stage\"", "\"guests\":0,\"past_best\":0,\"stage\""))
    }

    /// What schema 6 added to orders, as it stands in those of before.
    fn with_pictures(text: &str) -> String {
        text.replace("\"stage\"", "\"pictures\":[],\"handed\":[],\"stage\"")
    }

    #[test]
    fn supplies_and_pricing_of_the_first_schema_are_read_as_they_were() {
        for text in [
            concat!(
                r#"{"kind":"supplies","id":"","schema":1,"body":{"units":"us","packs":{"flour":"#,
                r#"[{"size":1000,"price":199},{"size":2268,"price":null}]},"larder":{"flour":"#,
                r#"{"milli":750000,"counted":"2026-12-01T08:00","opened":"2026-11-28","#,
                r#""use_by":null,"low":200000}},"bought":{"butter":{"milli":454000,"paid":389}}}}"#
            ),
            concat!(
                r#"{"kind":"pricing","id":"","schema":1,"body":{"rates":{"currency":"EUR","#,
                r#""digits":2,"hour":2200,"overhead":1200,"margin":2000,"oven_hour":45,"#,
                r#""road_hour":1500,"tax":825,"rounding":"per-quote","deposit":5000,"#,
                r#""balance_days":7},"prices":[{"card":"cake-pops","each":300,"from":3600,"#,
                r#""surcharges":[{"option":"colours","at_least":4,"each":50}]}],"#,
                r#""agreed":{"3":12000}}}"#
            ),
        ] {
            let record = Record::from_json(text).expect("is read");
            let expected = text
                .replace(
                    "\"kind\":\"pricing\",\"id\":\"\",\"schema\":1",
                    "\"kind\":\"pricing\",\"id\":\"\",\"schema\":2",
                )
                .replace("\"3\":12000}}", "\"3\":12000},\"terms\":\"\"}");
            assert_eq!(record.to_json(), expected);
            let wrong = text.replace("199", "-1").replace("12000", "-1");
            assert!(matches!(Record::from_json(&wrong), Err(Unreadable::Damaged(_))), "{wrong}");
        }
    }

    #[test]
    fn progress_and_timers_of_the_first_schema_are_read_as_they_were() {
        for text in [
            concat!(
                r#"{"kind":"progress","id":"o1.i1.flood","schema":1,"body":{"sittings":["#,
                r#"{"stretches":[{"from":1796148000,"to":1796149200},{"from":1796150000,"#,
                r#""to":1796151500}],"done":true,"came_out":27,"took":40},{"stretches":["#,
                r#"{"from":1796160000,"to":null}],"done":false,"came_out":null,"#,
                r#""took":null}],"open_at":1796140000}}"#
            ),
            concat!(
                r#"{"kind":"timers","id":"","schema":1,"body":{"list":[{"id":"own-1","#,
                r#""name":"syrup","ends":1796149200,"heard":false}]}}"#
            ),
        ] {
            let record = Record::from_json(text).expect("is read");
            assert_eq!(record.to_json(), text);
            let wrong = text.replace("1796149200", "-1");
            assert!(matches!(Record::from_json(&wrong), Err(Unreadable::Damaged(_))), "{wrong}");
        }
    }

    /// As the table would look after two changes of the order's form: a "for" that became "client",
    /// then an "open" that became "stage".
    const TWO: &[Migration] = &[
        Migration {
            kind: RecordKind::Order,
            from: 1,
            step: |mut body| {
                let order = body.as_object_mut().ok_or("is not an object")?;
                let client = order.remove("for").ok_or("has no “for”")?;
                order.insert("client".into(), client);
                Ok(body)
            },
        },
        Migration {
            kind: RecordKind::Order,
            from: 2,
            step: |mut body| {
                let order = body.as_object_mut().ok_or("is not an object")?;
                let open =
                    order.remove("open").and_then(|open| open.as_bool()).ok_or("has no “open”")?;
                let stage = if open { "enquiry" } else { "confirmed" };
                order.insert("stage".into(), stage.into());
                Ok(body)
            },
        },
    ];

    #[test]
    fn older_schemas_are_migrated_step_by_step() {
        let order = full_book().orders[&OrderId(1)].clone();
        assert_eq!(order.stage, Stage::Confirmed);
        let current =
            Record::Order(order.clone()).to_json().replace("\"schema\":6", "\"schema\":1");
        let second = current.replace("\"stage\":\"confirmed\"", "\"open\":false");
        let first = second.replace("\"client\"", "\"for\"");
        let texts = [
            first,
            second.replace("\"schema\":1", "\"schema\":2"),
            current.replace("\"schema\":1", "\"schema\":3"),
        ];
        for text in &texts {
            let value = read_value(text).expect("valid");
            assert_eq!(from_value(TWO, value), Ok(Record::Order(order.clone())), "{text}");
        }
        assert_eq!(schema(TWO, RecordKind::Order), 3);
        assert_eq!(schema(TWO, RecordKind::Kitchen), 1, "other kinds stay where they are");
        let value = read_value(&texts[0].replace("\"for\"", "\"to\"")).expect("valid");
        let why = from_value(TWO, value).expect_err("does not migrate").to_string();
        assert_eq!(why, "schema 1: has no “for”");
    }

    #[test]
    fn the_table_has_no_holes() {
        for table in [MIGRATIONS, TWO] {
            for kind in RecordKind::ALL {
                let from: Vec<u32> =
                    table.iter().filter(|m| m.kind == kind).map(|m| m.from).collect();
                let expected: Vec<u32> = (1..schema(table, kind)).collect();
                assert_eq!(from, expected, "{kind:?}");
            }
        }
    }
}
