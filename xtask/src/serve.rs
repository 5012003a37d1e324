//! A server for the finished folder, on this machine alone.
//!
//! It answers as a plain static host does: files, types, 404. It adds the headers that a host should add:
//! the page's own content security policy, and a cache rule that never serves a stale build.

use std::{
    fs,
    path::{Component, Path, PathBuf},
    sync::Arc,
    thread,
};

use anyhow::{Context as _, Result, anyhow, ensure};
use tiny_http::{Header, Method, Request, Response, Server};

use crate::build;

/// Enough to let a browser's parallel requests through.
const WORKERS: usize = 4;

struct Site {
    folder: PathBuf,
    /// Begins and ends with `/`.
    under: String,
    headers: Vec<Header>,
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

    let server = Server::http(("127.0.0.1", port))
        .map_err(|problem| anyhow!("cannot listen on port {port}: {problem}; try --port 0"))?;
    let address = server.server_addr().to_ip().context("the server has no address")?;
    println!("Serving on http://localhost:{}{} (end with Ctrl+C)", address.port(), site.under);
    let server = Arc::new(server);
    let workers: Vec<_> = (0..WORKERS)
        .map(|_| {
            let (server, site) = (Arc::clone(&server), Arc::clone(&site));
            thread::spawn(move || {
                while let Ok(request) = server.recv() {
                    // A browser that hangs up in the middle is no fault of ours.
                    drop(answer(&site, request));
                }
            })
        })
        .collect();
    for worker in workers {
        worker.join().map_err(|_| anyhow!("the server stopped"))?;
    }
    Ok(())
}

/// The headers of every answer. The policy is read from the page, which carries it for hosts that cannot
/// set headers; only what a page cannot say of itself is added here.
fn headers(page: &str) -> Result<Vec<Header>> {
    let policy = policy_of(page).context("index.html states no Content-Security-Policy")?;
    ensure!(policy.contains("default-src"), "the page's policy lacks default-src");
    let policy = format!("{policy}; frame-ancestors 'none'");
    Ok(vec![
        header("Content-Security-Policy", &policy)?,
        header("Cache-Control", "no-cache")?,
        header("X-Content-Type-Options", "nosniff")?,
        header("Referrer-Policy", "no-referrer")?,
        header("Cross-Origin-Opener-Policy", "same-origin")?,
    ])
}

fn policy_of(page: &str) -> Option<&str> {
    let after = page.split("http-equiv=\"Content-Security-Policy\"").nth(1)?;
    after.split("content=\"").nth(1)?.split('"').next()
}

fn header(name: &str, value: &str) -> Result<Header> {
    let value = value.split_whitespace().collect::<Vec<_>>().join(" ");
    Header::from_bytes(name, value).map_err(|()| anyhow!("{name} is no valid header"))
}

fn answer(site: &Site, request: Request) -> Result<()> {
    let reading = matches!(request.method(), Method::Get | Method::Head);
    let path = request.url().split(['?', '#']).next().unwrap_or_default();
    let Some(file) = file_for(site, path).filter(|_| reading) else {
        let mut response = Response::from_string("There is nothing here").with_status_code(404);
        site.headers.iter().for_each(|header| response.add_header(header.clone()));
        request.respond(response)?;
        return Ok(());
    };
    let mut response = Response::from_data(fs::read(&file)?);
    response.add_header(header("Content-Type", content_type(&file))?);
    site.headers.iter().for_each(|header| response.add_header(header.clone()));
    request.respond(response)?;
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
        let policy = all.first().expect("the policy comes first").value.as_str();
        assert_eq!(policy, "default-src 'none'; script-src 'self'; frame-ancestors 'none'");
        assert!(headers("<p>").is_err());
    }

    #[test]
    fn only_files_inside_the_folder_are_served() {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
        let site = Site { folder, under: "/cake/".to_owned(), headers: Vec::new() };
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
