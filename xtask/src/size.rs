//! What the finished folder costs to carry, against its budgets.

use std::{fs, io::Write as _};

use anyhow::{Result, bail};
use flate2::{Compression, write::GzEncoder};
use walkdir::WalkDir;

use crate::build;

/// The app alone, as it lies on disk: parsing and compiling cost by this number.
const APP_RAW: usize = 900_000;
/// The app alone, as a host sends it.
const APP_BROTLI: usize = 220_000;
/// The whole folder, as a host sends it.
const ALL_BROTLI: usize = 300_000;

#[derive(Default, Clone, Copy)]
struct Bytes {
    raw: usize,
    gzip: usize,
    brotli: usize,
}

/// Prints a table of bytes and refuses a folder over budget; gives one closing line.
pub(crate) fn report() -> Result<String> {
    let folder = build::finished_folder();
    let (mut all, mut app) = (Bytes::default(), Bytes::default());
    println!("{:>9} {:>9} {:>9}  file", "raw", "gzip", "brotli");
    for entry in WalkDir::new(&folder).sort_by_file_name() {
        let entry = entry?;
        if !entry.file_type().is_file() {
            continue;
        }
        let bytes = measure(&fs::read(entry.path())?)?;
        let name = entry.path().strip_prefix(&folder)?.display();
        println!("{:>9} {:>9} {:>9}  {name}", bytes.raw, bytes.gzip, bytes.brotli);
        all = add(all, bytes);
        if entry.path().extension().is_some_and(|end| end == "wasm") {
            app = add(app, bytes);
        }
    }
    println!("{:>9} {:>9} {:>9}  all", all.raw, all.gzip, all.brotli);
    let budgets = [
        ("app, raw", app.raw, APP_RAW),
        ("app, brotli", app.brotli, APP_BROTLI),
        ("everything, brotli", all.brotli, ALL_BROTLI),
    ];
    let mut over = Vec::new();
    for (what, bytes, budget) in budgets {
        let share = bytes * 100 / budget;
        println!("{what}: {bytes} of {budget} bytes ({share} %)");
        if bytes > budget {
            over.push(what);
        }
    }
    if !over.is_empty() {
        bail!("over budget: {}", over.join("; "));
    }
    Ok(format!(
        "app {} bytes raw, {} brotli; everything {} brotli",
        app.raw, app.brotli, all.brotli
    ))
}

fn add(a: Bytes, b: Bytes) -> Bytes {
    Bytes { raw: a.raw + b.raw, gzip: a.gzip + b.gzip, brotli: a.brotli + b.brotli }
}

fn measure(content: &[u8]) -> Result<Bytes> {
    let mut gzip = GzEncoder::new(Vec::new(), Compression::best());
    gzip.write_all(content)?;
    let mut brotli = Vec::new();
    let parameters = brotli::enc::BrotliEncoderParams { quality: 11, ..Default::default() };
    brotli::BrotliCompress(&mut &content[..], &mut brotli, &parameters)?;
    Ok(Bytes { raw: content.len(), gzip: gzip.finish()?.len(), brotli: brotli.len() })
}
