//! From what the store holds to the book, without ever throwing anything away.

use super::{Book, Record, Unreadable};

/// The book as the store has it, and what of the store it could not take.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Loaded {
    /// All that could be read.
    pub book: Book,
    /// What could not. The shell moves these texts out of the records' way, keeps them, and says so.
    pub set_aside: Vec<SetAside>,
    /// What a newer build wrote. While there is any, the shell must not write: this build would
    /// overwrite what it does not understand.
    pub newer: Vec<Newer>,
}

/// A text that is no record, kept for somebody who can read it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetAside {
    /// Under which key it was stored.
    pub key: String,
    /// As it was.
    pub text: String,
    /// What is wrong with it.
    pub why: String,
}

/// A record that a newer build wrote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Newer {
    /// Under which key it is stored.
    pub key: String,
    /// Its schema, or 0 when its very kind is unknown here.
    pub schema: u32,
}

impl Loaded {
    /// Reads all stored texts with their keys, in any order.
    pub fn from_store(stored: impl IntoIterator<Item = (String, String)>) -> Self {
        let mut loaded = Self::default();
        for (key, text) in stored {
            match Record::from_json(&text) {
                Ok(record) if record.key().to_string() == key => loaded.book.put(record),
                Ok(record) => {
                    let why = format!("is stored as {key} and says that it is {}", record.key());
                    loaded.set_aside.push(SetAside { key, text, why });
                }
                Err(Unreadable::Newer { schema }) => loaded.newer.push(Newer { key, schema }),
                Err(Unreadable::Damaged(why)) => loaded.set_aside.push(SetAside { key, text, why }),
            }
        }
        loaded
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::book::tests::full_book;

    fn stored(book: &Book) -> Vec<(String, String)> {
        book.records().iter().map(|r| (r.key().to_string(), r.to_json())).collect()
    }

    #[test]
    fn what_was_stored_comes_back() {
        let book = full_book();
        let mut texts = stored(&book);
        texts.reverse();
        let loaded = Loaded::from_store(texts);
        assert_eq!(loaded, Loaded { book, ..Loaded::default() });
        assert_eq!(Loaded::from_store([]).book, Book::default());
    }

    #[test]
    fn what_cannot_be_read_is_kept_aside_with_its_text() {
        let book = full_book();
        let mut texts = stored(&book);
        let order = texts.iter().position(|(key, _)| key == "order/1").expect("is there");
        texts[order].1.truncate(40);
        let cut = texts[order].1.clone();
        texts.push((
            "order/9".into(),
            texts.iter().find(|t| t.0 == "order/2").expect("is there").1.clone(),
        ));
        texts.push(("rubbish".into(), "\u{0}".into()));
        let loaded = Loaded::from_store(texts);
        let keys: Vec<&str> = loaded.set_aside.iter().map(|aside| aside.key.as_str()).collect();
        assert_eq!(keys, ["order/1", "order/9", "rubbish"]);
        assert_eq!(loaded.set_aside[0].text, cut);
        assert!(loaded.set_aside[1].why.contains("says that it is order/2"));
        assert_eq!(loaded.book.orders.len(), book.orders.len() - 1);
        assert_eq!(loaded.book.kitchen, book.kitchen);
    }

    #[test]
    fn what_is_newer_is_its_own_outcome() {
        let mut texts = stored(&full_book());
        for (key, text) in &mut texts {
            if key == "kitchen/" {
                *text = text.replacen("\"schema\":5", "\"schema\":99", 1);
            }
        }
        let loaded = Loaded::from_store(texts);
        assert_eq!(loaded.newer, [Newer { key: "kitchen/".into(), schema: 99 }]);
        assert_eq!((loaded.set_aside, loaded.book.kitchen), (Vec::new(), None));
    }
}
