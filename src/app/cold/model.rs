//! What the parts of the page share: the view, the place and moment looked at, and the box chosen.

use std::sync::Arc;

use leptos::prelude::*;
use rackweek::calendar::{Elapsed, Wall};
use rackweek::cold::{BoxKey, BoxView, ColdView, MomentView, PlaceView};
use rackweek::kitchen::Place;

use super::what_if::WhatIf;
use crate::app::AppState;
use crate::app::shown::with_input;

/// Where and when one looks; kept while other pages are shown.
#[derive(Clone, Copy)]
pub(crate) struct ColdSpot {
    /// Which place.
    pub(crate) place: RwSignal<Place>,
    /// When, on the wall clock; none: now.
    pub(crate) at: RwSignal<Option<Wall>>,
}

impl ColdSpot {
    /// The fridge, now.
    pub(crate) fn new() -> Self {
        Self { place: RwSignal::new(Place::Fridge), at: RwSignal::new(None) }
    }

    /// A place at a moment, for when the page is opened next.
    pub(crate) fn look(&self, place: Place, at: Wall) {
        self.place.set(place);
        self.at.set(Some(at));
    }
}

/// The handle of the page's parts.
#[derive(Clone, Copy)]
pub(super) struct ColdModel {
    pub(super) app: AppState,
    pub(super) spot: ColdSpot,
    /// None while there is no kitchen.
    pub(super) view: Memo<Option<Arc<ColdView>>>,
    /// How long it took to lay it out, for whoever measures.
    pub(super) packing_ms: StoredValue<f64>,
    /// Which of the place's moments.
    pub(super) index: Memo<usize>,
    /// Which box is told about.
    pub(super) selected: RwSignal<Option<BoxKey>>,
    /// Px for pictures: width, and the height in which all of a place can be seen at once.
    pub(super) room: RwSignal<(u32, u32)>,
    /// The page is being printed: every place is drawn.
    pub(super) printing: RwSignal<bool>,
    /// Another time for a step, tried.
    pub(super) what_if: WhatIf,
}

impl ColdModel {
    pub(super) fn new(app: AppState, spot: ColdSpot) -> Self {
        let packing_ms = StoredValue::new(0.0);
        let view = Memo::new(move |_| {
            let begun = clock_ms();
            let view = with_input(app, |input| ColdView::of(input).map(Arc::new)).flatten();
            packing_ms.set_value(clock_ms() - begun);
            view
        });
        let index = Memo::new(move |_| {
            let now = app.now.get();
            view.with(|view| {
                let view = view.as_ref()?;
                let time = view.elapsed(spot.at.get().unwrap_or(now));
                Some(view.place(spot.place.get())?.at(time))
            })
            .unwrap_or(0)
        });
        Self {
            app,
            spot,
            view,
            packing_ms,
            index,
            selected: RwSignal::new(None),
            room: RwSignal::new((640, 480)),
            printing: RwSignal::new(false),
            what_if: WhatIf::new(app),
        }
    }

    /// Reads the place and the moment looked at.
    pub(super) fn with<R>(
        &self,
        read: impl FnOnce(&ColdView, &PlaceView, usize, &MomentView) -> R,
    ) -> Option<R> {
        let (place, index) = (self.spot.place.get(), self.index.get());
        self.view.with(|view| {
            let view = view.as_ref()?;
            let place = view.place(place)?;
            Some(read(view, place, index, place.moments.get(index)?))
        })
    }

    /// Reads the box chosen, where it stands at the moment looked at.
    pub(super) fn with_chosen<R>(
        &self,
        read: impl FnOnce(&ColdView, &PlaceView, &MomentView, &BoxView) -> R,
    ) -> Option<R> {
        let key = self.selected.get()?;
        self.with(|view, place, _, moment| {
            let found = moment.boxes.iter().find(|one| view.key(one).as_ref() == Some(&key))?;
            Some(read(view, place, moment, found))
        })
        .flatten()
    }

    /// Chooses a box by its key as text; none: no box.
    pub(super) fn choose(&self, key: Option<&str>) {
        let found = key.and_then(|key| {
            self.view.with_untracked(|view| {
                let view = view.as_ref()?;
                let boxes =
                    view.places.iter().flat_map(|place| &place.moments).flat_map(|m| &m.boxes);
                let mut keys = boxes.filter_map(|one| view.key(one));
                keys.find(|known| known.to_string() == key)
            })
        });
        self.selected.set(found);
    }

    /// Whether this very box is chosen.
    pub(super) fn is_chosen(&self, key: &str) -> bool {
        self.selected.with(|chosen| chosen.as_ref().is_some_and(|c| c.to_string() == key))
    }

    /// Whether a box of the same product is chosen.
    pub(super) fn is_of_chosen(&self, stand: &str) -> bool {
        self.selected.with(|chosen| chosen.as_ref().is_some_and(|c| c.stand == stand))
    }

    /// Looks at a moment of the place.
    pub(super) fn go(&self, index: usize) {
        let wall = self.view.with_untracked(|view| {
            let view = view.as_ref()?;
            let place = view.place(self.spot.place.get_untracked())?;
            Some(view.wall(place.moments.get(index)?.span.start))
        });
        if wall.is_some() {
            self.spot.at.set(wall);
        }
    }

    /// Looks at a day at its fullest moment; one that began the day before is looked at from midnight on.
    pub(super) fn go_day(&self, day: usize, index: usize) {
        let wall = self.view.with_untracked(|view| {
            let view = view.as_ref()?;
            let place = view.place(self.spot.place.get_untracked())?;
            let start = place.moments.get(index)?.span.start.max(view.days.get(day)?.span.start);
            Some(view.wall(start))
        });
        if wall.is_some() {
            self.spot.at.set(wall);
        }
    }

    /// Looks at the moment that it is now.
    pub(super) fn go_now(&self) {
        self.spot.at.set(None);
    }

    /// How many moments the place has.
    pub(super) fn moments(&self) -> usize {
        self.with(|_, place, _, _| place.moments.len()).unwrap_or(1)
    }

    /// The point in time looked at.
    pub(super) fn time(&self) -> Elapsed {
        let now = self.app.now.get();
        let at = self.spot.at.get().unwrap_or(now);
        self.view.with(|view| view.as_ref().map_or(Elapsed(0), |view| view.elapsed(at)))
    }
}

/// A clock that nobody sets, ms.
fn clock_ms() -> f64 {
    window().performance().map_or(0.0, |clock| clock.now())
}
