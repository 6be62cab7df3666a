//! What good jobs read as.

use super::{good, stamping};
use crate::{
    facts::{self, Role, Warming},
    job::*,
    quantity::{in_amperes, in_microfarads, in_ohms, in_volts, volts},
};

const TWO_NODES: &str = r#"
    [[can]]
    stamping = "x"
    [[node]]
    name = "B2"
    from = "B1"
    resistor = "1 kΩ"
    section = "square"
    [[node]]
    name = "B1"
    section = "half-round"
"#;

#[test]
fn nodes_come_in_feeding_order() {
    let job = good(TWO_NODES);
    let names: Vec<&str> = job.nodes.iter().map(|node| node.name.as_str()).collect();
    assert_eq!(names, ["B1", "B2"]);
    assert_eq!(job.nodes[0].feed, Feed::Rectifier);
    assert_eq!(job.nodes[1].feed.from(), Some(0));
}

/// Property of every good job: what feeds a node stands before it.
#[test]
fn what_feeds_stands_before() {
    let job = good(
        "[[node]]\nname = 'd'\nfrom = 'c'\nresistor = '1k'\ncapacitance = '1'\n\
         [[node]]\nname = 'c'\nfrom = 'a'\nchoke = '8'\ncapacitance = '1'\n\
         [[node]]\nname = 'b'\nfrom = 'a'\nresistor = '1k'\ncapacitance = '1'\n\
         [[node]]\nname = 'a'\ncapacitance = '1'\n",
    );
    let feeds: Vec<_> = job.nodes.iter().map(|n| (n.name.as_str(), n.feed.from())).collect();
    assert_eq!(feeds, [("a", None), ("c", Some(0)), ("d", Some(1)), ("b", Some(0))]);
}

#[test]
fn an_input_choke_and_what_is_behind_it() {
    let job = good(
        "[[can]]\nstamping = 'x'\n[[node]]\nname = 'in'\n[[node]]\nfrom = 'in'\nchoke = '8 H'\n\
         section = 'square'\nrole = 'reservoir'\nbleeder = '22k'\n",
    );
    assert_eq!(job.nodes[0].capacitor, None);
    assert!(matches!(job.nodes[1].feed, Feed::Choke { ohms: None, lead: Lead::Positive, .. }));
    // Without a name, a node is called by its position.
    assert_eq!(job.nodes[1].name, "B2");
}

#[test]
fn a_field_coil_in_the_negative_lead() {
    let job = good(
        "[[can]]\nstamping = 'x'\n[[node]]\nname = 'B1'\nsection = '1'\nnegative = 'center tap'\n\
         [[node]]\nfrom = 'b1'\nchoke = '12 H'\nchoke_resistance = '1 kΩ'\nin_lead = 'negative'\n\
         section = '2'\nnegative = 'B1'\n",
    );
    assert_eq!(job.nodes[0].negative, Some(Point::CentreTap));
    assert_eq!(job.nodes[1].negative, Some(Point::Node(0)));
    assert!(matches!(job.nodes[1].feed, Feed::Choke { lead: Lead::Negative, .. }));
}

#[test]
fn doublers_carry_their_capacitors() {
    let job = good(
        "[[can]]\nstamping = 'x'\n[measured]\ndc = { square = '150 V' }\n\
         [rectifier]\ncircuit = 'full-wave-doubler'\ndevice = 'silicon'\n\
         upper = { section = 'square', esr = '1 Ω' }\nlower = { capacitance = '100 µF' }\n\
         [[node]]\nload = '100 mA'\n",
    );
    let connection = job.rectifier.connection.clone().expect("a circuit");
    let uf = connection.capacitors().into_iter().map(|c| job.capacitance(c).map(in_microfarads));
    assert_eq!(uf.collect::<Vec<_>>(), [Some(40.0), Some(100.0)]);
    assert_eq!(job.nodes[0].capacitor, None);
    let facts = job.facts(0).expect("a can");
    assert_eq!(facts.sections[1].role, Some(Role::Reservoir));
    assert_eq!(facts.sections[1].volts.map(in_volts), Some(150.0));
    assert_eq!(facts.load.map(in_amperes), Some(0.1));
}

#[test]
fn a_type_says_how_it_is_connected() {
    let circuit = |device: &str| {
        let job = good(&format!("[[can]]\nstamping = 'x'\n[rectifier]\ndevice = '{device}'\n"));
        job.rectifier.connection.as_ref().map(Connection::circuit)
    };
    assert_eq!(circuit("5Y3-GT"), Some(facts::Circuit::FullWave));
    assert_eq!(circuit("35W4"), Some(facts::Circuit::HalfWave));
    assert_eq!(circuit("silicon"), None);
}

#[test]
fn the_same_device_is_no_retrofit() {
    let job = good(
        "[[can]]\nstamping = 'x'\n[rectifier]\ndevice = '5Y3-GT'\noriginal_device = '5y3gt'\n",
    );
    assert_eq!(job.rectifier.original, None);
    let job = good(
        "[[can]]\nstamping = 'x'\n[rectifier]\ndevice = 'silicon'\noriginal_device = '5U4-GB'\n",
    );
    assert_eq!(job.rectifier.original.map(|r| r.name.as_str()), Some("5U4-GB"));
}

#[test]
fn laws() {
    let job = good(
        "[[can]]\nstamping = 'x'\n[rectifier]\nlaw = 'straight'\ndrop = '0 V'\nslope_resistance = '0 Ω'\n",
    );
    let Some(Device::Described { law: Law::Straight { .. }, cathode }) = job.rectifier.device
    else {
        panic!("a straight line")
    };
    assert_eq!(cathode, Some(crate::rectifiers::Cathode::SolidState));
    let facts = job.facts(0).and_then(|facts| facts.rectifier).expect("a rectifier");
    assert!(facts.solid_state);
}

/// The formula of design §6, worked by hand: 110 + 6 × (322 / 117)² + 22 ohms.
#[test]
fn source_resistance_of_a_plate() {
    let resistance = |text: &str| {
        let text = format!("[[can]]\nstamping = 'x'\n[rectifier]\nplate_resistor = '22 Ω'\n{text}");
        good(&text).source_resistance().map(|r| (in_ohms(r) * 100.0).round() / 100.0)
    };
    let parts = "winding_resistance = '110 Ω'\nprimary_resistance = '6 Ω'\n";
    let winding = "winding = '322 V'\n";
    assert_eq!(resistance(&format!("{parts}{winding}winding_at = '117 V'\n")), Some(177.45));
    // Without its line it was read at the bench's, else at the 117 V of most sets, or
    // the 230 V of a 50 Hz line: 110 + 6 × (322 / 230)² + 22.
    assert_eq!(resistance(&format!("{parts}{winding}[mains]\nvolts = '117 V'\n")), Some(177.45));
    assert_eq!(resistance(&format!("{parts}{winding}")), Some(177.45));
    let at_50 = resistance(&format!("{parts}{winding}[mains]\nfrequency = '50 Hz'\n"));
    assert_eq!(at_50, Some(143.76));
    assert_eq!(resistance("supply_resistance = '86 Ω'\n"), Some(108.0));
    assert_eq!(resistance("winding_resistance = '110 Ω'\n"), None);
}

#[test]
fn what_a_retrofit_changed_and_what_a_switch_leaves_ahead() {
    let of = |text: &str| good(&format!("[[can]]\nstamping = 'x'\n[rectifier]\n{text}"));
    let original = |text: &str| in_ohms(of(text).original_plate_resistor());
    assert!((original("winding = '300 V'\nplate_resistor = '150 Ω'\n") - 0.0).abs() < 1e-9);
    assert!((original("plate_resistor = '47 Ω'\n") - 47.0).abs() < 1e-9);
    assert!(
        (original("plate_resistor = '47 Ω'\noriginal_plate_resistor = '0 Ω'\n") - 0.0).abs() < 1e-9
    );
    let nodes = "[[node]]\nname = 'IN'\n[[node]]\nname = 'B1'\nfrom = 'IN'\nchoke = '8 H'\n\
                 section = 'square'\n";
    let after = |text: &str| of(&format!("{text}{nodes}")).standby_after();
    assert_eq!(after("standby = 'dc'\nstandby_after = 'in'\n"), Some((0, true)));
    assert_eq!(after("standby = 'dc'\n"), Some((1, false)));
    assert_eq!(after("standby = 'ac'\n"), None);
    assert_eq!(of("transformer = 'Auto'\n").rectifier.transformer, Some(Transformer::Auto));
}

#[test]
fn high_line_is_told_or_the_standards() {
    let high =
        |text: &str| good(&format!("[[can]]\nstamping = 'x'\n{text}")).high_line().map(in_volts);
    assert_eq!(high("[mains]\nvolts = '121 V'\n"), Some(126.0));
    assert_eq!(high("[mains]\nvolts = '129 V'\n"), Some(129.0));
    assert_eq!(high("[mains]\nnominal = '220 V'\n"), Some(253.0));
    assert_eq!(high("[mains]\nvolts = '121 V'\nhigh = '124 V'\n"), Some(124.0));
    assert_eq!(high(""), None);
}

fn facts_of(text: &str) -> facts::Facts {
    good(&format!("{TWO_NODES}{text}")).facts(0).expect("a can")
}

#[test]
fn readings_scale_from_their_own_line() {
    let volts = |text: &str| facts_of(text).sections[0].volts.map(in_volts);
    assert_eq!(
        volts("[mains]\nvolts = '120 V'\n[measured]\nline = '100 V'\ndc = { B1 = '300 V' }\n"),
        Some(360.0)
    );
    assert_eq!(volts("[measured]\nline = '100 V'\ndc = { half-round = '300 V' }\n"), Some(300.0));
    // A faulty can's volts are no proof of anything.
    for can in ["faulty", "disconnected", "bridged"] {
        assert_eq!(volts(&format!("[measured]\ncan = '{can}'\ndc = {{ B1 = '300 V' }}\n")), None);
    }
}

#[test]
fn facts_come_from_nodes_and_bypasses() {
    let facts = facts_of(
        "load = '40 mA'\n[[bypass]]\nsection = 'plain'\ncathode_resistor = '150 Ω'\nvolts = '12 V'\n",
    );
    let roles: Vec<_> = facts.sections.iter().map(|section| section.role).collect();
    assert_eq!(roles, [Some(Role::Reservoir), Some(Role::Smoothing), None, Some(Role::Bypass)]);
    assert_eq!(facts.sections[1].resistor.map(in_ohms), Some(1000.0));
    assert_eq!(facts.sections[3].resistor.map(in_ohms), Some(150.0));
    // The second node's load is not told.
    assert_eq!(facts.load, None);
}

#[test]
fn loads_add_where_all_are_told() {
    let job = good(
        "[[can]]\nstamping = 'x'\n[[node]]\nsection = '1'\nload = '40 mA'\nvolts = '300 V'\nbleeder = '30k'\n\
         [[node]]\nfrom = 'B1'\nresistor = '1k'\nsection = '2'\nload_resistance = '25k'\nvolts = '250 V'\n",
    );
    let load = job.facts(0).and_then(|facts| facts.load).map(in_amperes).expect("a load");
    assert!((load - 0.060).abs() < 1e-12, "{load}");
}

#[test]
fn several_cans_have_their_facts_each() {
    let job = good(
        "[[can]]\nname = 'A'\nstamping = 'x'\n[[can]]\nname = 'C'\nstamping = 'x'\n\
         [[node]]\nsection = 'c/square'\n[[bypass]]\nsection = 'A/plain'\n",
    );
    let role = |can: usize, section: usize| {
        job.facts(can).and_then(|facts| facts.sections.get(section)?.role)
    };
    assert_eq!(role(1, 1), Some(Role::Reservoir));
    assert_eq!(role(0, 1), None);
    assert_eq!(role(0, 3), Some(Role::Bypass));
    assert_eq!(job.facts(2), None);
}

#[test]
fn windows_line_ends_and_a_byte_order_mark() {
    let text = "\u{feff}[[can]]\r\nstamping = \"x\"\r\n[mains]\r\nvolts = \"121 V\"\r\n";
    assert_eq!(good(text).mains.volts.map(in_volts), Some(121.0));
    let errors = read("job.toml", &text.replace("121", "µ"), &stamping).expect_err("an error");
    let span = errors.errors()[0].span();
    assert_eq!(text.replace("121", "µ").get(span), Some("µ V"));
}

#[test]
fn unknown_construction_counts_as_live() {
    let live = |text: &str| good(&format!("[[can]]\nstamping = 'x'\n{text}")).is_live();
    assert!(live(""));
    assert!(live("[chassis]\nconstruction = 'Floating B-'\n"));
    assert!(!live("[chassis]\nconstruction = 'isolated'\n"));
}

/// A set on the line is live whatever it is told to be; isolation is never inferred.
#[test]
fn what_stands_on_the_line_is_live() {
    let of = |construction: &str, rectifier: &str| {
        let job = good(&format!(
            "[chassis]\nconstruction = '{construction}'\n[[can]]\nstamping = 'x'\n\
             [rectifier]\n{rectifier}"
        ));
        (job.is_on_the_line(), job.is_live(), job.construction_contradiction())
    };
    let bare = "circuit = 'half-wave'\n";
    assert_eq!(of("isolated", bare), (true, true, Some(NotIsolated::NoWindingTold)));
    assert_eq!(of("line", bare), (true, true, None));
    assert_eq!(of("floating B-", bare), (true, true, None));
    let surge = "circuit = 'bridge'\nsupply_resistance = '22 Ω'\n";
    assert_eq!(of("isolated", surge), (true, true, Some(NotIsolated::NoWindingTold)));
    let none = "circuit = 'half-wave'\ntransformer = 'none'\nwinding_resistance = '5 Ω'\n";
    assert_eq!(of("isolated", none), (true, true, Some(NotIsolated::NoTransformer)));
    let auto = "circuit = 'bridge'\ntransformer = 'auto'\nwinding = '240 V'\n";
    assert_eq!(of("isolated", auto), (false, true, Some(NotIsolated::Auto)));
    assert_eq!(of("line", auto), (false, true, None));
    for power in [
        "circuit = 'half-wave'\ntransformer = 'power'\n",
        "circuit = 'half-wave'\nwinding = '240 V'\n",
        "circuit = 'half-wave'\nprimary_resistance = '5 Ω'\n",
        "circuit = 'full-wave'\n",
        "device = 'silicon'\n",
    ] {
        assert_eq!(of("isolated", power), (false, false, None), "{power}");
    }
    let untold = good("[[can]]\nstamping = 'x'\n[rectifier]\ncircuit = 'full-wave'\n");
    assert!(untold.is_live());
}

/// Only a set on the line is worked out without the volts of its winding.
#[test]
fn without_the_windings_volts_only_the_line_stands_for_them() {
    let lacks = |text: &str| {
        let text =
            format!("[[can]]\nstamping = 'x'\n[mains]\nvolts = '120 V'\n[rectifier]\n{text}");
        let job = good(&text);
        (job.lacks_winding(), job.open_volts(volts(120.0)).map(|v| in_volts(v).round()))
    };
    assert_eq!(lacks("circuit = 'half-wave'\n"), (false, Some(170.0)));
    assert_eq!(lacks("circuit = 'half-wave'\ntransformer = 'power'\n"), (true, None));
    assert_eq!(lacks("circuit = 'bridge'\nwinding_resistance = '5 Ω'\n"), (true, None));
    assert_eq!(lacks("circuit = 'full-wave'\ntransformer = 'none'\n"), (false, Some(170.0)));
    assert_eq!(lacks("device = 'silicon'\n"), (true, None));
}

/// Readings hold at their own line, verdicts at the larger of it and the nominal one.
#[test]
fn the_line_of_readings_is_not_that_of_verdicts() {
    let of = |text: &str| {
        let job = good(&format!("[[can]]\nstamping = 'x'\n{text}"));
        [job.line(), job.measured_line(), job.high_line()].map(|line| line.map(in_volts))
    };
    let mains = "[mains]\nnominal = '117 V'\nvolts = '109 V'\n";
    assert_eq!(of(mains), [Some(109.0), Some(117.0), Some(126.0)]);
    let mains = "[mains]\nnominal = '117 V'\nvolts = '129 V'\n";
    assert_eq!(of(mains), [Some(129.0), Some(129.0), Some(129.0)]);
    let hundred = "[mains]\nnominal = '100 V'\nvolts = '103 V'\n";
    assert_eq!(of(hundred), [Some(103.0), Some(103.0), Some(107.0)]);
    // A variac says nothing of the outlet.
    let variac = "[mains]\nnominal = '117 V'\n[measured]\nline = '140 V'\nsupply = 'variac'\n";
    assert_eq!(of(variac), [Some(140.0), Some(117.0), Some(126.0)]);
    let alone = "[measured]\nline = '121 V'\n";
    assert_eq!(of(alone), [Some(121.0), Some(121.0), Some(126.0)]);
    assert_eq!(of("[mains]\nnominal = '230 V'\n"), [None, Some(230.0), Some(253.0)]);
}

/// The first capacitor is what the circuit makes it; the answer can say what it was
/// called.
#[test]
fn roles_follow_the_circuit() {
    let first = facts_of("role = 'smoothing'\n").sections[0].clone();
    assert_eq!((first.role, first.told_role), (Some(Role::Reservoir), Some(Role::Smoothing)));
    let first = facts_of("role = 'reservoir'\n").sections[0].clone();
    assert_eq!((first.role, first.told_role), (Some(Role::Reservoir), None));
    let job = good(
        "[[can]]\nstamping = 'x'\n[[node]]\nname = 'IN'\n\
         [[node]]\nfrom = 'IN'\nchoke = '8 H'\nsection = 'square'\nrole = 'reservoir'\n",
    );
    let behind = job.facts(0).map(|facts| facts.sections[1].clone()).expect("a can");
    assert_eq!((behind.role, behind.told_role), (Some(Role::Smoothing), Some(Role::Reservoir)));
}

#[test]
fn tubes_that_warm_with_their_loads() {
    let of = |heaters: &str, rectifier: &str| {
        let chassis = format!("[chassis]\nheaters = '{heaters}'\n");
        good(&format!("{chassis}[[can]]\nstamping = 'x'\n[rectifier]\n{rectifier}")).warming()
    };
    assert_eq!(of("series", "device = '35W4'\n"), Some(Warming::SeriesString));
    assert_eq!(of("series", "device = 'silicon'\n"), None);
    assert_eq!(of("parallel", "device = '6X5-GT'\n"), Some(Warming::IndirectlyHeated));
    assert_eq!(of("parallel", "device = '6X5-GT'\nstandby = 'dc'\n"), None);
    assert_eq!(of("parallel", "device = '5Y3-GT'\n"), None);
}
