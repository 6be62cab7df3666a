//! Selenium by its plates, and the diodes of a bridge.

use recan::{
    chassis::{Chassis, End},
    quantity::{in_volts, volts},
    rectifiers,
};

use crate::reading::{chassis, example};

fn first(of: &Chassis) -> f64 {
    in_volts(of.solve(volts(121.0), &of.stamped(), End::Nominal).unwrap().steady.nodes[0].dc)
}

/// `limits.md` has a doubler with its selenium replaced by silicon rise some 13 %.
#[test]
fn a_doubler_gone_silicon_rises() {
    let selenium = chassis(&example("half-wave-doubler"));
    let silicon = selenium.with_type(rectifiers::find("silicon").unwrap()).unwrap();
    let rise = first(&silicon) / first(&selenium) - 1.0;
    assert!((0.08..0.16).contains(&rise), "{rise}");
    let worn = selenium.worn().unwrap();
    assert!(first(&worn) < 0.9 * first(&selenium));
    assert!(silicon.worn().is_none());
}

/// Told, the rated current is what is taken: a larger stack drops less.
#[test]
fn a_stack_of_a_told_size() {
    let guess = example("half-wave-doubler");
    let told =
        guess.replace("device = \"selenium\"", "device = \"selenium\"\ndrop_current = \"1 A\"");
    assert!(first(&chassis(&told)) > first(&chassis(&guess)) + 5.0);
}

/// By hand: with a straight drop of 10 V and no slope a bridge, which has two of them
/// in series, gives what a winding less 20 V of peak does; one plate loses 10 V.
#[test]
fn a_bridge_has_two_diodes_in_series() {
    let of = |circuit: &str, drop: &str, winding: f64| {
        let text = format!(
            r#"
            [[can]]
            stamping = "40 MFD 450 V"
            [mains]
            volts = "121 V"
            [rectifier]
            circuit = "{circuit}"
            law = "straight"
            drop = "{drop} V"
            slope_resistance = "0 Ω"
            winding = "{winding:.6} V"
            winding_resistance = "40 Ω"
            primary_resistance = "0 Ω"
            [[node]]
            section = "1"
            load_resistance = "10 kΩ"
            "#
        );
        first(&chassis(&text))
    };
    // Nearly all of the ripple's shape is kept, so the volts go by the peak.
    let lost = |circuit| of(circuit, "0", 250.0) - of(circuit, "10", 250.0);
    let (one, two) = (lost("half-wave"), lost("bridge"));
    assert!((9.0..11.0).contains(&one), "{one}");
    assert!((18.5..21.5).contains(&two), "{two}");
}
