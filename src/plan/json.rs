//! Reading JSON text into data, with little code for each kind of data.
//!
//! The text is first read into a [`Value`], by code that exists once; data are then made from that. Reading
//! straight from text compiles the reading of text anew for every record, and reading from both compiles
//! everything twice. Data here come from objects by name alone, never from lists by position.

use std::fmt;

use serde::Serialize;
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, Error, Expected, MapAccess,
    SeqAccess, Unexpected, VariantAccess, Visitor,
};
use serde_json::{Map, Number, Value};

/// What is wrong with a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    // Small, since every step of reading hands one on.
    inner: Box<Inner>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Inner {
    place: String,
    message: String,
}

impl Fault {
    /// Where: a place among the data such as `steps[2].minutes`, `line 3` where the text is no JSON, or nothing
    /// where it is about the whole.
    pub fn place(&self) -> &str {
        &self.inner.place
    }

    /// What is wrong there.
    pub fn message(&self) -> &str {
        &self.inner.message
    }

    fn new(place: String, message: String) -> Self {
        Self { inner: Box::new(Inner { place, message }) }
    }

    #[inline(never)]
    fn in_field(mut self, name: &str) -> Self {
        let rest = &self.inner.place;
        let dot = if rest.is_empty() || rest.starts_with('[') { "" } else { "." };
        self.inner.place = [name, dot, rest].concat();
        self
    }

    #[inline(never)]
    fn in_item(mut self, index: usize) -> Self {
        let rest = &self.inner.place;
        let dot = if rest.is_empty() || rest.starts_with('[') { "" } else { "." };
        self.inner.place = format!("[{index}]{dot}{rest}");
        self
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.inner.place.is_empty() {
            f.write_str(&self.inner.place)?;
            f.write_str(": ")?;
        }
        f.write_str(&self.inner.message)
    }
}

impl std::error::Error for Fault {}

impl Error for Fault {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self::new(String::new(), message.to_string())
    }

    #[inline(never)]
    fn invalid_type(found: Unexpected<'_>, expected: &dyn Expected) -> Self {
        let message = match found {
            Unexpected::Unit => format!("invalid type: null, expected {expected}"),
            found => format!("invalid type: {found}, expected {expected}"),
        };
        Self::new(String::new(), message)
    }

    #[inline(never)]
    fn unknown_field(field: &str, known: &'static [&'static str]) -> Self {
        unknown("field", field, known)
    }

    #[inline(never)]
    fn unknown_variant(variant: &str, known: &'static [&'static str]) -> Self {
        unknown("variant", variant, known)
    }
}

fn unknown(what: &str, name: &str, known: &[&str]) -> Fault {
    let expected = match known {
        [] => "there are none".to_owned(),
        [one] => format!("expected `{one}`"),
        many => format!("expected one of `{}`", many.join("`, `")),
    };
    Fault::new(String::new(), format!("unknown {what} `{name}`, {expected}"))
}

/// Reads data from a text.
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, Fault> {
    of_value(&parsed(text)?)
}

/// Makes data of what was read already.
pub fn of_value<T: DeserializeOwned>(value: &Value) -> Result<T, Fault> {
    T::deserialize(Node(value))
}

/// The value that data are written as.
pub fn value_of<T: Serialize>(data: &T) -> Result<Value, Fault> {
    let text = serde_json::to_string(data).map_err(Fault::custom)?;
    parsed(&text)
}

/// A JSON text over many lines, two spaces for each step inwards, as the library would write it so. Nothing else in
/// the text changes.
pub fn indented(text: &str) -> String {
    let mut out = String::with_capacity(text.len() * 2);
    let (mut depth, mut quoted, mut escaped) = (0, false, false);
    let mut before = ' ';
    for sign in text.chars() {
        if quoted {
            quoted = escaped || sign != '"';
            escaped = !escaped && sign == '\\';
            out.push(sign);
            before = sign;
            continue;
        }
        if sign.is_ascii_whitespace() {
            continue;
        }
        let closes = matches!(sign, ']' | '}');
        if closes {
            depth -= 1;
        }
        let opened = matches!(before, '[' | '{');
        if opened != closes || before == ',' {
            out.push('\n');
            out.extend(std::iter::repeat_n("  ", depth));
        }
        out.push(sign);
        match sign {
            '[' | '{' => depth += 1,
            ':' => out.push(' '),
            '"' => quoted = true,
            _ => {}
        }
        before = sign;
    }
    out
}

fn parsed(text: &str) -> Result<Value, Fault> {
    serde_json::from_str(text)
        .map_err(|error| Fault::new(format!("line {}", error.line()), error.to_string()))
}

/// A value to be read.
#[derive(Clone, Copy)]
struct Node<'de>(&'de Value);

/// Says that another kind of value was wanted.
#[inline(never)]
fn wrong(value: &Value, expected: &dyn Expected) -> Fault {
    let found = match value {
        Value::Null => Unexpected::Unit,
        Value::Bool(holds) => Unexpected::Bool(*holds),
        Value::Number(number) => unexpected(number),
        Value::String(text) => Unexpected::Str(text),
        Value::Array(_) => Unexpected::Seq,
        Value::Object(_) => Unexpected::Map,
    };
    Fault::invalid_type(found, expected)
}

fn unexpected(number: &Number) -> Unexpected<'static> {
    if let Some(whole) = number.as_u64() {
        Unexpected::Unsigned(whole)
    } else if let Some(whole) = number.as_i64() {
        Unexpected::Signed(whole)
    } else {
        Unexpected::Float(number.as_f64().unwrap_or_default())
    }
}

fn visit_number<'de, V: Visitor<'de>>(value: &Value, visitor: V) -> Result<V::Value, Fault> {
    let Value::Number(number) = value else { return Err(wrong(value, &visitor)) };
    match unexpected(number) {
        Unexpected::Unsigned(whole) => visitor.visit_u64(whole),
        Unexpected::Signed(whole) => visitor.visit_i64(whole),
        _ => visitor.visit_f64(number.as_f64().unwrap_or_default()),
    }
}

fn visit_list<'de, V: Visitor<'de>>(list: &'de [Value], visitor: V) -> Result<V::Value, Fault> {
    let mut items = Items { rest: list.iter(), next: 0 };
    let made = visitor.visit_seq(&mut items)?;
    if items.rest.len() == 0 {
        Ok(made)
    } else {
        Err(Fault::invalid_length(list.len(), &"fewer elements in array"))
    }
}

fn visit_object<'de, V: Visitor<'de>>(
    map: &'de Map<String, Value>,
    visitor: V,
) -> Result<V::Value, Fault> {
    visitor.visit_map(Entries { rest: map.iter(), now: None })
}

macro_rules! numbers {
    ($($name:ident)*) => {$(
        fn $name<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
            visit_number(self.0, visitor)
        }
    )*};
}

macro_rules! texts {
    ($($name:ident)*) => {$(
        fn $name<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
            match self.0 {
                Value::String(text) => visitor.visit_str(text),
                other => Err(wrong(other, &visitor)),
            }
        }
    )*};
}

impl<'de> Deserializer<'de> for Node<'de> {
    type Error = Fault;

    numbers! {
        deserialize_i8 deserialize_i16 deserialize_i32 deserialize_i64 deserialize_i128
        deserialize_u8 deserialize_u16 deserialize_u32 deserialize_u64 deserialize_u128
        deserialize_f32 deserialize_f64
    }

    texts! { deserialize_char deserialize_str deserialize_string deserialize_identifier }

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Null => visitor.visit_unit(),
            Value::Bool(holds) => visitor.visit_bool(*holds),
            Value::Number(_) => visit_number(self.0, visitor),
            Value::String(text) => visitor.visit_str(text),
            Value::Array(list) => visit_list(list, visitor),
            Value::Object(map) => visit_object(map, visitor),
        }
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Bool(holds) => visitor.visit_bool(*holds),
            other => Err(wrong(other, &visitor)),
        }
    }

    fn deserialize_bytes<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        Err(wrong(self.0, &visitor))
    }

    fn deserialize_byte_buf<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        Err(wrong(self.0, &visitor))
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Null => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_unit<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Null => visitor.visit_unit(),
            other => Err(wrong(other, &visitor)),
        }
    }

    fn deserialize_unit_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.deserialize_unit(visitor)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Array(list) => visit_list(list, visitor),
            other => Err(wrong(other, &visitor)),
        }
    }

    fn deserialize_tuple<V: Visitor<'de>>(
        self,
        _count: usize,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.deserialize_seq(visitor)
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _count: usize,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.deserialize_seq(visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Object(map) => visit_object(map, visitor),
            other => Err(wrong(other, &visitor)),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.deserialize_map(visitor)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        visitor.visit_enum(Variant::of(self.0)?)
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_unit()
    }
}

/// A list being read.
struct Items<'de> {
    rest: std::slice::Iter<'de, Value>,
    next: usize,
}

impl<'de> SeqAccess<'de> for Items<'de> {
    type Error = Fault;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Fault> {
        let Some(value) = self.rest.next() else { return Ok(None) };
        let index = self.next;
        self.next += 1;
        match seed.deserialize(Node(value)) {
            Ok(made) => Ok(Some(made)),
            Err(fault) => Err(fault.in_item(index)),
        }
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.rest.len())
    }
}

/// An object being read, and the entry of which the name was read last.
struct Entries<'de> {
    rest: serde_json::map::Iter<'de>,
    now: Option<(&'de str, &'de Value)>,
}

impl<'de> MapAccess<'de> for Entries<'de> {
    type Error = Fault;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Fault> {
        let Some((name, value)) = self.rest.next() else { return Ok(None) };
        self.now = Some((name, value));
        seed.deserialize(Name(name)).map(Some)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Fault> {
        let Some((name, value)) = self.now.take() else { return Err(Fault::custom("no value")) };
        match seed.deserialize(Node(value)) {
            Ok(made) => Ok(made),
            Err(fault) => Err(fault.in_field(name)),
        }
    }
}

/// The name of an entry; where numbers are wanted as names, the number that it says.
#[derive(Clone, Copy)]
struct Name<'de>(&'de str);

macro_rules! named_numbers {
    ($($name:ident)*) => {$(
        fn $name<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
            if let Ok(whole) = self.0.parse::<u64>() {
                visitor.visit_u64(whole)
            } else if let Ok(whole) = self.0.parse::<i64>() {
                visitor.visit_i64(whole)
            } else {
                Err(Fault::invalid_type(Unexpected::Str(self.0), &visitor))
            }
        }
    )*};
}

impl<'de> Deserializer<'de> for Name<'de> {
    type Error = Fault;

    named_numbers! {
        deserialize_i8 deserialize_i16 deserialize_i32 deserialize_i64
        deserialize_u8 deserialize_u16 deserialize_u32 deserialize_u64
    }

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_str(self.0)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_some(self)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        visitor.visit_enum(Variant { name: self.0, value: None })
    }

    serde::forward_to_deserialize_any! {
        bool i128 u128 f32 f64 char str string bytes byte_buf unit unit_struct seq tuple tuple_struct map struct
        identifier ignored_any
    }
}

/// One of several kinds of data: its name alone, or with what belongs to it.
#[derive(Clone, Copy)]
struct Variant<'de> {
    name: &'de str,
    value: Option<&'de Value>,
}

impl<'de> Variant<'de> {
    fn of(value: &'de Value) -> Result<Self, Fault> {
        match value {
            Value::String(name) => Ok(Self { name, value: None }),
            Value::Object(map) => {
                let mut entries = map.iter();
                match (entries.next(), entries.next()) {
                    (Some((name, value)), None) => Ok(Self { name, value: Some(value) }),
                    _ => Err(Fault::invalid_value(Unexpected::Map, &"map with a single key")),
                }
            }
            other => Err(wrong(other, &"string or map")),
        }
    }

    fn node(&self, wanted: &str) -> Result<Node<'de>, Fault> {
        let missing = || Fault::invalid_type(Unexpected::UnitVariant, &wanted);
        self.value.map(Node).ok_or_else(missing)
    }
}

impl<'de> EnumAccess<'de> for Variant<'de> {
    type Error = Fault;
    type Variant = Self;

    fn variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<(S::Value, Self), Fault> {
        Ok((seed.deserialize(Name(self.name))?, self))
    }
}

impl<'de> VariantAccess<'de> for Variant<'de> {
    type Error = Fault;

    fn unit_variant(self) -> Result<(), Fault> {
        match self.value {
            None | Some(Value::Null) => Ok(()),
            Some(other) => Err(wrong(other, &"unit variant").in_field(self.name)),
        }
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, Fault> {
        match seed.deserialize(self.node("newtype variant")?) {
            Ok(made) => Ok(made),
            Err(fault) => Err(fault.in_field(self.name)),
        }
    }

    fn tuple_variant<V: Visitor<'de>>(self, _count: usize, visitor: V) -> Result<V::Value, Fault> {
        self.node("tuple variant")?.deserialize_seq(visitor)
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.node("struct variant")?.deserialize_map(visitor)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use serde::{Deserialize, Serialize};

    use super::*;

    #[derive(Debug, PartialEq, Serialize, Deserialize, PartialOrd, Eq, Ord, Clone, Copy)]
    #[serde(rename_all = "snake_case")]
    enum Place {
        Fridge,
        Rack,
    }

    #[derive(Debug, PartialEq, Serialize, Deserialize)]
    #[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
    enum Tagged {
        Rest { minutes: u32, at: Option<Place> },
        Work { hands: (i32, i32) },
    }

    #[derive(Debug, PartialEq, Serialize, Deserialize, PartialOrd, Eq, Ord)]
    struct Number(u32);

    #[derive(Debug, PartialEq, Serialize, Deserialize)]
    enum Plain {
        Nothing,
        One(i64),
        Two(i8, String),
        Named { truth: bool },
    }

    #[derive(Debug, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Everything {
        steps: Vec<Tagged>,
        plain: Vec<Plain>,
        by_number: BTreeMap<Number, f64>,
        by_place: BTreeMap<Place, Option<u64>>,
        #[serde(default)]
        missing: Vec<u8>,
    }

    fn everything() -> Everything {
        Everything {
            steps: vec![
                Tagged::Rest { minutes: 30, at: Some(Place::Rack) },
                Tagged::Rest { minutes: 0, at: None },
                Tagged::Work { hands: (-3, i32::MAX) },
            ],
            plain: vec![
                Plain::Nothing,
                Plain::One(i64::MIN),
                Plain::Two(-128, "“ö\n".to_owned()),
                Plain::Named { truth: true },
            ],
            by_number: [(Number(7), 0.25), (Number(11), -1e9)].into(),
            by_place: [(Place::Fridge, None), (Place::Rack, Some(u64::MAX))].into(),
            missing: Vec::new(),
        }
    }

    #[test]
    fn what_was_written_is_read_again_as_the_library_reads_it() {
        let text = serde_json::to_string(&everything()).expect("plain data");
        assert_eq!(read::<Everything>(&text), Ok(everything()));
        assert_eq!(serde_json::from_str::<Everything>(&text).expect("its own"), everything());
    }

    #[test]
    fn a_text_is_indented_as_the_library_does_it() {
        let tricky = r#"{"a":[],"b":{},"c":[[],[1,[2]]],"d":"[{\\\",: }","e":[{"f":null}]}"#;
        for text in [serde_json::to_string(&everything()).expect("plain data"), tricky.to_owned()] {
            let value: Value = serde_json::from_str(&text).expect("JSON");
            let expected = serde_json::to_string_pretty(&value).expect("plain data");
            let compact = serde_json::to_string(&value).expect("plain data");
            assert_eq!(indented(&compact), expected);
            assert_eq!(indented(&expected), expected, "and again");
        }
    }

    #[test]
    fn a_fault_says_where_and_what() {
        let good = serde_json::to_string(&everything()).expect("plain data");
        let cases = [
            (
                ("\"minutes\":30", "\"minutes\":-1"),
                "steps[0]",
                "invalid value: integer `-1`, expected u32",
            ),
            (
                ("\"rack\"},", "\"roof\"},"),
                "steps[0]",
                "unknown variant `roof`, expected one of `fridge`, `rack`",
            ),
            (
                ("\"hands\":[-3,2147483647]", "\"hands\":[1]"),
                "steps[2]",
                "invalid length 1, expected a tuple of size 2",
            ),
            (
                ("{\"One\":-9223372036854775808}", "{\"One\":\"x\"}"),
                "plain[1].One",
                "invalid type: string \"x\", expected i64",
            ),
            (
                ("\"truth\":true", "\"truth\":null"),
                "plain[3].truth",
                "invalid type: null, expected a boolean",
            ),
            (("\"7\":0.25", "\"7\":[]"), "by_number.7", "invalid type: sequence, expected f64"),
            (
                ("\"missing\":[]", "\"mising\":[]"),
                "",
                "unknown field `mising`, expected one of `steps`, `plain`, `by_number`, `by_place`, `missing`",
            ),
        ];
        for ((from, to), place, message) in cases {
            assert!(good.contains(from), "{from}");
            let fault = read::<Everything>(&good.replacen(from, to, 1)).expect_err(to);
            assert_eq!((fault.place(), fault.message()), (place, message), "{to}");
        }
        let fault = read::<Everything>("{\n\"steps\": [\n,").expect_err("no JSON");
        assert_eq!(fault.place(), "line 3");
        assert!(read::<(u8, u8)>("[1,2,3]").is_err(), "one too many");
        assert!(read::<Everything>("[[],[],{},{},[]]").is_err(), "by position");
    }
}
