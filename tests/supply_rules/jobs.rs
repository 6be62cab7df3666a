//! Invented jobs whose figures can be worked by hand.

/// A resistive load on an ideal full-wave rectifier: ω R = 1/(1 µF), so that a
/// capacitor of n µF makes ω C R = n, and the source is 1 % of the load. Its
/// figures are in `tests/supply/data/rectifier-computed.csv`.
pub(crate) const IDEAL: &str = r#"
[chassis]
construction = "isolated"
[[can]]
stamping = "50 MFD 450 V"
negative = "chassis"
[mains]
volts = "120 V"
high = "120 V"
frequency = "60 Hz"
[rectifier]
circuit = "full-wave"
law = "straight"
drop = "0 V"
slope_resistance = "0 Ω"
cathode = "solid-state"
winding = "300 V"
supply_resistance = "26.526 Ω"
[[node]]
name = "B1"
section = "1"
role = "reservoir"
load_resistance = "2652.6 Ω"
"#;

/// A tube, a reservoir, a dropping resistor and a smoothing section. With 300 V
/// each side at 120 V the peak is 424.26 V, at 126 V it is 445.48 V.
pub(crate) const TUBE: &str = r#"
[chassis]
construction = "isolated"
heaters = "parallel"
[[can]]
stamping = "◗ 40 MFD 450 V  ■ 40 MFD 450 V"
negative = "chassis"
[mains]
volts = "120 V"
frequency = "60 Hz"
[rectifier]
circuit = "full-wave"
device = "5U4-GB"
standby = "none"
winding = "300 V"
supply_resistance = "100 Ω"
[[node]]
name = "B1"
section = "half-round"
role = "reservoir"
load = "60 mA"
[[node]]
name = "B2"
from = "B1"
resistor = "1 kΩ"
resistor_rating = "4 W"
section = "square"
role = "smoothing"
load = "40 mA"
"#;

/// [`TUBE`]'s first node, and a cathode bypass at 20 V.
pub(crate) const BYPASSED: &str = r#"
[chassis]
construction = "isolated"
heaters = "parallel"
[[can]]
stamping = "◗ 40 MFD 450 V  ■ 20 MFD 25 V"
negative = "chassis"
[mains]
volts = "120 V"
frequency = "60 Hz"
[rectifier]
circuit = "full-wave"
device = "5U4-GB"
winding = "300 V"
supply_resistance = "100 Ω"
[[node]]
name = "B1"
section = "half-round"
role = "reservoir"
load = "60 mA"
[[bypass]]
section = "square"
cathode_resistor = "250 Ω"
volts = "20 V"
"#;

/// A can of which nothing but its stamping is known.
pub(crate) const UNTOLD: &str = r#"
[[can]]
stamping = "40 MFD 450 V"
"#;

/// What makes of [`TUBE`] a supply with a choke in the place of its resistor.
pub(crate) const WITH_CHOKE: (&str, &str) = (
    "resistor = \"1 kΩ\"\nresistor_rating = \"4 W\"",
    "choke = \"10 H\"\nchoke_resistance = \"200 Ω\"",
);

/// A choke-input supply at 120 V, high line told as the same.
pub(crate) const CHOKE_INPUT: &str = r#"
[chassis]
construction = "isolated"
[[can]]
stamping = "40 MFD 450 V"
negative = "chassis"
[mains]
volts = "120 V"
high = "120 V"
frequency = "60 Hz"
[rectifier]
circuit = "full-wave"
device = "5U4-GB"
winding = "300 V"
supply_resistance = "100 Ω"
[[node]]
name = "B1"
load = "0 mA"
[[node]]
name = "B2"
from = "B1"
choke = "10 H"
choke_resistance = "200 Ω"
section = "1"
role = "smoothing"
load = "80 mA"
bleeder = "10 kΩ"
"#;

/// A half-wave doubler on the line.
pub(crate) const DOUBLER: &str = r#"
[chassis]
construction = "line"
[[can]]
stamping = "RED 100 MFD 200 V  BLUE 50 MFD 400 V"
negative = "line"
[mains]
volts = "120 V"
frequency = "60 Hz"
[rectifier]
circuit = "half-wave-doubler"
device = "silicon"
supply_resistance = "20 Ω"
[rectifier.series]
section = "red"
[[node]]
name = "B1"
section = "blue"
role = "reservoir"
load = "60 mA"
"#;

/// A negative bias section, positive to the chassis, beside a filter section.
pub(crate) const BIAS: &str = r#"
[chassis]
construction = "isolated"
[[can]]
stamping = "◗ 40 MFD 450 V  ■ 40 MFD 75 V"
negative = "chassis"
[mains]
volts = "120 V"
frequency = "60 Hz"
[rectifier]
circuit = "full-wave"
device = "5U4-GB"
winding = "300 V"
supply_resistance = "100 Ω"
[[node]]
name = "B1"
section = "half-round"
role = "reservoir"
load = "60 mA"
[[other]]
section = "square"
use = "bias"
positive = "chassis"
volts = "50 V"
"#;

/// A full-wave doubler on the line, its stack in one can.
pub(crate) const STACK: &str = r#"
[chassis]
construction = "line"
[[can]]
stamping = "RED 100 MFD 200 V  BLUE 100 MFD 200 V"
[mains]
volts = "120 V"
frequency = "60 Hz"
[rectifier]
circuit = "full-wave-doubler"
device = "silicon"
supply_resistance = "20 Ω"
[rectifier.upper]
section = "red"
[rectifier.lower]
section = "blue"
[[node]]
name = "B1"
load = "60 mA"
"#;
