//! One place, from change to change over the horizon.

use super::levels::{Tray, assign, too_many};
use super::room::{Floor, Kind, Pile, Rule, Turn};
use super::shelf::{Answers, Asked, Item, Shop};
use super::surfaces::{Surface, surfaces};
use super::verify::moved_between;
use super::{Fit, Moment, Standing, Stowed, Unfit};
use crate::calendar::{Elapsed, Horizon, Span};
use crate::kitchen::packing::Answer;
use crate::kitchen::{FootBox, Kitchen, Place, Stay};
use crate::plan::arrange::Arrange;

/// Ways to choose free room, one after the other until nothing is moved.
const WAYS: [(Rule, Turn); 8] = [
    (Rule::Front, Turn::Large),
    (Rule::Sides, Turn::Large),
    (Rule::Apart, Turn::Large),
    (Rule::Snug, Turn::Large),
    (Rule::Front, Turn::Long),
    (Rule::Sides, Turn::Long),
    (Rule::Apart, Turn::Long),
    (Rule::Snug, Turn::Long),
];

/// What is known of a place, whatever stands there.
#[derive(Debug, Clone, Default)]
pub(super) struct Memo {
    kinds: Vec<Kind>,
    /// The floors in each form that they were seen in.
    forms: Vec<Vec<Floor>>,
    pub(super) answers: Answers,
}

/// What is to stand in one place.
pub(super) struct Here {
    place: Place,
    /// Index and span of each stay, cut to the horizon.
    spans: Vec<(usize, Span)>,
    /// From change to change.
    moments: Vec<Span>,
    /// Which of the forms the floors have in each moment.
    form_at: Vec<usize>,
    /// The floors in each form that they take over time: the same ones in the same order.
    forms: Vec<Vec<Floor>>,
    kinds: Vec<Kind>,
    items: Vec<Item>,
    /// For each item the levels that take it; racks only.
    takes: Vec<Vec<bool>>,
}

impl Here {
    /// Learns kinds of boxes and forms of floors on the way.
    pub(super) fn of(
        kitchen: &Kitchen,
        place: Place,
        horizon: &Horizon,
        stays: &[Stay],
        memo: &mut Memo,
    ) -> Self {
        let whole = horizon.span();
        let of_place = stays.iter().enumerate().filter(|(_, stay)| stay.place == place);
        let spans: Vec<(usize, Span)> =
            of_place.filter_map(|(index, stay)| Some((index, stay.span.shared(whole)?))).collect();
        let mut changes: Vec<Elapsed> = spans
            .iter()
            .flat_map(|(_, span)| [span.start, span.end])
            .chain([whole.start, whole.end])
            .chain(clearings(kitchen, place, horizon))
            .collect();
        changes.arrange();
        changes.dedup();
        let moments: Vec<Span> = changes
            .windows(2)
            .filter_map(|pair| Some(Span::new(*pair.first()?, *pair.get(1)?)))
            .collect();
        let forms = &mut memo.forms;
        let mut form_at = Vec::new();
        for moment in &moments {
            let floors = floors(&surfaces(&kitchen.during(horizon, *moment), place));
            let known = forms.iter().position(|known| *known == floors);
            form_at.push(known.unwrap_or(forms.len()));
            if known.is_none() {
                forms.push(floors);
            }
        }
        let mut here = Self {
            place,
            spans,
            moments,
            form_at,
            forms: memo.forms.clone(),
            kinds: std::mem::take(&mut memo.kinds),
            items: Vec::new(),
            takes: Vec::new(),
        };
        for (stay, span) in here.spans.clone() {
            let Some(boxes) = stays.get(stay).map(|stay| &stay.boxes) else { continue };
            for (item, of) in boxes.iter().enumerate() {
                let kind = here.kind(of);
                for number in 0..of.count {
                    here.items.push(Item {
                        stay,
                        of: item,
                        number,
                        kind,
                        from: span.start,
                        until: span.end,
                    });
                }
            }
        }
        memo.kinds.clone_from(&here.kinds);
        if place == Place::Rack {
            let levels = kitchen.racks.iter().flat_map(|rack| (0..rack.levels).map(move |_| rack));
            let levels: Vec<_> = levels.collect();
            here.takes = here
                .items
                .iter()
                .map(|item| {
                    let of = stays.get(item.stay).and_then(|stay| stay.boxes.get(item.of));
                    let takes = |of: &FootBox| {
                        levels.iter().map(|rack| rack.takes(of.width, of.depth)).collect()
                    };
                    of.map_or_else(Vec::new, takes)
                })
                .collect();
        }
        here
    }

    /// The kind of a box; kinds of one name and different sizes differ.
    fn kind(&mut self, of: &FootBox) -> usize {
        let size = (u32::from(of.width), u32::from(of.depth), u32::from(of.height));
        let pile = u32::from(of.pile.max(1));
        let like = |kind: &Kind| {
            kind.name == of.kind
                && (kind.width, kind.depth, kind.height, kind.pile)
                    == (size.0, size.1, size.2, pile)
        };
        if let Some(index) = self.kinds.iter().position(like) {
            return index;
        }
        let name = of.kind.clone();
        let called = if self.kinds.iter().any(|kind| kind.name == name) {
            format!("{name} {}×{}×{}/{pile}", size.0, size.1, size.2)
        } else {
            name.clone()
        };
        let (width, depth, height) = size;
        self.kinds.push(Kind { name, called, width, depth, height, pile });
        self.kinds.len() - 1
    }

    /// Numbers of the items that stand during a moment.
    fn at(&self, moment: Span) -> Vec<usize> {
        let stands = |item: &Item| item.from <= moment.start && moment.start < item.until;
        (0..self.items.len()).filter(|&n| self.items.get(n).is_some_and(stands)).collect()
    }

    /// Where every box stands.
    pub(super) fn stow(&self, asked: &mut Asked<'_>) -> Stowed {
        if self.place == Place::Rack {
            return self.on_racks();
        }
        let mut best: Option<Stowed> = None;
        for way in WAYS {
            let stowed = self.on_shelves(way, asked);
            if best.as_ref().is_none_or(|best| worth(&stowed) < worth(best)) {
                best = Some(stowed);
            }
            if best.as_ref().is_some_and(|best| best.moves == 0) {
                break;
            }
        }
        let empty = Stowed { place: self.place, moments: Vec::new(), moves: 0, unfit: Vec::new() };
        let mut stowed = best.unwrap_or(empty);
        let over: Vec<(Span, usize)> = stowed
            .moments
            .iter()
            .zip(&self.form_at)
            .filter(|(moment, _)| moment.fits != Fit::Packed)
            .map(|(moment, form)| (moment.span, *form))
            .collect();
        stowed.unfit = self.smallest(&over, asked);
        stowed
    }

    /// What does not stand together.
    pub(super) fn unfit(&self, asked: &mut Asked<'_>) -> Vec<Unfit> {
        if self.place == Place::Rack {
            return self.on_racks().unfit;
        }
        let moments = self.moments.iter().copied().zip(self.form_at.iter().copied());
        let over: Vec<(Span, usize)> = moments
            .filter(|(moment, form)| {
                let counts = self.shop(*form).counts(&self.at(*moment));
                !matches!(self.shop(*form).fits(&counts, asked), Answer::Fits(_))
            })
            .collect();
        self.smallest(&over, asked)
    }

    /// The moments in which not all stand.
    pub(super) fn apart(&self, asked: &mut Asked<'_>) -> Vec<Span> {
        if self.place == Place::Rack {
            // Racks are never cleared.
            let fits = self.on_racks().unfit.is_empty();
            return if fits { Vec::new() } else { self.moments.clone() };
        }
        let moments = self.moments.iter().zip(&self.form_at);
        let over = moments.filter(|(moment, form)| {
            let counts = self.shop(**form).counts(&self.at(**moment));
            !matches!(self.shop(**form).fits(&counts, asked), Answer::Fits(_))
        });
        over.map(|(moment, _)| *moment).collect()
    }

    fn on_racks(&self) -> Stowed {
        let mut moments: Vec<Moment> = Vec::new();
        let levels = self.takes.first().map_or(0, Vec::len);
        let mut at: Vec<Option<usize>> = vec![None; self.items.len()];
        let mut unfit: Vec<Unfit> = Vec::new();
        for &span in &self.moments {
            let numbers = self.at(span);
            let tray = |&number: &usize| Tray {
                number,
                takes: self.takes.get(number).cloned().unwrap_or_default(),
                home: at.get(number).copied().flatten(),
            };
            let mut trays: Vec<Tray> = numbers.iter().map(tray).collect();
            trays.arrange_by_key(|tray| (tray.home.is_none(), tray.number));
            let found = assign(&trays, levels);
            let mut now = vec![None; self.items.len()];
            for (tray, level) in trays.iter().zip(&found) {
                if let Some(slot) = now.get_mut(tray.number) {
                    *slot = *level;
                }
            }
            at = now;
            let fits = if found.iter().all(Option::is_some) {
                Fit::Packed
            } else {
                let set = self.stays_at(span);
                let left = shrink(set, |set| self.racks_fit(set, levels));
                let fits = self.rack_words(&left, levels);
                add_unfit(&mut unfit, span, left, fits.clone());
                fits
            };
            let standing = numbers.iter().filter_map(|&number| {
                let level = at.get(number).copied().flatten()?;
                let item = self.items.get(number)?;
                let of = self.kinds.get(item.kind)?;
                Some(Standing {
                    stay: item.stay,
                    item: item.of,
                    number: item.number,
                    surface: level,
                    x: 0,
                    y: 0,
                    level: 0,
                    width: of.width,
                    depth: of.depth,
                    height: of.height,
                })
            });
            push(&mut moments, span, standing.collect(), fits);
        }
        let moves = moments.iter().map(|moment| moment.moved).sum();
        Stowed { place: self.place, moments, moves, unfit }
    }

    fn trays_of(&self, stays: &[usize]) -> (Vec<Tray>, Vec<String>) {
        let numbers = (0..self.items.len())
            .filter(|&n| self.items.get(n).is_some_and(|item| stays.contains(&item.stay)));
        numbers
            .map(|number| {
                let takes = self.takes.get(number).cloned().unwrap_or_default();
                let kind = self.items.get(number).and_then(|item| self.kinds.get(item.kind));
                let name = kind.map_or_else(String::new, |kind| kind.name.clone());
                (Tray { number, takes, home: None }, name)
            })
            .unzip()
    }

    fn racks_fit(&self, stays: &[usize], levels: usize) -> bool {
        assign(&self.trays_of(stays).0, levels).iter().all(Option::is_some)
    }

    fn rack_words(&self, stays: &[usize], levels: usize) -> Fit {
        let (trays, names) = self.trays_of(stays);
        too_many(&trays, &names, levels)
    }

    fn stays_at(&self, moment: Span) -> Vec<usize> {
        let here = self.spans.iter().filter(|(_, span)| span.contains(moment.start));
        here.map(|(stay, _)| *stay).collect()
    }

    fn on_shelves(&self, way: (Rule, Turn), asked: &mut Asked<'_>) -> Stowed {
        let mut piles: Vec<Pile> = Vec::new();
        let mut moments: Vec<Moment> = Vec::new();
        for (&span, &form) in self.moments.iter().zip(&self.form_at) {
            let shop = self.shop(form);
            let numbers = self.at(span);
            let stood = |number: &usize| piles.iter().any(|pile| pile.boxes.contains(number));
            let come: Vec<usize> = numbers.iter().copied().filter(|n| !stood(n)).collect();
            let gone = |number: usize| numbers.binary_search(&number).is_err();
            let (now, fits) = shop.change(&piles, &gone, &come, way, asked);
            piles = now;
            push(&mut moments, span, self.standing(&piles, form), fits);
        }
        let moves = moments.iter().map(|moment| moment.moved).sum();
        Stowed { place: self.place, moments, moves, unfit: Vec::new() }
    }

    fn shop(&self, form: usize) -> Shop<'_> {
        let floors = self.forms.get(form).map_or(&[][..], Vec::as_slice);
        Shop { form, floors, kinds: &self.kinds, items: &self.items }
    }

    /// Every box of the piles, in the order of the stays.
    fn standing(&self, piles: &[Pile], form: usize) -> Vec<Standing> {
        let mut all = Vec::new();
        let floors = self.forms.get(form).map_or(&[][..], Vec::as_slice);
        for pile in piles {
            let (Some(floor), Some(kind)) =
                (floors.get(pile.base.floor), self.kinds.get(pile.base.kind))
            else {
                continue;
            };
            for (level, item) in (0_u32..).zip(pile.boxes.iter().filter_map(|&n| self.items.get(n)))
            {
                all.push(Standing {
                    stay: item.stay,
                    item: item.of,
                    number: item.number,
                    surface: floor.surface,
                    x: pile.base.x,
                    y: pile.base.y,
                    level,
                    width: pile.base.across,
                    depth: pile.base.along,
                    height: kind.height,
                });
            }
        }
        all.arrange_by_key(|one| (one.stay, one.item, one.number));
        all
    }

    /// Smallest sets of stays that do not stand together, of moments and floors in which not all do.
    fn smallest(&self, over: &[(Span, usize)], asked: &mut Asked<'_>) -> Vec<Unfit> {
        let mut unfit: Vec<Unfit> = Vec::new();
        // In which form of the floors each was found.
        let mut found_in: Vec<usize> = Vec::new();
        for &(moment, form) in over {
            let shop = self.shop(form);
            let set = self.stays_at(moment);
            // Whatever did not fit before on the same floors does not fit now.
            let same = unfit.iter_mut().zip(&found_in).find(|(known, found_in)| {
                **found_in == form && known.stays.iter().all(|stay| set.contains(stay))
            });
            if let Some((same, _)) = same {
                same.span.end = moment.end;
                continue;
            }
            let counts = |set: &[usize]| {
                let numbers: Vec<usize> = (0..self.items.len())
                    .filter(|&n| self.items.get(n).is_some_and(|item| set.contains(&item.stay)))
                    .collect();
                shop.counts(&numbers)
            };
            let stays =
                shrink(set, |set| matches!(shop.fits(&counts(set), asked), Answer::Fits(_)));
            let fits = match shop.fits(&counts(&stays), asked) {
                Answer::Impossible(why) => Fit::Impossible(why),
                Answer::Fits(_) | Answer::NotProven { .. } => Fit::NotProven,
            };
            unfit.push(Unfit { span: moment, stays, fits });
            found_in.push(form);
        }
        unfit
    }
}

/// Less is better: moments in which not all stand, then boxes moved.
fn worth(stowed: &Stowed) -> (usize, u32) {
    (stowed.moments.iter().filter(|moment| moment.fits != Fit::Packed).count(), stowed.moves)
}

/// When the household clears a shelf of the place, or takes it back.
fn clearings(kitchen: &Kitchen, place: Place, horizon: &Horizon) -> Vec<Elapsed> {
    if kitchen.clearings.iter().any(|clearing| clearing.place == place) {
        kitchen.clearing_moments(horizon)
    } else {
        Vec::new()
    }
}

/// All surfaces, of which some may have no free room; the low and small ones first, which are filled first.
fn floors(surfaces: &[Surface]) -> Vec<Floor> {
    let mut order: Vec<(usize, &Surface)> = surfaces.iter().enumerate().collect();
    order.arrange_by_key(|(index, of)| {
        let height = if of.height == 0 { u32::MAX } else { of.height };
        (height, u64::from(of.width) * u64::from(of.depth), *index)
    });
    let floor = |(surface, of): (usize, &Surface)| {
        let (width, depth, height) = of.free.unwrap_or((0, 0, of.height));
        Floor { surface, width, depth, height: if height == 0 { u32::MAX } else { height } }
    };
    order.into_iter().map(floor).collect()
}

/// Drops members for as long as the others still do not fit.
fn shrink(mut set: Vec<usize>, mut fits: impl FnMut(&[usize]) -> bool) -> Vec<usize> {
    let mut at = 0;
    while at < set.len() {
        let dropped = set.remove(at);
        if set.is_empty() || fits(&set) {
            set.insert(at, dropped);
            at += 1;
        }
    }
    set
}

fn add_unfit(unfit: &mut Vec<Unfit>, span: Span, stays: Vec<usize>, fits: Fit) {
    match unfit.iter_mut().find(|known| known.stays == stays) {
        Some(known) => known.span.end = span.end,
        None => unfit.push(Unfit { span, stays, fits }),
    }
}

fn push(moments: &mut Vec<Moment>, span: Span, standing: Vec<Standing>, fits: Fit) {
    let moved = moments.last().map_or(0, |last| moved_between(&last.standing, &standing));
    moments.push(Moment { span, standing, moved, fits });
}
