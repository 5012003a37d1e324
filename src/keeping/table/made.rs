//! What is made here for other things, and what becomes an order: doughs, layers, creams, fillings, sugar
//! work.
//!
//! Where a product holds egg, milk, cream or cut fruit it is treated as needing cold, whatever its
//! sugar: only a laboratory's values could say otherwise. Where a source gives a range, the row says
//! what is taken. This file is a table.

use crate::kitchen::Place::{Counter, Freezer, Fridge, RoomShelf};

use super::super::limit::Grade::{Nearest, Practice, Published};
use super::super::limit::{Avoid, Grade, KeepingLimit};
use super::super::sources::{
    CAKE_FROZEN, CAKES, COOKIES, COOKIES_FROZEN, CREAM_CHEESE_ICING, CRUST_FROZEN, CUSTARD,
    DRY_CHOCOLATE, EXTENSION_FILLED, FOUR_HOURS, ICED_FROZEN, PRACTICE, RAW_EGG, SEVEN_DAYS,
    SPONGE_FROZEN, SUCROSE, TWO_HOURS,
};
use super::rows::{DAY, HOUR, best, safe};

const STALES: &str = "it goes stale faster in the cold than in the room";
const SWEATS: &str = "it sweats when it comes out, and colours run";
const WEEPS: &str = "it parts and weeps when it thaws";

pub(super) const LIMITS: &[KeepingLimit] = &[
    // Doughs and what is baked of them.
    safe("cookie dough", Counter, 2 * HOUR, TWO_HOURS, Nearest),
    safe("cookie dough", Fridge, 3 * DAY, RAW_EGG, Nearest),
    best(
        "cookie dough",
        Freezer,
        60 * DAY,
        "FoodKeeper 247, cookie dough: frozen 2 months",
        Published,
    ),
    safe("tart dough", Counter, 2 * HOUR, TWO_HOURS, Nearest),
    safe("tart dough", Fridge, 3 * DAY, RAW_EGG, Nearest),
    best("tart dough", Freezer, 60 * DAY, CRUST_FROZEN, Published),
    safe("batter", Counter, 2 * HOUR, TWO_HOURS, Nearest),
    safe(
        "batter",
        Fridge,
        2 * DAY,
        "FoodKeeper 22, raw egg: 2–4 days refrigerated; 2 taken",
        Nearest,
    ),
    best("baked cookies", RoomShelf, 14 * DAY, COOKIES, Published),
    best("baked cookies", Freezer, 180 * DAY, COOKIES_FROZEN, Published),
    best(
        "drop cookies",
        RoomShelf,
        7 * DAY,
        "Georgia extension: cookies up to 2 weeks; 1 taken for soft ones",
        Nearest,
    ),
    best("drop cookies", Freezer, 180 * DAY, COOKIES_FROZEN, Published),
    best("iced cookies", RoomShelf, 14 * DAY, COOKIES, Nearest),
    best("iced cookies", Freezer, 60 * DAY, ICED_FROZEN, Published),
    best("brownies", RoomShelf, 3 * DAY, CAKES, Nearest),
    best("brownies", Freezer, 60 * DAY, CAKE_FROZEN, Nearest),
    best("tart shells", RoomShelf, 3 * DAY, PRACTICE, Practice),
    best("tart shells", Freezer, 60 * DAY, CRUST_FROZEN, Nearest),
    // Cakes.
    best("cake layers", RoomShelf, 3 * DAY, CAKES, Published),
    best("cake layers", Fridge, 2 * DAY, PRACTICE, Practice),
    best("cake layers", Freezer, 60 * DAY, CAKE_FROZEN, Published),
    best("sponge layers", RoomShelf, 3 * DAY, CAKES, Published),
    best("sponge layers", Freezer, 120 * DAY, SPONGE_FROZEN, Published),
    best("cake pops", RoomShelf, 3 * DAY, CAKES, Nearest),
    safe("cake pops", Fridge, 6 * DAY, SEVEN_DAYS, Nearest),
    best("cake pops", Freezer, 60 * DAY, PRACTICE, Practice),
    safe("filled cake", Counter, 2 * HOUR, TWO_HOURS, Nearest),
    safe("filled cake", Fridge, 6 * DAY, SEVEN_DAYS, Nearest),
    best("filled cake", Freezer, 60 * DAY, PRACTICE, Practice),
    safe("cheesecake", Counter, 2 * HOUR, CUSTARD, Nearest),
    safe("cheesecake", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    // Icings and creams.
    safe("royal icing", Counter, 4 * HOUR, FOUR_HOURS, Nearest),
    safe("royal icing", Fridge, 3 * DAY, RAW_EGG, Nearest),
    safe("meringue buttercream", Counter, 2 * HOUR, TWO_HOURS, Published),
    safe("meringue buttercream", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    best("meringue buttercream", Freezer, 60 * DAY, PRACTICE, Practice),
    best(
        "sugar buttercream",
        Counter,
        2 * DAY,
        "Kansas State extension MF3544: more than 65 % sugar by weight may stand at room temperature; 2 days taken",
        Nearest,
    ),
    best(
        "sugar buttercream",
        Fridge,
        14 * DAY,
        "FoodKeeper 224, frosting: 2–3 weeks refrigerated after opening; 2 taken",
        Nearest,
    ),
    best("sugar buttercream", Freezer, 60 * DAY, PRACTICE, Practice),
    safe("cream-cheese frosting", Counter, 2 * HOUR, CREAM_CHEESE_ICING, Published),
    safe("cream-cheese frosting", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    best("cream-cheese frosting", Freezer, 60 * DAY, PRACTICE, Practice),
    safe("whipped cream", Counter, 2 * HOUR, TWO_HOURS, Published),
    safe("whipped cream", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    safe("pastry cream", Counter, 2 * HOUR, CUSTARD, Published),
    safe("pastry cream", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    best("pastry cream", Fridge, 3 * DAY, "FoodKeeper 205, cream pies: 3–4 days; 3 taken", Nearest),
    safe("ganache", Counter, 2 * HOUR, TWO_HOURS, Nearest),
    safe("ganache", Fridge, 6 * DAY, SEVEN_DAYS, Nearest),
    best("ganache", Freezer, 60 * DAY, PRACTICE, Practice),
    // Fillings.
    safe("fruit filling", Counter, 2 * HOUR, TWO_HOURS, Nearest),
    safe("fruit filling", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    best(
        "fruit filling",
        Freezer,
        240 * DAY,
        "FoodKeeper 207, fruit pies: frozen 8 months",
        Nearest,
    ),
    safe("lemon curd", Counter, 2 * HOUR, TWO_HOURS, Nearest),
    safe("lemon curd", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    best(
        "lemon curd",
        Freezer,
        365 * DAY,
        "National Center for Home Food Preservation, freezer lemon curd: 1 year",
        Published,
    ),
    safe("cut fruit", Counter, 2 * HOUR, TWO_HOURS, Published),
    safe("cut fruit", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    safe("applesauce", Counter, 2 * HOUR, TWO_HOURS, Nearest),
    safe("applesauce", Fridge, 6 * DAY, SEVEN_DAYS, Nearest),
    // What is filled.
    safe("tartlets", Counter, 2 * HOUR, CUSTARD, Nearest),
    safe("tartlets", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    best(
        "tartlets",
        Fridge,
        2 * DAY,
        "FoodKeeper 201, dairy filled eclairs: 2–3 days; 2 taken",
        Nearest,
    ),
    safe("filled eclairs", Counter, 2 * HOUR, CUSTARD, Nearest),
    safe("filled eclairs", Fridge, 6 * DAY, SEVEN_DAYS, Published),
    best("macaron shells", RoomShelf, DAY, "FoodKeeper 542, macaroons: 1–2 days; 1 taken", Nearest),
    best(
        "macaron shells",
        Freezer,
        90 * DAY,
        "FoodKeeper 542, macaroons: frozen 3 months",
        Nearest,
    ),
    safe("macarons", Counter, 2 * HOUR, TWO_HOURS, Nearest),
    safe("macarons", Fridge, 6 * DAY, SEVEN_DAYS, Nearest),
    best("macarons", Fridge, 4 * DAY, PRACTICE, Practice),
    safe("filled chocolates", Counter, 2 * HOUR, TWO_HOURS, Nearest),
    safe("filled chocolates", Fridge, 6 * DAY, SEVEN_DAYS, Nearest),
    // Sugar, chocolate, dry meringue.
    best(
        "chocolate shells",
        RoomShelf,
        365 * DAY,
        "FoodKeeper 216, solid chocolate: 1–2 years unopened, 1 year opened",
        Published,
    ),
    best("fondant", RoomShelf, 90 * DAY, PRACTICE, Practice),
    best("sugar-paste pieces", RoomShelf, 90 * DAY, PRACTICE, Practice),
    best("meringue kisses", RoomShelf, 14 * DAY, PRACTICE, Practice),
    // Eggs broken ahead.
    safe("raw egg whites and yolks", Counter, 2 * HOUR, TWO_HOURS, Published),
    safe("raw egg whites and yolks", Fridge, 3 * DAY, RAW_EGG, Published),
];

pub(super) const AVOID: &[Avoid] = &[
    avoid("batter", Freezer, "leavening is spent when it thaws", PRACTICE, Practice),
    avoid("iced cookies", Fridge, SWEATS, DRY_CHOCOLATE, Nearest),
    avoid(
        "sponge layers",
        Fridge,
        STALES,
        "Food Res. Int. 36 (2003) 863: staling is fastest in the cold, none found when frozen",
        Nearest,
    ),
    avoid("royal icing", Freezer, WEEPS, EXTENSION_FILLED, Published),
    avoid("pastry cream", Freezer, WEEPS, "FoodKeeper 205, cream pies: not recommended", Nearest),
    avoid("tartlets", Freezer, WEEPS, "FoodKeeper 205, cream pies: not recommended", Nearest),
    avoid("chocolate shells", Fridge, SWEATS, DRY_CHOCOLATE, Published),
    avoid("fondant", Fridge, SWEATS, SUCROSE, Nearest),
    avoid("sugar-paste pieces", Fridge, SWEATS, SUCROSE, Nearest),
    avoid("meringue kisses", Fridge, SWEATS, SUCROSE, Nearest),
    avoid(
        "muffins",
        Fridge,
        STALES,
        "FoodKeeper 451, muffins: refrigeration not recommended",
        Published,
    ),
];

const fn avoid(
    product: &'static str,
    place: crate::kitchen::Place,
    why: &'static str,
    source: &'static str,
    grade: Grade,
) -> Avoid {
    Avoid { product, place, why, source, grade }
}
