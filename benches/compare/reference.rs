//! The outside solver's answers, through `reference.py`.

use std::path::{Path, PathBuf};
use std::process::Command;

use serde::Deserialize;

/// Where the outside solver is.
pub(crate) struct Reference {
    /// A Python that has OR-tools.
    pub(crate) python: String,
    /// Holds `solve_reference.py` and `generate_problems.py`.
    pub(crate) tools: PathBuf,
    /// Keeps answers.
    pub(crate) cache: PathBuf,
}

/// One run of it, times in processor seconds.
#[derive(Debug, Deserialize)]
pub(crate) struct Answer {
    /// Name and version.
    pub(crate) solver: String,
    /// Each improved objective and when.
    objectives: Vec<(f64, i64)>,
    /// Each bound and when.
    bounds: Vec<(f64, i64)>,
    /// How long it ran.
    pub(crate) seconds: f64,
    status: String,
}

impl Answer {
    /// The best objective at a moment.
    pub(crate) fn objective(&self, at: f64) -> Option<i64> {
        self.objectives.iter().filter(|(when, _)| *when <= at).map(|&(_, cost)| cost).min()
    }

    /// The best bound at a moment.
    pub(crate) fn bound(&self, at: f64) -> Option<i64> {
        self.bounds.iter().filter(|(when, _)| *when <= at).map(|&(_, bound)| bound).max()
    }

    /// The optimum, if proven by then.
    pub(crate) fn optimum(&self, by: f64) -> Option<i64> {
        (self.status == "OPTIMAL" && self.seconds <= by).then(|| self.objective(by)).flatten()
    }

    /// Proven to have no plan.
    pub(crate) fn infeasible(&self) -> bool {
        self.status == "INFEASIBLE"
    }
}

impl Reference {
    /// Asks for up to `seconds` of processor time, or finds what it said before.
    pub(crate) fn answer(&self, file: &Path, workers: u32, seconds: f64) -> Result<Answer, String> {
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/compare/reference.py");
        let output = Command::new(&self.python)
            .arg(script)
            .args([&self.tools, file, &self.cache].map(|path: &Path| path))
            .args([workers.to_string(), seconds.to_string()])
            .output()
            .map_err(|error| format!("{}: {error}", self.python))?;
        if !output.status.success() {
            return Err(String::from_utf8_lossy(&output.stderr).into_owned());
        }
        serde_json::from_slice(&output.stdout).map_err(|error| error.to_string())
    }
}
