//! A server for the finished folder, on this machine alone.
//!
//! It answers as a plain static host does: files, types, 404. It adds the headers that a host should add:
//! the page's own content security policy, and a cache rule that never serves a stale build. One thread
//! and one answer for each connection: a pool of threads that keeps connections open was seen to leave
//! some of a browser's parallel requests unanswered on a busy machine.

use std::{
    fs,
    io::{BufRead as _, BufReader, Read as _, Write as _},
    net::{TcpListener, TcpStream},
    path::{Component, Path, PathBuf},
    sync::Arc,
    thread,
    time::Duration,
};

use anyhow::{Context as _, Result, ensure};

use crate::build;

/// The longest head of a request that is read, in bytes.
const HEAD_MAX: u64 = 16 * 1024;
/// How long a connection may stay silent; browsers open some in advance and never use them.
const SILENCE: Duration = Duration::from_mins(1);

struct Site {
    folder: PathBuf,
    /// Begins and ends with `/`.
    under: String,
    /// Lines that every answer carries.
    headers: String,
}

/// Builds, unless a folder is given, and serves until the program is ended.
pub(crate) fn run(dev: bool, port: u16, under: &str, folder: Option<PathBuf>) -> Result<()> {
    let folder = if let Some(folder) = folder {
        folder
    } else {
        println!("{}", build::build(build::Profile::chosen(dev))?);
        build::finished_folder()
    };
    let page = fs::read_to_string(folder.join("index.html"))
        .with_context(|| format!("{} holds no index.html", folder.display()))?;
    let under = format!("/{}/", under.trim_matches('/')).replace("//", "/");
    let site = Arc::new(Site { folder, under, headers: headers(&page)? });

    let listener = TcpListener::bind(("127.0.0.1", port))
        .with_context(|| format!("cannot listen on port {port}; try --port 0"))?;
    let port = listener.local_addr()?.port();
    println!("Serving on http://localhost:{port}{} (end with Ctrl+C)", site.under);
    for stream in listener.incoming() {
        let (stream, site) = (stream?, Arc::clone(&site));
        // A browser that hangs up in the middle is no fault of ours.
        thread::spawn(move || drop(answer(&site, &stream)));
    }
    Ok(())
}

/// The headers of every answer. The policy is read from the page, which carries it for hosts that cannot
/// set headers; only what a page cannot say of itself is added here.
fn headers(page: &str) -> Result<String> {
    let policy = policy_of(page).context("index.html states no Content-Security-Policy")?;
    ensure!(policy.contains("default-src"), "the page's policy lacks default-src");
    let policy = policy.split_whitespace().collect::<Vec<_>>().join(" ");
    let all = [
        format!("Content-Security-Policy: {policy}; frame-ancestors 'none'"),
        "Cache-Control: no-cache".to_owned(),
        "X-Content-Type-Options: nosniff".to_owned(),
        "Referrer-Policy: no-referrer".to_owned(),
        "Cross-Origin-Opener-Policy: same-origin".to_owned(),
    ];
    Ok(all.map(|line| line + "\r\n").concat())
}

fn policy_of(page: &str) -> Option<&str> {
    let after = page.split("http-equiv=\"Content-Security-Policy\"").nth(1)?;
    after.split("content=\"").nth(1)?.split('"').next()
}

fn answer(site: &Site, stream: &TcpStream) -> Result<()> {
    stream.set_read_timeout(Some(SILENCE))?;
    let mut head = BufReader::new(stream.take(HEAD_MAX));
    let mut first = String::new();
    head.read_line(&mut first)?;
    let mut line = String::new();
    while head.read_line(&mut line)? > 0 && !line.trim_end().is_empty() {
        line.clear();
    }
    let mut words = first.split_whitespace();
    let (method, address) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
    let path = address.split(['?', '#']).next().unwrap_or_default();
    let file = file_for(site, path).filter(|_| ["GET", "HEAD"].contains(&method));
    let (status, kind, body) = match file {
        Some(file) => ("200 OK", content_type(&file), fs::read(&file)?),
        None => ("404 Not Found", "text/plain; charset=utf-8", b"There is nothing here".to_vec()),
    };
    let mut writer = stream;
    write!(
        writer,
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\nConnection: close\r\n{}\r\n",
        body.len(),
        site.headers
    )?;
    if method != "HEAD" {
        writer.write_all(&body)?;
    }
    writer.flush()?;
    Ok(())
}

/// The file that a path means, if there is one and it lies inside the folder.
fn file_for(site: &Site, path: &str) -> Option<PathBuf> {
    let below = path.strip_prefix(&site.under)?;
    let below = if below.is_empty() { "index.html" } else { below };
    let plain = Path::new(below).components().all(|part| matches!(part, Component::Normal(_)));
    let file = site.folder.join(below);
    (plain && file.is_file()).then_some(file)
}

fn content_type(file: &Path) -> &'static str {
    match file.extension().and_then(|end| end.to_str()).unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/x-icon",
        "woff2" => "font/woff2",
        "txt" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_policy_of_the_page_becomes_a_header_and_forbids_framing() {
        let page = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none';\n  script-src 'self'\">";
        let all = headers(page).expect("a policy");
        let policy = all.lines().next().expect("the policy comes first");
        let expected = "default-src 'none'; script-src 'self'; frame-ancestors 'none'";
        assert_eq!(policy, format!("Content-Security-Policy: {expected}"));
        assert!(headers("<p>").is_err());
    }

    #[test]
    fn only_files_inside_the_folder_are_served() {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
        let site = Site { folder, under: "/cake/".to_owned(), headers: String::new() };
        assert!(file_for(&site, "/cake/src/main.rs").is_some());
        for path in [
            "/src/main.rs",
            "/cake/../Cargo.toml",
            "/cake//etc/hostname",
            "/cake/src",
            "/cake/gone",
        ] {
            assert!(file_for(&site, path).is_none(), "{path}");
        }
    }
}
