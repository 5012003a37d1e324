//! Builds, serves and tests Rackweek.

fn main() {}
