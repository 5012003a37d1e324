//! What the machine must have, and how it gets what is missing.
//!
//! Only on Debian and as root is anything installed; elsewhere the missing thing is named.

use std::{
    env, fs,
    path::{Path, PathBuf},
};

use anyhow::{Context as _, Result, bail};
use sha2::{Digest as _, Sha256};

use crate::command;

/// The target that the browser runs.
pub(crate) const WASM: &str = "wasm32-unknown-unknown";

/// Names under which a Chromium is found on the path.
const BROWSERS: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];

/// Where a program stands on the path.
pub(crate) fn find(name: &str) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    env::split_paths(&path).map(|folder| folder.join(name)).find(|file| file.is_file())
}

/// Adds the WebAssembly target when this toolchain lacks it.
pub(crate) fn ensure_wasm_target() -> Result<()> {
    let folder = command::output(&mut command::program(
        "rustc",
        &["--print", "target-libdir", "--target", WASM],
    ))?;
    if Path::new(folder.trim()).is_dir() {
        return Ok(());
    }
    command::run(&mut command::program("rustup", &["target", "add", WASM]))
        .context("the WebAssembly target is missing; add it with your own package of Rust")
}

/// Finds a browser and its driver, installing them where that is possible; gives the browser.
pub(crate) fn ensure_browser() -> Result<PathBuf> {
    let browser = || BROWSERS.iter().find_map(|name| find(name));
    if browser().is_none() || find("chromedriver").is_none() {
        install(&["chromium", "chromium-driver"])
            .context("the browser tests need Chromium and chromedriver on the path")?;
    }
    browser().context("no Chromium on the path")
}

/// Makes node and the locked packages of the end-to-end tests ready.
pub(crate) fn ensure_node_packages() -> Result<()> {
    if find("node").is_none() || find("npm").is_none() {
        install(&["nodejs", "npm"])
            .context("the end-to-end tests need node 20 or newer, and npm")?;
    }
    let folder = command::root().join("tests/e2e");
    let lock = fs::read(folder.join("package-lock.json")).context("tests/e2e has no lock file")?;
    let wanted = format!("{:x}", Sha256::digest(&lock));
    let stamp = folder.join("node_modules/.installed");
    if fs::read_to_string(&stamp).is_ok_and(|installed| installed == wanted) {
        return Ok(());
    }
    let mut install = command::program("npm", &["ci", "--no-audit", "--no-fund"]);
    command::run(install.current_dir(&folder))?;
    fs::write(stamp, wanted)?;
    Ok(())
}

fn install(packages: &[&str]) -> Result<()> {
    let names = packages.join(" ");
    let root =
        command::output(&mut command::program("id", &["-u"])).is_ok_and(|id| id.trim() == "0");
    if !root || !Path::new("/etc/debian_version").exists() {
        bail!("please install: {names} (on Debian: sudo apt-get install {names})");
    }
    command::run(&mut command::program("apt-get", &["-q", "update"]))?;
    let mut arguments = vec!["-q", "install", "--yes", "--no-install-recommends"];
    arguments.extend(packages);
    command::run(command::program("apt-get", &arguments).env("DEBIAN_FRONTEND", "noninteractive"))
}
