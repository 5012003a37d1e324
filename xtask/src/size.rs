//! What the finished folder costs to carry, against its budgets.

use std::{fs, io::Write as _};

use anyhow::{Result, bail};
use flate2::{Compression, write::GzEncoder};
use walkdir::WalkDir;

use crate::build;

/// A number of bytes that must not be exceeded, and the lower one that is worked towards. The ceilings stand some 2 %
/// above what was measured with everything that was ready; they are to be lowered whenever the app shrinks.
struct Budget {
    what: &'static str,
    most: usize,
    goal: usize,
}

/// The app alone, as it lies on disk: parsing and compiling cost by this number.
const APP_RAW: Budget = Budget { what: "app, raw", most: 4_900_000, goal: 900_000 };
/// The app alone, as a host sends it.
const APP_BROTLI: Budget = Budget { what: "app, brotli", most: 1_330_000, goal: 220_000 };
/// The whole folder, as a host sends it.
const ALL_BROTLI: Budget = Budget { what: "everything, brotli", most: 1_378_000, goal: 300_000 };

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
    let mut over = Vec::new();
    for (bytes, budget) in [(app.raw, APP_RAW), (app.brotli, APP_BROTLI), (all.brotli, ALL_BROTLI)]
    {
        let Budget { what, most, goal } = budget;
        println!("{what}: {bytes} bytes; at most {most}; the goal is {goal}");
        if bytes > most {
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
