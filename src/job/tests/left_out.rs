//! A fact that is not told is no error: what is read of the rest, and what it leaves
//! without meaning.

use super::{super::*, good};
use crate::{
    facts::{Circuit, Role},
    quantity::{in_volts, volts},
};

/// A can, then the text.
fn job(text: &str) -> Job {
    good(&format!("[[can]]\nstamping = 'x'\n{text}"))
}

/// The loose facts in words, one a line.
fn loose(job: &Job) -> String {
    job.loose.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn behind_b1(text: &str) -> Job {
    job(&format!("[[node]]\nname = 'B1'\nsection = 'half-round'\n{text}"))
}

#[test]
fn a_line_without_its_winding() {
    let job = job("[rectifier]\ncircuit = 'bridge'\nwinding_at = '117 V'\n");
    assert_eq!(job.rectifier.winding, None);
    assert!(job.lacks_winding(), "what was read at 117 V is a winding, not the line");
    assert_eq!(job.assumed_line(), Some((volts(117.0), LineBasis::Winding)));
    assert_eq!(
        loose(&job),
        "`rectifier.winding_at` is told and `rectifier.winding` is not: left out until it is"
    );
}

#[test]
fn laws_without_their_figures() {
    let law = |text: &str| match job(&format!("[rectifier]\n{text}")).rectifier.device {
        Some(Device::Described { law, .. }) => Some(law),
        _ => None,
    };
    let straight = |drop, slope| Some(Law::Straight { drop, slope });
    assert_eq!(law("law = 'straight'\ndrop = '1 V'\n"), straight(Some(volts(1.0)), None));
    let three_halves = |drop, current| Some(Law::ThreeHalves { drop, current });
    assert_eq!(law("law = 'three-halves'\n"), three_halves(None, None));
    // Only one law has the figures.
    let slope = crate::quantity::ohms(9.0);
    assert_eq!(law("slope_resistance = '9 Ω'\n"), straight(None, Some(slope)));
    assert!(matches!(
        law("drop = '50 V'\ndrop_current = '125 mA'\n"),
        Some(Law::ThreeHalves { drop: Some(_), current: Some(_) })
    ));
    // Which law it is these leave open.
    assert_eq!(law("drop = '20 V'\n"), Some(Law::Untold));
    assert_eq!(
        law("drop = '1 V'\ndrop_current = '1 A'\ncathode = 'solid-state'\n"),
        Some(Law::Untold)
    );
    // It may be what a selenium stack is rated for.
    let rated = job("[rectifier]\ndrop_current = '125 mA'\n");
    assert_eq!(rated.facts(0).and_then(|facts| facts.rectifier), None);
    let heated = job("[rectifier]\ncathode = 'directly-heated'\n").rectifier.device;
    assert!(heated.is_some_and(|device| device.is_tube()));
}

#[test]
fn nodes_without_a_place() {
    let job = behind_b1(
        "[[node]]\nname = 'B2'\nfrom = 'B1'\nsection = 'square'\n\
         [[node]]\nname = 'B3'\nresistor = '1k'\nsection = 'triangle'\n\
         [[node]]\nname = 'B4'\nfrom = 'B3'\nchoke = '8 H'\ncapacitance = '8 µF'\n",
    );
    let lead = Lead::Positive;
    assert_eq!(job.nodes[1].feed, Feed::Untold { from: Some(0), lead });
    assert_eq!(job.nodes[2].feed, Feed::Untold { from: None, lead });
    assert_eq!(job.nodes[3].feed.from(), Some(2));
    let roles: Vec<_> = job.nodes.iter().map(|node| job.role(node)).collect();
    assert_eq!(roles, [Some(Role::Reservoir), Some(Role::Smoothing), None, Some(Role::Smoothing)]);
    assert_eq!(
        loose(&job),
        "`node.B3` is told and its `from` is not: it has no place in the supply yet"
    );
}

#[test]
fn of_two_first_nodes_one_is_the_rectifiers() {
    let first = |text: &str| {
        let job = behind_b1(text);
        assert_eq!(job.nodes[0].feed, Feed::Rectifier);
        assert_eq!(job.loose.len(), 1, "{}", loose(&job));
        job.nodes[0].name.clone()
    };
    assert_eq!(first("[[node]]\nname = 'B2'\nsection = 'square'\n"), "B1");
    assert_eq!(first("[[node]]\nname = 'B2'\nrole = 'reservoir'\nsection = 'square'\n"), "B2");
    let feeding = "[[node]]\nname = 'B2'\nsection = 'square'\n\
                   [[node]]\nfrom = 'B2'\nresistor = '1k'\nsection = 'triangle'\n";
    assert_eq!(first(feeding), "B2");
    // Of the only node a resistor is told: something feeds it.
    let alone = job("[[node]]\nresistor = '33 Ω'\nsection = 'square'\nrole = 'smoothing'\n");
    assert_eq!(job_role(&alone), Some(Role::Smoothing));
}

fn job_role(job: &Job) -> Option<Role> {
    job.facts(0).and_then(|facts| facts.sections[1].role)
}

#[test]
fn capacitors_not_told() {
    // Behind a choke it is choke input; behind a resistor a capacitor must be there.
    let behind = |feed: &str| {
        job(&format!("[[node]]\nesr = '1 Ω'\n[[node]]\nfrom = 'B1'\n{feed}section = 'square'\n"))
    };
    assert!(behind("choke = '8 H'\n").has_choke_input());
    assert!(!behind("resistor = '1k'\n").has_choke_input());
    assert_eq!(
        loose(&behind("resistor = '1k'\n")),
        "`node.B1.esr` is told and the capacitor is not: left out until it is"
    );
    assert!(!job("[[node]]\nname = 'B1'\n").has_choke_input());
    let tap = behind_b1("[[node]]\nname = 'B2'\nfrom = 'B1'\nresistor = '1k'\n");
    assert_eq!(tap.nodes[1].capacitor, None);
}

#[test]
fn doublers_without_their_capacitors() {
    let connection = |text: &str| {
        let job = job(&format!("[rectifier]\n{text}"));
        job.rectifier.connection.expect("a circuit")
    };
    let none = Connection::HalfWaveDoubler { series: None };
    assert_eq!(connection("circuit = 'half-wave-doubler'\n"), none);
    assert_eq!(connection("circuit = 'half-wave-doubler'\nseries = { esr = '1 Ω' }\n"), none);
    let upper = "upper = { section = 'square' }\n";
    // The only circuit that has one, whatever tube is in it.
    for text in [format!("device = '35Z5-GT'\n{upper}"), upper.to_owned()] {
        let found = connection(&text);
        assert_eq!(found.circuit(), Circuit::FullWaveDoubler);
        assert!(matches!(found, Connection::FullWaveDoubler { upper: Some(_), lower: None }));
    }
    let lower = job("[rectifier]\ncircuit = 'full-wave-doubler'\nlower = { section = 'square' }\n\
                     [measured]\ndc = { square = '150 V' }\n");
    let read = lower.facts(0).and_then(|facts| facts.sections[1].volts);
    assert_eq!(read.map(in_volts), Some(150.0), "the lower one keeps its place");
}

#[test]
fn what_stands_beside_nothing() {
    let job = behind_b1(
        "cold = true\n[[node]]\nname = 'B2'\nfrom = 'B1'\nresistor_rating = '2 W'\n\
         section = 'square'\n[[bypass]]\nvolts = '12 V'\n[[bypass]]\nsection = 'plain'\n\
         [[other]]\nuse = 'bias'\n[rectifier]\nstandby_after = 'B1'\n",
    );
    assert_eq!(job.nodes[0].load, None);
    assert_eq!((job.bypasses.len(), job.others.len()), (1, 0));
    assert_eq!(job.standby_after(), Some((0, true)));
    let told: Vec<_> = job.loose.iter().map(|loose| loose.told.as_str()).collect();
    let all = ["node.B1.cold", "node.B2.resistor_rating", "bypass.1", "other.1"];
    assert!(all.iter().all(|key| told.contains(key)), "{told:?}");
    assert!(told.contains(&"rectifier.standby_after") && told.len() == 5, "{told:?}");
}

#[test]
fn readings_where_nothing_is_placed() {
    let job = job("[measured]\ndc = { square = '300 V', B7 = '250 V' }\n");
    let read = job.facts(0).and_then(|facts| facts.sections[1].volts);
    assert_eq!(read.map(in_volts), Some(300.0));
    assert_eq!(
        loose(&job),
        "`measured.dc.B7` is told and its `[[node]]` is not: left out until it is"
    );
}
