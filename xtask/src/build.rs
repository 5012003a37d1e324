//! From sources to the finished folder `dist/`.
//!
//! `index.html` is the only description of what the page loads. Scripts, styles and the compiled app go
//! into one folder that bears the build's name, so that a page never mixes two builds; everything else of
//! `public/` keeps its place. The service worker gets the build's name and the exact list of files.

use std::{
    collections::BTreeMap,
    fmt, fs,
    path::{Path, PathBuf},
};

use anyhow::{Context as _, Result, bail, ensure};
use sha2::{Digest as _, Sha256};
use walkdir::WalkDir;

use crate::{command, machine};

/// How the app is compiled.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Profile {
    /// Quickly.
    Dev,
    /// Small, for use.
    Release,
}

impl Profile {
    /// The profile that the flag `--dev` asks for.
    pub(crate) fn chosen(dev: bool) -> Self {
        if dev { Self::Dev } else { Self::Release }
    }

    /// Cargo's name of the profile, and of its folder under `target/`.
    fn names(self) -> (&'static str, &'static str) {
        match self {
            Self::Dev => ("dev", "debug"),
            Self::Release => ("wasm", "wasm"),
        }
    }
}

/// What a build made.
pub(crate) struct Finished {
    /// Sixteen hexadecimal digits that change with any byte of the build.
    pub(crate) id: String,
    /// How many files the folder holds.
    pub(crate) files: usize,
}

impl fmt::Display for Finished {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Built {} in dist/: {} files", self.id, self.files)
    }
}

/// The folder that a build leaves behind.
pub(crate) fn finished_folder() -> PathBuf {
    command::root().join("dist")
}

/// Compiles the app and puts the finished folder together.
pub(crate) fn build(profile: Profile) -> Result<Finished> {
    machine::ensure_wasm_target()?;
    let (cargo_name, folder_name) = profile.names();
    command::run(&mut command::cargo(&[
        "build",
        "--bin=rackweek",
        "--target",
        machine::WASM,
        "--profile",
        cargo_name,
    ]))?;
    let root = command::root();
    let compiled = target_folder().join(machine::WASM).join(folder_name).join("rackweek.wasm");
    let bound = target_folder().join("bound");
    bind(&compiled, &bound, profile)?;
    assemble(&root, &bound, &finished_folder())
}

fn target_folder() -> PathBuf {
    let root = command::root();
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), |dir| root.join(dir))
}

/// Writes the script that joins the compiled app to the browser.
fn bind(compiled: &Path, bound: &Path, profile: Profile) -> Result<()> {
    if bound.exists() {
        fs::remove_dir_all(bound)?;
    }
    let mut arguments = vec![
        "wasm-bindgen".into(),
        compiled.as_os_str().to_owned(),
        "--target=web".into(),
        "--no-typescript".into(),
        "--out-name=rackweek".into(),
        "--out-dir".into(),
        bound.as_os_str().to_owned(),
    ];
    if profile == Profile::Release {
        arguments.push("--remove-name-section".into());
        arguments.push("--remove-producers-section".into());
    }
    wasm_bindgen_cli::wasm_bindgen::run_cli_with_args(arguments)
        .with_context(|| format!("cannot bind {}", compiled.display()))
}

/// Files by their path below a folder, with `/` between the parts.
type Files = BTreeMap<String, Vec<u8>>;

/// Puts the finished folder together from the repository at `root` and the compiled app in `bound`.
fn assemble(root: &Path, bound: &Path, dist: &Path) -> Result<Finished> {
    let mut inside = read_folder(bound, "")?;
    inside.extend(read_folder(&root.join("style"), "style/")?);
    let mut outside = Files::new();
    let mut worker = None;
    for (name, bytes) in read_folder(&root.join("public"), "")? {
        if name == "sw.js" {
            worker = Some(String::from_utf8(bytes).context("public/sw.js is not text")?);
        } else if is_script(&name) {
            inside.insert(name, bytes);
        } else {
            outside.insert(name, bytes);
        }
    }
    let worker = worker.context("public/sw.js is missing")?;
    let page = fs::read_to_string(root.join("index.html")).context("cannot read index.html")?;

    let id = build_id(&inside, &outside, &page, &worker);
    let page = stamp_page(&page, &id, &inside)?;
    outside.insert("index.html".to_owned(), page.into_bytes());
    for (name, bytes) in inside {
        outside.insert(format!("{id}/{name}"), bytes);
    }
    check_references(&outside)?;
    let worker = stamp_worker(&worker, &id, &outside)?;
    outside.insert("sw.js".to_owned(), worker.into_bytes());

    if dist.exists() {
        fs::remove_dir_all(dist)?;
    }
    for (name, bytes) in &outside {
        let file = dist.join(name);
        fs::create_dir_all(file.parent().unwrap_or(dist))?;
        fs::write(&file, bytes).with_context(|| format!("cannot write {}", file.display()))?;
    }
    Ok(Finished { id, files: outside.len() })
}

fn is_script(name: &str) -> bool {
    let end = Path::new(name).extension().unwrap_or_default();
    end.eq_ignore_ascii_case("js") || end.eq_ignore_ascii_case("mjs")
}

/// Reads every file below `folder`; a folder that is not there is empty.
fn read_folder(folder: &Path, prefix: &str) -> Result<Files> {
    let mut files = Files::new();
    if !folder.exists() {
        return Ok(files);
    }
    for entry in WalkDir::new(folder) {
        let entry = entry?;
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        if hidden || !entry.file_type().is_file() {
            continue;
        }
        let parts: Vec<_> = entry
            .path()
            .strip_prefix(folder)?
            .components()
            .map(|part| part.as_os_str().to_string_lossy().into_owned())
            .collect();
        files.insert(format!("{prefix}{}", parts.join("/")), fs::read(entry.path())?);
    }
    Ok(files)
}

/// The build's name: a digest of everything that goes into the folder.
fn build_id(inside: &Files, outside: &Files, page: &str, worker: &str) -> String {
    let mut digest = Sha256::new();
    let texts = [("index.html", page.as_bytes()), ("sw.js", worker.as_bytes())];
    let files = inside.iter().chain(outside).map(|(name, bytes)| (name.as_str(), bytes.as_slice()));
    for (name, bytes) in files.chain(texts) {
        // Lengths keep a byte from wandering between a name and its content unnoticed.
        digest.update((name.len() as u64).to_le_bytes());
        digest.update(name);
        digest.update((bytes.len() as u64).to_le_bytes());
        digest.update(bytes);
    }
    format!("{:x}", digest.finalize()).chars().take(16).collect()
}

/// Points the page at the build's folder.
fn stamp_page(page: &str, id: &str, inside: &Files) -> Result<String> {
    let mut stamped = page.replace("__BUILD_ID__", id);
    let mut pointed = 0;
    for name in inside.keys() {
        for written in [format!("=\"{name}\""), format!("=\"./{name}\"")] {
            pointed += stamped.matches(&written).count();
            stamped = stamped.replace(&written, &format!("=\"./{id}/{name}\""));
        }
    }
    ensure!(pointed > 0, "index.html loads nothing that was built; it should name start.js");
    Ok(stamped)
}

/// Refuses a page that names a file which the folder does not hold.
fn check_references(files: &Files) -> Result<()> {
    let page =
        files.get("index.html").map(|bytes| String::from_utf8_lossy(bytes)).unwrap_or_default();
    for attribute in ["src=\"", "href=\""] {
        for rest in page.split(attribute).skip(1) {
            let target = rest.split('"').next().unwrap_or_default();
            if target.starts_with('#') || target.starts_with("data:") {
                continue;
            }
            if target.contains("://") || target.starts_with('/') {
                bail!("index.html names `{target}`; it must be relative, for example `./start.js`");
            }
            let name = target.trim_start_matches("./");
            if !name.is_empty() && !files.contains_key(name) {
                bail!("index.html names `{target}`, which is not in the finished folder");
            }
        }
    }
    Ok(())
}

/// Writes the build's name and its exact file list into the service worker.
fn stamp_worker(worker: &str, id: &str, files: &Files) -> Result<String> {
    for mark in ["__BUILD_ID__", "__FILES__"] {
        ensure!(worker.contains(mark), "public/sw.js lacks the mark {mark}");
    }
    // The page itself is asked for by the folder's own address: some hosts redirect index.html away.
    let listed: Vec<&str> =
        files.keys().map(|name| if name == "index.html" { "./" } else { name.as_str() }).collect();
    Ok(worker
        .replace("__BUILD_ID__", id)
        .replace("__FILES__", &serde_json::to_string_pretty(&listed)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(names: &[(&str, &str)]) -> Files {
        names.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect()
    }

    #[test]
    fn a_page_is_pointed_at_the_folder_of_its_build() {
        let inside = files(&[("start.js", ""), ("style/base.css", "")]);
        let page = r#"<link href="style/base.css"><script src="./start.js">"#;
        let stamped = stamp_page(page, "abc", &inside).expect("both are there");
        assert_eq!(stamped, r#"<link href="./abc/style/base.css"><script src="./abc/start.js">"#);
    }

    #[test]
    fn a_page_that_loads_nothing_is_refused() {
        assert!(stamp_page("<p>", "abc", &files(&[("start.js", "")])).is_err());
    }

    #[test]
    fn a_name_without_a_file_is_refused_and_so_is_another_host() {
        for page in
            [r#"<a href="gone.css">"#, r#"<a href="/root.css">"#, r#"<a href="https://x.y/z">"#]
        {
            assert!(check_references(&files(&[("index.html", page)])).is_err(), "{page}");
        }
        let page = r##"<a href="#week"><link href="./icon.svg">"##;
        assert!(check_references(&files(&[("index.html", page), ("icon.svg", "")])).is_ok());
    }

    #[test]
    fn any_changed_byte_renames_the_build() {
        let one = build_id(&files(&[("a", "1")]), &files(&[("b", "2")]), "p", "w");
        assert_eq!(one.len(), 16);
        assert_ne!(one, build_id(&files(&[("a", "1")]), &files(&[("b", "3")]), "p", "w"));
        assert_ne!(one, build_id(&files(&[("a", "1")]), &files(&[("b", "2")]), "q", "w"));
        assert_ne!(one, build_id(&files(&[("a", "1")]), &files(&[("b", "2")]), "p", "v"));
        assert_ne!(one, build_id(&files(&[("a", "1b")]), &files(&[("", "2")]), "p", "w"));
    }

    #[test]
    fn the_worker_lists_every_file_and_the_page_by_its_folder() {
        let files = files(&[("index.html", ""), ("icon.svg", ""), ("abc/start.js", "")]);
        let stamped = stamp_worker("b='__BUILD_ID__';f=__FILES__;", "abc", &files).expect("marked");
        let list = stamped.trim_start_matches("b='abc';f=").trim_end_matches(';');
        let list: Vec<String> = serde_json::from_str(list).expect("a list");
        assert_eq!(list, ["abc/start.js", "icon.svg", "./"]);
        assert!(stamp_worker("f=__FILES__;", "abc", &files).is_err());
    }
}
