//! The app: a thin shell of Leptos parts around the domain.

/// Starts the app, or the planner when this runs in a worker.
pub(crate) fn start() {}
