//! Published operating points: `data/rectifier-operating-points.csv`. They are
//! good to about 5 % and some disagree among themselves. The drop of each type
//! is the one of `data/rectifiers.csv`, taken as that of a plate; nothing is
//! tuned.

use recan::quantity::{in_amperes, in_volts};
use recan::rectifiers;
use recan::supply::{Kind, steady};

use crate::parts::{circuit, first, tube};

/// Points that are further off than 5 %, and why.
const EXPLAINED: [(&str, &str); 3] = [
    ("EZ41 250 8 60", "the row calls its own reading doubtful: physics suggests 275 to 280 V"),
    ("35W4 117 40 50", "recall moderate; half of the drop would give 141 V here, but 128 V below"),
    ("35W4 117 40 100", "recall moderate; no one drop gives both points"),
];

#[test]
fn lies_near_published_operating_points() {
    let text = include_str!("data/rectifier-operating-points.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let (mut squares, mut count) = (0.0, 0.0);
    let mut unexplained = vec![];
    println!(
        "{:12} {:>5} {:>5} {:>6} {:>9} {:>9} {:>7}",
        "type", "V", "uF", "mA", "published", "computed", "error"
    );
    for row in reader.records() {
        let row = row.expect("a row");
        let number = |k: usize| row[k].parse::<f64>().expect("a number");
        let type_ = rectifiers::find(row[0].split('/').next().expect("a name")).expect("a type");
        let (drop, at) = (type_.drop.expect("a drop"), type_.drop_current.expect("its current"));
        let kind = if &row[1] == "half_wave" { Kind::HalfWave } else { Kind::FullWave };
        let nodes = vec![first(number(4), number(6) / 1000.0)];
        let source = (number(2), number(3), number(5));
        let state = steady(&circuit(kind, source, tube(in_volts(drop), in_amperes(at)), nodes));
        let found = in_volts(state.expect("settles").nodes[0].dc);
        let error = found / number(7) - 1.0;
        println!(
            "{:12} {:5} {:5} {:6} {:9} {found:9.1} {:6.1} %",
            &row[0],
            &row[2],
            &row[4],
            &row[6],
            &row[7],
            100.0 * error
        );
        squares += error * error;
        count += 1.0;
        let key = format!("{} {} {} {}", &row[0], &row[2], &row[4], &row[6]);
        if error.abs() > 0.05 {
            match EXPLAINED.iter().find(|(k, _)| *k == key) {
                Some((_, why)) => println!("{:12} {why}", ""),
                None => unexplained.push(format!("{key}: {:.1} %", 100.0 * error)),
            }
        }
    }
    let rms = 100.0 * f64::sqrt(squares / count);
    println!("{count} points, rms error {rms:.2} %");
    assert!(unexplained.is_empty(), "{unexplained:#?}");
    assert!(rms <= 4.0, "{rms}");
}
