//! Arguments of a command: names first, then `--option value` in any order.

use super::Fault;

/// What was typed after the command.
pub(crate) struct Arguments {
    /// Files, `-` for the standard streams.
    pub(crate) files: Vec<String>,
    options: Vec<(String, String)>,
}

impl Arguments {
    /// Splits arguments into `least..=most` files and the allowed options, each of which takes a value.
    pub(crate) fn parse(
        args: &[String],
        usage: &str,
        files: usize,
        allowed: &[&str],
    ) -> Result<Self, Fault> {
        let mut found = Self { files: Vec::new(), options: Vec::new() };
        let mut args = args.iter();
        while let Some(arg) = args.next() {
            if allowed.contains(&arg.as_str()) {
                let value = args
                    .next()
                    .ok_or_else(|| Fault(format!("{arg} needs a value; usage: {usage}")))?;
                found.options.push((arg.clone(), value.clone()));
            } else if arg.len() > 1 && arg.starts_with('-') {
                return Err(Fault(format!("unknown option {arg:?}; usage: {usage}")));
            } else {
                found.files.push(arg.clone());
            }
        }
        if found.files.len() != files {
            return Err(Fault(format!(
                "{files} file(s) expected, {} given; usage: {usage}",
                found.files.len()
            )));
        }
        Ok(found)
    }

    /// The last value given for an option.
    pub(crate) fn option(&self, name: &str) -> Option<&str> {
        self.options
            .iter()
            .rev()
            .find(|(option, _)| option == name)
            .map(|(_, value)| value.as_str())
    }

    /// Where the result goes: the file after `-o`, or `-`.
    pub(crate) fn output(&self) -> &str {
        self.option("-o").unwrap_or("-")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(line: &str) -> Result<Arguments, String> {
        let args: Vec<String> = line.split_whitespace().map(str::to_owned).collect();
        Arguments::parse(&args, "plan FILE", 1, &["-o", "--seed"]).map_err(|fault| fault.0)
    }

    #[test]
    fn files_and_options_come_in_any_order() {
        let found = parse("-o out.json - --seed 4").unwrap_or_else(|line| panic!("{line}"));
        assert_eq!(found.files, ["-"]);
        assert_eq!(found.output(), "out.json");
        assert_eq!(found.option("--seed"), Some("4"));
    }

    #[test]
    fn mistakes_are_named() {
        assert!(parse("a.json --sead 4").is_err_and(|line| line.contains("--sead")));
        assert!(parse("a.json --seed").is_err_and(|line| line.contains("needs a value")));
        assert!(parse("").is_err_and(|line| line.contains("1 file(s) expected, 0 given")));
    }
}
