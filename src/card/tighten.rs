//! A card of one's own beside the built-in one: safety limits may be tightened, never loosened.

use super::{Card, CardError, CardLimit, CardRest, RestMode, builtin};
use crate::kitchen::Place;

/// Longest at a rest's end out of the cold where the original has no such end, minutes (FSIS, "Danger Zone": not more
/// than 2 hours out of refrigeration).
const OUT_OF_FRIDGE: u32 = 120;

impl Card {
    /// Compares with the built-in card of the same id, and the one that it was copied from, if there is
    /// one: no safety limit of a rest, of the keeping, or across steps may be longer than there, or be gone.
    pub fn is_as_safe_as_built_in(&self) -> Result<(), CardError> {
        let is_like = |original: &&Self| {
            original.id == self.id || self.copied_from.as_ref() == Some(&original.id)
        };
        builtin().iter().filter(is_like).try_for_each(|original| self.is_as_safe_as(original))
    }

    /// The same against any card. What rests after a step is compared with what rests after it there; limits by
    /// their id. Where it goes elsewhere than there, the shortest of its limits holds, and freezing stops the clock.
    /// A limit may go only with the step that it begins at.
    pub fn is_as_safe_as(&self, original: &Self) -> Result<(), CardError> {
        self.compare("keeps", &self.keeps, &original.keeps)?;
        for before in original.rests.iter().filter(|before| before.modes.iter().any(is_safe)) {
            self.still_limits(before)?;
        }
        for before in original.limits.iter().filter(|before| before.safety) {
            let kept = self.limits.iter().enumerate().find(|(_, limit)| limit.id == before.id);
            let Some((index, limit)) = kept else {
                return Err(self.looser("limits", &before.what, before.greatest, &before.source));
            };
            if !covers(limit, before) {
                let place = format!("limits[{index}]");
                return Err(self.looser(&place, &before.what, before.greatest, &before.source));
            }
        }
        Ok(())
    }

    /// Whether what a rest limited is limited still, as long as the step that it begins at is there.
    fn still_limits(&self, before: &CardRest) -> Result<(), CardError> {
        let checked = |(index, rest): (usize, &CardRest)| {
            let place = format!("rests[{index}]");
            if rest.when.is_some() && rest.when != before.when {
                return Err(self.lost(&format!("{place}.when"), before));
            }
            self.compare(&format!("{place}.modes"), &rest.modes, &before.modes)
        };
        let all = || self.rests.iter().enumerate();
        if !self.steps.iter().any(|step| step.id == before.from) {
            return all().filter(|(_, rest)| rest.id == before.id).try_for_each(checked);
        }
        let mut between =
            all().filter(|(_, rest)| rest.from == before.from && rest.to == before.to).peekable();
        if between.peek().is_some() {
            return between.try_for_each(checked);
        }
        // It goes on to another step: then one of what follows has the limit.
        let mut after = all().filter(|(_, rest)| rest.from == before.from).peekable();
        if after.peek().is_none() {
            // After the last step it is kept.
            let last = self.steps.last().is_some_and(|step| step.id == before.from);
            let kept = self.compare("keeps", &self.keeps, &before.modes);
            return if last { kept } else { Err(self.lost("rests", before)) };
        }
        let answers: Vec<_> = after.map(checked).collect();
        match answers.into_iter().reduce(|one, other| if one.is_ok() { one } else { other }) {
            Some(Err(_)) => Err(self.lost("rests", before)),
            Some(Ok(())) | None => Ok(()),
        }
    }

    fn compare(
        &self,
        place: &str,
        modes: &[RestMode],
        originals: &[RestMode],
    ) -> Result<(), CardError> {
        let limits = || originals.iter().filter(|before| is_safe(before));
        for (index, mode) in modes.iter().enumerate() {
            let here = limits().filter(|before| place_of(before) == place_of(mode));
            let known = originals.iter().any(|before| place_of(before) == place_of(mode));
            let held = match here.max_by_key(|before| before.greatest) {
                Some(before) => Some(before),
                None if known || place_of(mode) == Some(Place::Freezer) => None,
                None => limits().min_by_key(|before| before.greatest),
            };
            if let Some(before) = held {
                let limit = before.greatest.unwrap_or(0);
                if !mode.safety || mode.greatest.is_none_or(|greatest| limit < greatest) {
                    let place = format!("{place}[{index}].greatest");
                    return Err(self.looser(&place, &mode.name, limit, &before.source));
                }
            }
            let Some(minutes) = warm_tail(mode) else { continue };
            let most = originals.iter().filter_map(warm_tail).chain([OUT_OF_FRIDGE]).max();
            if let Some(before) = limits().next()
                && let Some(most) = most.filter(|most| *most < minutes)
            {
                let place = format!("{place}[{index}].tail.minutes");
                let source =
                    format!("FSIS: not more than 2 hours out of the fridge; {}", before.source);
                return Err(self.looser(&place, &mode.name, most, &source));
            }
        }
        Ok(())
    }

    fn lost(&self, place: &str, before: &CardRest) -> CardError {
        let shortest = before.modes.iter().filter(|mode| is_safe(mode)).min_by_key(|m| m.greatest);
        let (limit, source) =
            shortest.map_or((0, ""), |mode| (mode.greatest.unwrap_or(0), mode.source.as_str()));
        CardError {
            card: self.id.clone(),
            place: place.to_owned(),
            message: format!(
                "“{}” has a safety limit of {limit} minutes after “{}” ({source}), which may be tightened \
                 but not loosened; keep a wait after that step with it, for example at most {limit}",
                before.what, before.from
            ),
        }
    }

    fn looser(&self, place: &str, what: &str, limit: u32, source: &str) -> CardError {
        CardError {
            card: self.id.clone(),
            place: place.to_owned(),
            message: format!(
                "“{what}” has a safety limit of {limit} minutes ({source}), which may be tightened \
                 but not loosened; give {limit} or fewer"
            ),
        }
    }
}

fn is_safe(mode: &RestMode) -> bool {
    mode.safety
}

fn place_of(mode: &RestMode) -> Option<Place> {
    mode.stay.as_ref().map(|stay| stay.place)
}

/// The minutes at a rest's end out of the cold, as given on the card; none where its size decides.
fn warm_tail(mode: &RestMode) -> Option<u32> {
    let tail = mode.tail.as_ref().filter(|tail| tail.heat.is_none())?;
    let place = tail.stay.as_ref().map(|stay| stay.place);
    (!matches!(place, Some(Place::Fridge | Place::Freezer))).then_some(tail.minutes)
}

/// Whether a limit binds at least what another binds, at least as tightly.
fn covers(limit: &CardLimit, before: &CardLimit) -> bool {
    let same_stretch = limit.from == before.from
        && limit.to == before.to
        && (limit.from_start || !before.from_start)
        && (limit.when.is_none() || limit.when == before.when);
    same_stretch && limit.safety && limit.greatest <= before.greatest
}
