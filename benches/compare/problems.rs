//! Which problems are compared: arguments of the reference's generator, and what it makes of them.

use std::path::{Path, PathBuf};
use std::process::Command;

use rackweek::plan::Problem;

/// A problem and the file that both planners read.
pub(crate) struct Entry {
    pub(crate) file: PathBuf,
    pub(crate) problem: Problem,
}

/// Orders, weeks, seed and further arguments of one problem.
type Asked = (u32, u32, u32, &'static str);

/// Named by size. Chosen for size and kind alone, before either
/// planner had seen them: plain weeks, plans shown before, a helper, a small fridge.
const SETS: [(&str, &[Asked]); 4] = [
    (
        "small",
        &[
            (2, 1, 2, ""),
            (3, 1, 1, ""),
            (3, 1, 2, ""),
            (3, 1, 3, ""),
            (3, 1, 4, ""),
            (3, 1, 5, ""),
            (3, 1, 6, ""),
            (3, 2, 1, ""),
            (3, 2, 2, ""),
            (3, 2, 3, ""),
            (3, 2, 4, ""),
            (4, 1, 1, ""),
            (4, 1, 4, ""),
            (4, 2, 1, ""),
            (4, 2, 2, ""),
            (3, 3, 7, ""),
            (4, 1, 1, "--replan"),
            (4, 1, 4, "--replan"),
            (4, 1, 5, "--replan"),
            (3, 1, 4, "--replan"),
            (3, 2, 9, "--replan"),
            (3, 1, 2, "--helper"),
            (4, 2, 1, "--helper"),
            (3, 2, 8, "--fridge 9"),
        ],
    ),
    (
        "middle",
        &[
            (4, 1, 2, ""),
            (5, 2, 1, ""),
            (5, 2, 3, ""),
            (5, 2, 4, "--replan"),
            (6, 2, 1, ""),
            (6, 2, 2, "--replan"),
            (7, 2, 2, ""),
            (7, 2, 3, "--helper"),
            (8, 2, 2, ""),
            (8, 2, 3, "--fridge 16"),
        ],
    ),
    (
        "large",
        &[
            (9, 2, 3, ""),
            (9, 2, 1, ""),
            (10, 2, 1, ""),
            (10, 2, 2, "--replan"),
            (10, 2, 4, ""),
            (12, 3, 2, ""),
            (12, 3, 3, "--fridge 20"),
        ],
    ),
    (
        "huge",
        &[
            (14, 3, 1, ""),
            (14, 3, 2, ""),
            (14, 3, 4, "--helper"),
            (12, 2, 4, ""),
            (16, 3, 1, ""),
            (16, 3, 2, "--fridge 24"),
            (16, 3, 3, "--replan"),
            (18, 3, 1, ""),
        ],
    ),
];

/// Has the generator in `tools` make the named sets (all, if none is named) into `folder`.
pub(crate) fn generated(
    python: &str,
    tools: &Path,
    folder: &Path,
    names: &[String],
) -> Result<Vec<Entry>, String> {
    std::fs::create_dir_all(folder).map_err(|error| error.to_string())?;
    let mut entries = Vec::new();
    for (name, set) in SETS {
        if !names.is_empty() && !names.iter().any(|wanted| wanted == name) {
            continue;
        }
        for &(orders, weeks, seed, more) in set {
            let words = more.replace("--", "").replace(' ', "");
            let file = folder.join(format!("o{orders}_w{weeks}_s{seed}{words}.json"));
            if !file.exists() {
                let mut command = Command::new(python);
                command.arg(tools.join("generate_problems.py"));
                for (flag, number) in [("--orders", orders), ("--weeks", weeks), ("--seed", seed)] {
                    command.arg(flag).arg(number.to_string());
                }
                command.args(more.split_whitespace()).arg("-o").arg(&file);
                let made = command.output().map_err(|error| format!("{python}: {error}"))?;
                if !made.status.success() {
                    return Err(String::from_utf8_lossy(&made.stderr).into_owned());
                }
            }
            entries.push(read(&file)?);
        }
    }
    Ok(entries)
}

/// Reads one problem; it is called by its file's name.
pub(crate) fn read(file: &Path) -> Result<Entry, String> {
    let text =
        std::fs::read_to_string(file).map_err(|error| format!("{}: {error}", file.display()))?;
    let mut problem =
        Problem::from_json(&text).map_err(|error| format!("{}: {error}", file.display()))?;
    problem.name = file
        .file_stem()
        .map_or_else(|| problem.name.clone(), |stem| stem.to_string_lossy().into_owned());
    Ok(Entry { file: file.to_path_buf(), problem })
}

/// Every problem file of a folder, by name.
pub(crate) fn stored(folder: &Path) -> Result<Vec<Entry>, String> {
    let listed = std::fs::read_dir(folder).map_err(|error| error.to_string())?;
    let mut files: Vec<PathBuf> = listed
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|end| end == "json"))
        .collect();
    files.sort();
    files.iter().map(|file| read(file)).collect()
}
