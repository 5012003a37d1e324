//! Dew: when cold things sweat in a humid room.

/// Constants of the Magnus formula over water (Alduchov & Eskridge 1996; Lawrence 2005, Bulletin of the
/// American Meteorological Society 86:225), good to 0.35 °C from −40 to 50 °C.
const A: f64 = 17.625;
const B: f64 = 243.04;

/// The dew point in °C of air at `celsius` with a relative humidity in per cent, above 0.
pub fn dew_point(celsius: f64, humidity: f64) -> f64 {
    let gamma = libm::log(humidity / 100.0) + A * celsius / (B + celsius);
    B * gamma / (A - gamma)
}

/// The relative humidity in per cent from which a surface sweats in air of `celsius`; 100 or more: never.
pub fn driest_that_sweats(surface: f64, celsius: f64) -> f64 {
    100.0 * libm::exp(A * surface / (B + surface) - A * celsius / (B + celsius))
}

/// Whether a surface sweats.
pub fn sweats(surface: f64, celsius: f64, humidity: f64) -> bool {
    surface < dew_point(celsius, humidity)
}
