//! Reading and writing of whole files; `-` is the standard stream.

use std::io::{Read, Write};

use super::Fault;

/// The whole text of a file.
pub(crate) fn read(name: &str) -> Result<String, Fault> {
    if name == "-" {
        let mut text = String::new();
        return match std::io::stdin().read_to_string(&mut text) {
            Ok(_) => Ok(text),
            Err(error) => Err(Fault(format!("standard input: {error}"))),
        };
    }
    std::fs::read_to_string(name).map_err(|error| Fault(format!("{name}: {error}")))
}

/// Writes text and a line end.
pub(crate) fn write(name: &str, text: &str) -> Result<(), Fault> {
    let outcome = if name == "-" {
        let mut stream = std::io::stdout().lock();
        stream
            .write_all(text.as_bytes())
            .and_then(|()| stream.write_all(b"\n"))
            .and_then(|()| stream.flush())
    } else {
        std::fs::write(name, format!("{text}\n"))
    };
    outcome.map_err(|error| Fault(format!("{name}: {error}")))
}
