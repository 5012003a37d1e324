//! A card of one's own beside the built-in one: safety limits may be tightened, never loosened.

use super::{Card, CardError, CardLimit, CardRest, RestMode, builtin};
use crate::card::differences::minutes;
use crate::keeping::Profile;
use crate::kitchen::Place;

fn shorten(greatest: &mut u32, source: &mut String, own: Option<u32>) {
    if let Some(own) = own.filter(|own| own < greatest) {
        *source = format!(
            "your own rule, {}; without it {}: {source}",
            minutes(own.into()),
            minutes((*greatest).into())
        );
        *greatest = own;
    }
}

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
        for (index, mode) in modes.iter().enumerate() {
            if let Some(before) = held_to(mode, originals) {
                let limit = before.greatest.unwrap_or(0);
                if !mode.safety || mode.greatest.is_none_or(|greatest| limit < greatest) {
                    let place = format!("{place}[{index}].greatest");
                    return Err(self.looser(&place, &mode.name, limit, &before.source));
                }
            }
            if let Some((most, before)) = tail_held_to(originals)
                && warm_tail(mode).is_some_and(|minutes| most < minutes)
            {
                let place = format!("{place}[{index}].tail.minutes");
                let source =
                    format!("FSIS: not more than 2 hours out of the fridge; {}", before.source);
                return Err(self.looser(&place, &mode.name, most, &source));
            }
        }
        Ok(())
    }

    /// The card with every limit that it had lost or loosened against the built-in ones back in force: for cards that
    /// were kept before a rule became stricter. What obeys already stays as it is.
    #[must_use]
    pub fn obeying_built_in(mut self) -> Self {
        let all = builtin();
        let own = (self.id.clone(), self.copied_from.clone());
        let like = |original: &&Self| original.id == own.0 || own.1.as_ref() == Some(&original.id);
        for original in all.iter().filter(like) {
            if self.is_as_safe_as(original).is_err() {
                self.obey(original);
            }
        }
        self
    }

    /// The card by a baker's own rules, where they are stricter than her region's: no safety limit in the fridge or
    /// across steps is longer than her days, none in the room longer than her minutes out of the fridge.
    #[must_use]
    pub fn under(mut self, profile: &Profile) -> Self {
        let days = profile.own_days_minutes();
        let out = profile.own_out_minutes();
        let rests = self.rests.iter_mut().flat_map(|rest| &mut rest.modes);
        for mode in rests.chain(&mut self.keeps).filter(|mode| mode.safety) {
            let place = mode.stay.as_ref().map(|stay| stay.place);
            let own = match place {
                Some(Place::Fridge) => days,
                Some(Place::Freezer) => None,
                Some(Place::Rack | Place::Counter | Place::RoomShelf) | None => out,
            };
            if let Some(greatest) = &mut mode.greatest {
                shorten(greatest, &mut mode.source, own);
            }
        }
        for limit in self.limits.iter_mut().filter(|limit| limit.safety) {
            shorten(&mut limit.greatest, &mut limit.source, days);
        }
        self
    }

    fn obey(&mut self, original: &Self) {
        self.keeps.iter_mut().for_each(|mode| tighten(mode, &original.keeps));
        for before in original.rests.iter().filter(|before| before.modes.iter().any(is_safe)) {
            if self.still_limits(before).is_ok() {
                continue;
            }
            let begins = self.steps.iter().any(|step| step.id == before.from);
            let meant = |rest: &CardRest| {
                if begins { rest.from == before.from } else { rest.id == before.id }
            };
            for rest in self.rests.iter_mut().filter(|rest| meant(rest)) {
                if rest.when != before.when {
                    rest.when = None;
                }
                rest.modes.iter_mut().for_each(|mode| tighten(mode, &before.modes));
            }
            // What cannot be waited for within the limit rests as it did.
            if self.validate().is_err() {
                for rest in self.rests.iter_mut().filter(|rest| meant(rest)) {
                    rest.modes.clone_from(&before.modes);
                }
            }
            if self.still_limits(before).is_err() {
                self.bring_back(before);
            }
        }
        for before in original.limits.iter().filter(|before| before.safety) {
            match self.limits.iter_mut().find(|limit| limit.id == before.id) {
                Some(limit) if covers(limit, before) => {}
                Some(limit) => limit.clone_from(before),
                None => self.limits.push(before.clone()),
            }
        }
    }

    /// Puts a rest that is gone back, up to the step that it led to or else the last one.
    fn bring_back(&mut self, before: &CardRest) {
        let Some(last) = self.steps.last().map(|step| step.id.clone()) else { return };
        if last == before.from {
            self.keeps.iter_mut().for_each(|mode| tighten(mode, &before.modes));
            return;
        }
        let there = self.steps.iter().any(|step| step.id == before.to);
        let to = if there { before.to.clone() } else { last };
        self.rests.retain(|rest| rest.id != before.id);
        self.rests.push(CardRest { to, ..before.clone() });
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

/// The limit of the originals that a way to rest is held to: the longest where it stands in the same place, the
/// shortest of all where none of them stood there.
fn held_to<'a>(mode: &RestMode, originals: &'a [RestMode]) -> Option<&'a RestMode> {
    let limits = || originals.iter().filter(|before| is_safe(before));
    let same = |before: &&RestMode| place_of(before) == place_of(mode);
    match limits().filter(same).max_by_key(|before| before.greatest) {
        Some(before) => Some(before),
        None if originals.iter().any(|before| same(&before)) => None,
        None if place_of(mode) == Some(Place::Freezer) => None,
        None => limits().min_by_key(|before| before.greatest),
    }
}

/// Most minutes at a rest's end out of the cold; none where nothing is limited.
fn tail_held_to(originals: &[RestMode]) -> Option<(u32, &RestMode)> {
    let first = originals.iter().find(|before| is_safe(before))?;
    let most = originals.iter().filter_map(warm_tail).fold(OUT_OF_FRIDGE, u32::max);
    Some((most, first))
}

/// Makes a way to rest obey.
fn tighten(mode: &mut RestMode, originals: &[RestMode]) {
    if let Some(before) = held_to(mode, originals) {
        let limit = before.greatest.unwrap_or(0);
        if !mode.safety || mode.greatest.is_none_or(|greatest| limit < greatest) {
            mode.greatest = Some(mode.greatest.map_or(limit, |greatest| greatest.min(limit)));
            (mode.safety, mode.source) = (true, before.source.clone());
        }
    }
    if let Some((most, _)) = tail_held_to(originals)
        && warm_tail(mode).is_some_and(|minutes| most < minutes)
        && let Some(tail) = &mut mode.tail
    {
        tail.minutes = most;
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
