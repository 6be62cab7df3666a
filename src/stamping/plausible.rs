//! What a can can be: bounds that refuse nonsense, and the usual figures that
//! decide between readings.

/// Lowest working volts of a can's section.
pub(super) const LOWEST_VOLTS: f64 = 4.0;
/// Highest working volts of a can's section.
pub(super) const HIGHEST_VOLTS: f64 = 630.0;
/// Smallest section, µF. Common practice, no source.
pub(super) const SMALLEST_UF: f64 = 0.05;
/// Largest section, µF. Common practice, no source.
pub(super) const LARGEST_UF: f64 = 10_000.0;
/// Most energy a section may hold at its working volts, in joules: 1,000 µF at
/// 450 V has 101 J, and no can of the tube era came near. Common practice, no source.
pub(super) const MOST_JOULES: f64 = 110.0;
/// The same where a bare figure is only taken for a value; 200 µF at 450 V has 20 J.
pub(super) const MOST_JOULES_BARE: f64 = 25.0;
/// From here a bare figure is volts rather than microfarads.
pub(super) const SURELY_VOLTS: f64 = 150.0;
/// Surge over working volts, lowest and highest, of a printed pair.
pub(super) const SURGE_RATIO: std::ops::RangeInclusive<f64> = 1.05..=1.25;

/// Energy in joules of `uf` microfarads at `volts`.
pub(super) fn joules(uf: f64, volts: f64) -> f64 {
    0.5e-6 * uf * volts * volts
}

/// Whether bare figures may be a section.
pub(super) fn is_section(uf: f64, volts: f64) -> bool {
    (SMALLEST_UF..=LARGEST_UF).contains(&uf)
        && (LOWEST_VOLTS..=HIGHEST_VOLTS).contains(&volts)
        && joules(uf, volts) <= MOST_JOULES_BARE
}

/// Whether a figure of 150 or more in a list with a unit may be a value at `volts`.
/// Stock values may hold as much as any section, for no can prints them as volts there.
pub(super) fn may_be_value(uf: f64, volts: f64) -> bool {
    let most = if is_stock_value(uf) { MOST_JOULES } else { MOST_JOULES_BARE };
    (SMALLEST_UF..=LARGEST_UF).contains(&uf)
        && (LOWEST_VOLTS..=HIGHEST_VOLTS).contains(&volts)
        && joules(uf, volts) <= most
}

/// Whether `second` volts may be the surge figure that goes with `first`.
pub(super) fn is_surge_of(first: f64, second: f64) -> bool {
    first > 0.0 && SURGE_RATIO.contains(&(second / first))
}

/// The same for the one pair of voltages of one value, where nothing else fits.
pub(super) fn is_wide_surge_of(first: f64, second: f64) -> bool {
    first > 0.0 && (1.05..=1.6).contains(&(second / first))
}

/// Working volts that were printed on cans. From memory of the trade.
pub(super) fn is_rated_voltage(volts: f64) -> bool {
    const USUAL: [f64; 50] = [
        3.0, 4.0, 6.0, 6.3, 8.0, 10.0, 12.0, 15.0, 16.0, 18.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0,
        60.0, 63.0, 64.0, 70.0, 75.0, 80.0, 100.0, 110.0, 125.0, 150.0, 160.0, 175.0, 200.0, 225.0,
        250.0, 275.0, 300.0, 315.0, 320.0, 325.0, 330.0, 350.0, 375.0, 380.0, 385.0, 400.0, 425.0,
        450.0, 475.0, 500.0, 525.0, 550.0, 600.0, 630.0,
    ];
    USUAL.iter().any(|u| (u - volts).abs() < 1e-9)
}

/// Values in microfarads that were stock figures. From memory of the trade.
pub(super) fn is_stock_value(uf: f64) -> bool {
    const USUAL: [f64; 55] = [
        0.1, 0.25, 0.47, 0.5, 1.0, 1.5, 2.0, 2.2, 2.5, 3.0, 3.3, 4.0, 4.7, 5.0, 6.0, 6.8, 8.0,
        10.0, 12.0, 12.5, 15.0, 16.0, 18.0, 20.0, 22.0, 24.0, 25.0, 30.0, 32.0, 33.0, 35.0, 40.0,
        45.0, 47.0, 50.0, 60.0, 64.0, 65.0, 68.0, 70.0, 80.0, 90.0, 100.0, 120.0, 125.0, 140.0,
        150.0, 160.0, 180.0, 200.0, 220.0, 250.0, 300.0, 330.0, 400.0,
    ];
    USUAL.iter().any(|u| (u - uf).abs() < 1e-9)
        || ((470.0..=LARGEST_UF).contains(&uf) && is_stock_value(uf / 10.0))
}

/// A three-digit code (`105`: 10 and five noughts of picofarads), as film and
/// ceramic capacitors carry; its value in microfarads. IEC 60062 has the form.
pub(super) fn three_digit_code(value: f64) -> Option<f64> {
    if !(100.0..1000.0).contains(&value) || value.fract() != 0.0 {
        return None;
    }
    let noughts = value % 10.0;
    ((3.0..=7.0).contains(&noughts)).then(|| (value / 10.0).floor() * 10_f64.powf(noughts) * 1e-6)
}

/// A count from 1 to 9, where `value` is one.
pub(super) fn count(value: f64) -> Option<usize> {
    (1_u8..10).find(|n| same(f64::from(*n), value)).map(usize::from)
}

/// Whether two figures as printed are the same.
pub(super) fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}
