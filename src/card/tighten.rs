//! A card of one's own beside the built-in one: safety limits may be tightened, never loosened.

use super::{Card, CardError, CardLimit, CardRest, RestMode, builtin};

impl Card {
    /// Compares with the built-in card of the same id, and the one that it was copied from, if there is
    /// one: no safety limit of a rest, of the keeping, or across steps may be longer than there, or be gone.
    pub fn is_as_safe_as_built_in(&self) -> Result<(), CardError> {
        let is_like = |original: &&Self| {
            original.id == self.id || self.copied_from.as_ref() == Some(&original.id)
        };
        builtin().iter().filter(is_like).try_for_each(|original| self.is_as_safe_as(original))
    }

    /// The same against any card. Rests are compared by their id, or the steps that they lie between, and
    /// place; limits by their id.
    pub fn is_as_safe_as(&self, original: &Self) -> Result<(), CardError> {
        self.compare("keeps", &self.keeps, &original.keeps)?;
        for (index, rest) in self.rests.iter().enumerate() {
            let same = |before: &&CardRest| {
                before.id == rest.id || (before.from == rest.from && before.to == rest.to)
            };
            for before in original.rests.iter().filter(same) {
                self.compare(&format!("rests[{index}].modes"), &rest.modes, &before.modes)?;
            }
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

    fn compare(
        &self,
        place: &str,
        modes: &[RestMode],
        originals: &[RestMode],
    ) -> Result<(), CardError> {
        for (index, mode) in modes.iter().enumerate() {
            let longest = originals
                .iter()
                .filter(|before| before.safety && same_place(before, mode))
                .max_by_key(|before| before.greatest);
            let Some(before) = longest else { continue };
            let limit = before.greatest.unwrap_or(0);
            if !mode.safety || mode.greatest.is_none_or(|greatest| limit < greatest) {
                let place = format!("{place}[{index}].greatest");
                return Err(self.looser(&place, &mode.name, limit, &before.source));
            }
        }
        Ok(())
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

fn same_place(one: &RestMode, other: &RestMode) -> bool {
    one.stay.as_ref().map(|stay| stay.place) == other.stay.as_ref().map(|stay| stay.place)
}

/// Whether a limit binds at least what another binds, at least as tightly.
fn covers(limit: &CardLimit, before: &CardLimit) -> bool {
    let same_stretch = limit.from == before.from
        && limit.to == before.to
        && (limit.from_start || !before.from_start)
        && (limit.when.is_none() || limit.when == before.when);
    same_stretch && limit.safety && limit.greatest <= before.greatest
}
