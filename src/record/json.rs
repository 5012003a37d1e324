//! JSON in which no name occurs twice.
//!
//! JSON readers commonly let the last of two equal names win. A record that is read so loses the first
//! one silently, so here it is an error.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};

/// Reads one JSON value. The error says what is wrong, with line and column.
pub(super) fn read_value(text: &str) -> Result<Value, serde_json::Error> {
    let mut deserializer = serde_json::Deserializer::from_str(text);
    let value = NoTwins.deserialize(&mut deserializer)?;
    deserializer.end()?;
    Ok(value)
}

struct NoTwins;

impl<'de> DeserializeSeed<'de> for NoTwins {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for NoTwins {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_string<E>(self, value: String) -> Result<Value, E> {
        Ok(Value::from(value))
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Value, A::Error> {
        let mut values = Vec::new();
        while let Some(value) = seq.next_element_seed(Self)? {
            values.push(value);
        }
        Ok(Value::Array(values))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Value, A::Error> {
        let mut map = Map::new();
        while let Some(name) = entries.next_key::<String>()? {
            if map.contains_key(&name) {
                return Err(A::Error::custom(format!("“{name}” is there twice; keep one of them")));
            }
            let value = entries.next_value_seed(Self)?;
            map.insert(name, value);
        }
        Ok(Value::Object(map))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_it_reads_is_what_the_common_reader_reads() {
        let text = r#"{"a":[1,-2,2.5,true,null,"x\u00e9"],"b":{"a":18446744073709551615}}"#;
        let common: Value = serde_json::from_str(text).expect("valid");
        assert_eq!(read_value(text).expect("valid"), common);
    }

    #[test]
    fn twins_depth_and_rubbish_are_errors() {
        let error = read_value("{\"a\":1,\n \"a\":2}").expect_err("twins").to_string();
        assert!(error.contains("“a” is there twice") && error.contains("line 2"), "{error}");
        for text in ["", "{", "[1,]", "{} {}", "nul", "{\"a\":1e999}"] {
            assert!(read_value(text).is_err(), "{text}");
        }
        let deep = "[".repeat(100_000);
        let error = read_value(&deep).expect_err("too deep").to_string();
        assert!(error.contains("recursion limit"), "{error}");
    }
}
