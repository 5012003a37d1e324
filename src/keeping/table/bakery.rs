//! What a bakery sells, as `FoodKeeper` lists it, for what is made like it at home.
//!
//! `FoodKeeper` says nothing of temperatures and speaks of quality; what holds egg or milk has the safety
//! limits of the Food Code beside it. Of a range the shorter end is taken. This file is a table.

use crate::kitchen::Place::{Counter, Freezer, Fridge, RoomShelf};

use super::super::limit::Grade::Published;
use super::super::limit::{Avoid, KeepingLimit};
use super::super::sources::{CUSTARD, SEVEN_DAYS};
use super::rows::{DAY, HOUR, fk, not, safe};

pub(super) const LIMITS: &[KeepingLimit] = &[
    fk!(12, "whipped cream", Fridge, 1, "1 day"),
    fk!(12, "whipped cream", Freezer, 30, "1–2 months"),
    fk!(22, "raw egg whites and yolks", Fridge, 2, "2–4 days"),
    fk!(22, "raw egg whites and yolks", Freezer, 360, "12 months"),
    fk!(198, "cheesecake", Fridge, 5, "5–7 days"),
    fk!(198, "cheesecake", Freezer, 90, "3–6 months"),
    fk!(201, "filled eclairs", Fridge, 2, "2–3 days"),
    fk!(201, "filled eclairs", Freezer, 90, "3 months"),
    fk!(202, "doughnuts", RoomShelf, 1, "1–2 days"),
    fk!(202, "doughnuts", Fridge, 2, "2 days"),
    fk!(203, "fruit cake", RoomShelf, 180, "6 months"),
    fk!(203, "fruit cake", Fridge, 360, "12 months"),
    fk!(203, "fruit cake", Freezer, 360, "12 months"),
    fk!(204, "danish pastries", RoomShelf, 5, "5–10 days"),
    fk!(205, "cream pies", Fridge, 3, "3–4 days"),
    fk!(206, "chiffon pies", Fridge, 1, "1–2 days"),
    fk!(207, "fruit pies", RoomShelf, 1, "1–2 days"),
    fk!(207, "fruit pies", Fridge, 7, "1 week"),
    fk!(207, "fruit pies", Freezer, 240, "8 months"),
    fk!(208, "mincemeat pies", Fridge, 7, "1 week"),
    fk!(208, "mincemeat pies", Freezer, 240, "8 months"),
    fk!(209, "pecan pies", Fridge, 3, "3–4 days"),
    fk!(209, "pecan pies", Freezer, 30, "1–2 months"),
    fk!(210, "pumpkin pies", Fridge, 3, "3–4 days"),
    fk!(210, "pumpkin pies", Freezer, 30, "1–2 months"),
    fk!(179, "cut fruit", Fridge, 4, "4 days"),
    fk!(451, "muffins", RoomShelf, 3, "3–7 days"),
    fk!(451, "muffins", Freezer, 60, "2–3 months"),
    fk!(542, "macarons", RoomShelf, 1, "1–2 days"),
    fk!(542, "macarons", Freezer, 90, "3 months"),
    fk!(562, "applesauce", Fridge, 21, "3 weeks"),
    fk!(562, "applesauce", Freezer, 240, "8–12 months"),
    fk!(574, "home-made bread", RoomShelf, 3, "3–5 days"),
    fk!(635, "cinnamon rolls", RoomShelf, 1, "1–3 days"),
    fk!(635, "cinnamon rolls", Freezer, 90, "3 months"),
    safe("cream pies", Counter, 2 * HOUR, CUSTARD, Published),
    safe("cream pies", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    safe("chiffon pies", Counter, 2 * HOUR, CUSTARD, Published),
    safe("chiffon pies", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    safe(
        "mincemeat pies",
        Counter,
        2 * HOUR,
        "FoodKeeper 208, mincemeat pies: 2 hours at room temperature",
        Published,
    ),
    safe("mincemeat pies", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    safe(
        "pecan pies",
        Counter,
        2 * HOUR,
        "FoodKeeper 209, pecan pies: 2 hours at room temperature",
        Published,
    ),
    safe("pecan pies", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    safe(
        "pumpkin pies",
        Counter,
        2 * HOUR,
        "FoodKeeper 210, pumpkin pies: 2 hours at room temperature",
        Published,
    ),
    safe("pumpkin pies", Fridge, 6 * DAY, SEVEN_DAYS, Published),
];

pub(super) const AVOID: &[Avoid] = &[
    not!(202, "doughnuts", Freezer),
    not!(204, "danish pastries", Freezer),
    not!(205, "cream pies", Freezer),
    not!(206, "chiffon pies", Freezer),
    not!(179, "cut fruit", Freezer),
];
