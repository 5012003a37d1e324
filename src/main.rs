//! Rackweek: the app in the browser, the command line elsewhere.

#[cfg(target_arch = "wasm32")]
mod app;
#[cfg(not(target_arch = "wasm32"))]
mod cli;

#[cfg(target_arch = "wasm32")]
fn main() {
    app::start();
}

#[cfg(not(target_arch = "wasm32"))]
fn main() -> std::process::ExitCode {
    cli::run(std::env::args().skip(1).collect())
}
