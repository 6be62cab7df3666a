//! Loads from readings, worked by hand.

use recan::{
    chassis::{Chassis, End, Lacking, Origin},
    quantity::{in_amperes, in_microfarads, in_volts, microfarads, volts},
};

use crate::reading::{chassis, job};

/// A console of two nodes, invented; `B1` and `B2` are what stands in them.
fn console(first: &str, second: &str, rest: &str) -> String {
    format!(
        r#"
        [[can]]
        stamping = "40-40 MFD 450 V"
        [mains]
        volts = "121 V"
        [rectifier]
        circuit = "full-wave"
        device = "5Y3-GT"
        winding = "322 V"
        winding_resistance = "110 Ω"
        primary_resistance = "6 Ω"
        [[node]]
        name = "B1"
        section = "1"
        {first}
        [[node]]
        name = "B2"
        from = "B1"
        resistor = "1 kΩ"
        section = "2"
        {second}
        {rest}
        "#
    )
}

#[track_caller]
fn check(chassis: &Chassis, node: usize, nominal_ma: f64, origin: Origin) {
    let draw = chassis.loads().draws()[node];
    assert_eq!(draw.origin, origin);
    let found = 1000.0 * in_amperes(draw.best);
    assert!((found - nominal_ma).abs() < 0.01 * nominal_ma.max(1.0), "{found} mA");
}

/// By hand: (308 − 286) V over 1 kΩ is 22 mA.
#[test]
fn a_drop_between_measured_nodes() {
    let found = chassis(&console("load = \"50 mA\"\nvolts = \"308 V\"", "volts = \"286 V\"", ""));
    check(&found, 1, 22.0, Origin::Drop);
    check(&found, 0, 50.0, Origin::Told);
    assert_eq!(found.loads().ends(), [End::Nominal]);
}

/// By hand: a bleeder of 28.6 kΩ on 286 V takes 10 mA of the 22.
#[test]
fn a_bleeder_takes_its_share() {
    let second = "volts = \"286 V\"\nbleeder = \"28.6 kΩ\"";
    let found = chassis(&console("load = \"50 mA\"\nvolts = \"308 V\"", second, ""));
    check(&found, 1, 12.0, Origin::Drop);
}

/// Readings at another line are brought over in proportion: 22 mA at 110 V are
/// 24.2 mA at 121 V.
#[test]
fn readings_scale_from_their_own_line() {
    let rest = "[measured]\nline = \"110 V\"\ndc = { B1 = \"308 V\", B2 = \"286 V\" }";
    check(&chassis(&console("load = \"50 mA\"", "", rest)), 1, 24.2, Origin::Drop);
}

#[test]
fn a_faulty_can_gives_upper_bounds() {
    let rest = "[measured]\ncan = \"faulty\"\ndc = { B1 = \"308 V\", B2 = \"286 V\" }";
    let found = chassis(&console("load = \"50 mA\"", "", rest));
    check(&found, 1, 22.0, Origin::UpperBound);
    assert!(in_amperes(found.loads().current(1, End::Low)).abs() < 1e-12);
    assert_eq!(found.loads().ends(), [End::Low, End::High]);
}

/// What all draw follows from the volts at the first lug; 50 mA of it are told.
#[test]
fn a_missing_reading_is_what_is_left_of_the_whole() {
    let both = chassis(&console("volts = \"308 V\"", "volts = \"286 V\"", ""));
    let whole = 1000.0 * in_amperes(both.loads().total(End::Nominal));
    let found = chassis(&console("load = \"50 mA\"\nvolts = \"308 V\"", "", ""));
    check(&found, 1, whole - 50.0, Origin::Rectifier);
    assert_eq!(found.loads().ends(), [End::Nominal]);
}

/// Only the first lug is read: the whole is known, and most of it is the first
/// node's. By hand, the second's resistor likely drops a tenth of 308 V over 1 kΩ.
#[test]
fn what_nothing_divides_divides_in_the_likeliest_way() {
    let both = chassis(&console("volts = \"308 V\"", "volts = \"286 V\"", ""));
    let found = chassis(&console("volts = \"308 V\"", "", ""));
    let whole = |of: &Chassis| in_amperes(of.loads().total(End::Nominal));
    approx::assert_relative_eq!(whole(&found), whole(&both), max_relative = 0.01);
    check(&found, 1, 30.8, Origin::Assumed);
    let [first, second] = found.loads().draws() else { panic!("two nodes") };
    assert!(first.best > second.best && second.low < second.best);
    assert_eq!(found.loads().ends(), [End::Nominal]);
}

/// By hand: (308 − V) over 1 kΩ is 10 mA and (V − 256) over 2 kΩ, so V is 284 V:
/// 24 mA come through the first resistor, 14 through the second.
#[test]
fn a_told_load_between_two_readings() {
    let rest = "[[node]]\nname = \"B3\"\nfrom = \"B2\"\nresistor = \"2 kΩ\"\n\
                capacitance = \"10 µF\"\nvolts = \"256 V\"";
    let first = "load = \"50 mA\"\nvolts = \"308 V\"";
    let found = chassis(&console(first, "load = \"10 mA\"", rest));
    check(&found, 1, 10.0, Origin::Told);
    check(&found, 2, 14.0, Origin::Drop);
    assert_eq!(found.loads().ends(), [End::Nominal]);
}

/// Told 40 mA, but the drop shows 22: both are named.
#[test]
fn two_readings_that_disagree_are_named() {
    let second = "load = \"40 mA\"\nvolts = \"286 V\"";
    let found = chassis(&console("load = \"50 mA\"\nvolts = \"308 V\"", second, ""));
    let [one] = found.loads().contradictions() else { panic!("{:?}", found.loads()) };
    insta::assert_snapshot!(one.one, @"B1 308.0 V to B2 286.0 V through 1 kΩ: 22 mA");
    insta::assert_snapshot!(one.other, @"what is told for B2 and the nodes behind it: 40 mA");
}

/// By hand: 12.5 V over 100 Ω is 125 mA, more than 50 + 22.
#[test]
fn cathodes_that_take_more_than_there_is() {
    let rest = "[[can]]\nname = \"B\"\nstamping = \"20 MFD 25 V\"\n\
                [[bypass]]\nsection = \"B/1\"\ncathode_resistor = \"100 Ω\"\nvolts = \"12.5 V\"";
    let text = console("load = \"50 mA\"\nvolts = \"308 V\"", "volts = \"286 V\"", rest)
        .replace("stamping = \"40-40", "name = \"A\"\nstamping = \"40-40")
        .replace("section = \"1\"", "section = \"A/1\"")
        .replace("section = \"2\"", "section = \"A/2\"");
    let found = chassis(&text);
    let [one] = found.loads().contradictions() else { panic!("{:?}", found.loads()) };
    insta::assert_snapshot!(one.one, @"cathode resistors pass 125 mA");
}

/// What the first node draws is what brings the supply to its volts: solved
/// forwards again it reads what was measured.
#[test]
fn the_reservoirs_own_volts_give_its_load() {
    let found = chassis(&console("volts = \"308 V\"", "volts = \"286 V\"", ""));
    assert_eq!(found.loads().draws()[0].origin, Origin::Rectifier);
    let solved = found.solve(volts(121.0), &found.stamped(), End::Nominal).unwrap();
    approx::assert_relative_eq!(in_volts(solved.steady.nodes[0].dc), 308.0, max_relative = 1e-4);
    assert_eq!(found.loads().ends(), [End::Nominal]);
}

/// What a faulty can reads, the supply being solved with a worn reservoir: load and
/// capacitance come back together, whatever the wear, the meter and the load.
#[test]
fn load_and_capacitance_of_a_worn_reservoir_are_found_together() {
    for (share, first_ma, average) in [
        (1.0, 60.0, false),
        (0.5, 60.0, true),
        (0.2, 40.0, false),
        (0.08, 30.0, true),
        (0.03, 20.0, false),
    ] {
        let truth = console(&format!("load = \"{first_ma} mA\""), "load = \"22 mA\"", "");
        let truth = chassis(&truth);
        let worn = recan::supply::Capacitor {
            capacitance: microfarads(40.0 * share),
            esr: truth.stamped().get(0).unwrap().esr,
        };
        let solved =
            truth.solve(volts(121.0), &truth.stamped().with(0, worn), End::Nominal).unwrap();
        let [one, two] = &solved.steady.nodes[..] else { panic!("two nodes") };
        let hum =
            if average { in_volts(one.ripple_mean) * 1.110_721 } else { in_volts(one.ripple_rms) };
        let meter = if average { "average" } else { "true-rms" };
        let rest = format!(
            "[measured]\ncan = \"faulty\"\nmeter = \"{meter} 1 %\"\n\
             dc = {{ B1 = \"{:.4} V\", B2 = \"{:.4} V\" }}\nhum = {{ B1 = \"{hum:.5} V\" }}",
            in_volts(one.dc),
            in_volts(two.dc)
        );
        let found = chassis(&console("", "", &rest));
        check(&found, 0, first_ma, Origin::Rectifier);
        check(&found, 1, 22.0, Origin::Drop);
        let left = found.loads().reservoir().expect("the capacitance");
        approx::assert_relative_eq!(in_microfarads(left.best), 40.0 * share, max_relative = 0.01);
        assert!(left.low < left.best && left.best < left.high);
        assert_eq!(found.loads().ends(), [End::Nominal], "{share}");
    }
}

/// Without hum nothing tells a worn reservoir from a greater load.
#[test]
fn volts_of_a_faulty_can_alone_bound_the_load() {
    let rest = "[measured]\ncan = \"faulty\"\ndc = { B1 = \"300 V\" }";
    let found = chassis(&console("", "load = \"22 mA\"", rest));
    assert_eq!(found.loads().draws()[0].origin, Origin::UpperBound);
    assert_eq!(found.loads().ends(), [End::Low, End::High]);
}

/// More volts than the winding gives: told, and nothing drawn below zero.
#[test]
fn volts_that_no_winding_gives() {
    let found = chassis(&console("volts = \"520 V\"", "load = \"22 mA\"", ""));
    check(&found, 0, 0.0, Origin::Rectifier);
    let [one] = found.loads().contradictions() else { panic!("{:?}", found.loads()) };
    insta::assert_snapshot!(one.one, @"B1 reads 520 V");
}

/// Behind an input choke the first lug is the choke's far end.
#[test]
fn the_whole_behind_an_input_choke() {
    let text = crate::reading::example("choke-input");
    let truth = chassis(&text);
    let solved = truth.solve(volts(121.0), &truth.stamped(), End::Nominal).unwrap();
    let dc = format!("volts = \"{:.5} V\"", in_volts(solved.steady.nodes[1].dc));
    let found = chassis(&text.replace("load = \"110 mA\"", &dc));
    check(&found, 1, 110.0, Origin::Rectifier);
}

/// Nothing is read at all: a likely whole, never nothing, with its range.
#[test]
fn without_any_reading_the_likeliest_is_taken() {
    let found = chassis(
        &console("volts = \"308 V\"", "", "")
            .replace("volts = \"308 V\"", "bleeder = \"100 kΩ\"\nvolts = \"290 V\""),
    );
    assert!(in_amperes(found.loads().total(End::Nominal)) > 0.03);
    let cathode = "[[can]]\nname = \"B\"\nstamping = \"20 MFD 25 V\"\n\
                   [[bypass]]\nsection = \"B/1\"\ncathode_resistor = \"250 Ω\"\nvolts = \"19.8 V\"";
    let text = console("load_resistance = \"1 MΩ\"", "", cathode)
        .replace("stamping = \"40-40", "name = \"A\"\nstamping = \"40-40")
        .replace("section = \"1\"", "section = \"A/1\"")
        .replace("section = \"2\"", "section = \"A/2\"");
    let found = chassis(&text);
    assert_eq!(found.loads().ends(), [End::Nominal]);
    let [_, second] = found.loads().draws() else { panic!("two nodes") };
    assert_eq!(second.origin, Origin::Assumed);
    assert!(in_amperes(second.best) > 0.0 && second.high > second.best);
}

/// The reading wins over `volts` of the node, and the other is told.
#[test]
fn two_readings_of_one_node() {
    let rest = "[measured]\ndc = { B1 = \"308 V\", B2 = \"286 V\" }";
    let found = chassis(&console("load = \"50 mA\"\nvolts = \"290 V\"", "", rest));
    check(&found, 1, 22.0, Origin::Drop);
    let [one] = found.loads().contradictions() else { panic!("{:?}", found.loads()) };
    insta::assert_snapshot!(one.other, @"its `volts` are 290.0 V");
}

/// A job's every number, left out at random or scaled: what is drawn is a number, never
/// below zero, within its range.
#[test]
fn any_readings_give_loads_that_can_be() {
    let facts =
        ["B1 = \"308 V\"", "B2 = \"286 V\"", "B1 = \"30 V\"", "B2 = \"5 V\"", "B1 = \"900 V\""];
    for mask in 0..32_u32 {
        let of = |name: &str| {
            let mut chosen =
                facts.iter().enumerate().filter(|(i, f)| mask >> i & 1 == 1 && f.starts_with(name));
            chosen.next().map(|(_, f)| (*f).to_owned())
        };
        let dc: Vec<String> = [of("B1"), of("B2")].into_iter().flatten().collect();
        for (state, hum) in [
            ("", ""),
            ("can = \"faulty\"", "hum = { B1 = \"20 V\" }"),
            ("can = \"faulty\"", "hum = { B1 = \"0.01 V\" }"),
            ("can = \"disconnected\"", ""),
        ] {
            let rest = format!(
                "bleeder = \"100 kΩ\"\n[measured]\n{state}\n{hum}\ndc = {{ {} }}",
                dc.join(", ")
            );
            let Ok(read) = recan::job::read_safely("job.toml", &console("", "", &rest), None)
            else {
                continue;
            };
            let Ok(found) = Chassis::of(&read) else { continue };
            for draw in found.loads().draws() {
                let [low, best, high] = [draw.low, draw.best, draw.high].map(in_amperes);
                assert!(
                    0.0 <= low && low <= best && best <= high && high.is_finite(),
                    "{rest}: {draw:?}"
                );
            }
        }
    }
}

#[test]
fn what_is_missing_is_listed() {
    let missing = Chassis::of(&job("[[can]]\nstamping = \"40-40 MFD 450 V\"")).unwrap_err();
    let expected = [Lacking::Line, Lacking::Device, Lacking::Circuit, Lacking::Nodes];
    for one in expected {
        assert!(missing.contains(&one), "{one:?} in {missing:?}");
    }
}
