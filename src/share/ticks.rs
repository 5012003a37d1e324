//! What a helper ticked, as one short text that stays on the helper's device.
//!
//! `Ab3-_x=0.3.17;Kd93kd=1`: of each week, newest last, the start of its link and the numbers of its entries.

/// So many weeks are remembered.
const WEEKS_MAX: usize = 12;

/// The name under which a week's ticks are kept: what of its link follows from all that is in it.
pub fn tick_key(fragment: &str) -> &str {
    fragment.get(3..9).unwrap_or(fragment)
}

/// The ticked entries of a week in a kept text; none when the text is no such text.
pub fn ticked(text: &str, key: &str) -> Vec<usize> {
    let own =
        text.split(';').filter_map(|week| week.split_once('=')).find(|(name, _)| *name == key);
    own.map_or_else(Vec::new, |(_, numbers)| {
        numbers.split('.').filter_map(|number| number.parse().ok()).collect()
    })
}

/// The text with this week's ticks as they are now. The oldest weeks are forgotten.
pub fn with_ticks(text: &str, key: &str, ticks: &[usize]) -> String {
    let others =
        text.split(';').filter(|week| week.split_once('=').is_some_and(|(name, _)| name != key));
    let mut weeks: Vec<String> = others.map(str::to_owned).collect();
    if !ticks.is_empty() {
        let numbers: Vec<String> = ticks.iter().map(usize::to_string).collect();
        weeks.push(format!("{key}={}", numbers.join(".")));
    }
    let from = weeks.len().saturating_sub(WEEKS_MAX);
    weeks.split_off(from).join(";")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_of_each_week_are_kept_and_the_oldest_forgotten() {
        let mut text = String::new();
        for week in 0..20 {
            text = with_ticks(&text, &format!("week{week:02}"), &[week, week + 7]);
        }
        assert_eq!(ticked(&text, "week19"), [19, 26]);
        assert_eq!(ticked(&text, "week08"), [8, 15]);
        assert_eq!(ticked(&text, "week07"), [] as [usize; 0], "thirteen weeks ago");
        text = with_ticks(&text, "week12", &[1]);
        assert_eq!(ticked(&text, "week12"), [1]);
        text = with_ticks(&text, "week12", &[]);
        assert_eq!(ticked(&text, "week12"), [] as [usize; 0]);
        assert_eq!(ticked(&text, "week13"), [13, 20]);
    }

    #[test]
    fn a_text_that_is_something_else_holds_no_ticks() {
        for text in ["", ";", "=", "a=b.c", "{\"a\":1}", "week=", "=1;=2"] {
            assert_eq!(ticked(text, "week"), [] as [usize; 0], "{text}");
            assert_eq!(ticked(&with_ticks(text, "week", &[3]), "week"), [3], "{text}");
        }
        assert_eq!(tick_key("w1.Ab3-_xYZ"), "Ab3-_x");
        assert_eq!(tick_key("w1"), "w1");
    }
}
