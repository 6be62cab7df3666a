//! An invented decision, made through the library: a console's can of four
//! sections, one of which needs a series pair.

use recan::{
    answer::{
        Around, Stamped, StockSource,
        sets::{SearchDoc, Searched},
    },
    can::{Can, Mark, Negative, Section},
    facts::Typed,
    judge::Case,
    next,
    quantity::{microfarads, volts},
    record::{kept::Kept, reason::Reason},
    report::record::{Asked, Decision, Made, document, documents::RecordDoc},
    safety,
    search::{Wanted, search},
    stamping::{Assumption, Ignored, Notice, Reading},
    stock,
};

const STOCK: &str = "part,style,sections,tolerance,max_temperature_c,quantity,price\n\
    C40-20-20,can,40 uF 475 V; 20 uF 475 V; 20 uF 475 V,-10/+50 %,85,1,24.50\n\
    R47-300,radial,47 uF 300 V,±20 %,105,,1.10\n\
    R22-35,radial,22 uF 35 V,±20 %,105,,0.20\n\
    R47-450,radial,47 uF 450 V,±20 %,105,,1.60\n\
    R22-450,radial,22 uF 450 V,±20 %,105,,1.20\n\
    bad,radial,nothing,,,,\n";

pub(crate) const STAMPING: &str = "◗ 40 MF 450 V\n■ 20 MF 500 V SURGE 550\n▲ 20 MF 450 V\n— 20 MF 25 V\nCOMMON NEG. INSULATED\n235-5412";

/// The record of the best set with `reason`, on a fixed day.
pub(crate) fn decided(reason: &str) -> RecordDoc {
    decided_about(reason, STAMPING)
}

/// The same with another text as the stamping typed.
pub(crate) fn decided_about(reason: &str, stamping: &str) -> RecordDoc {
    let stamped = Stamped { text: stamping.into(), reading: reading(), answers: Vec::new() };
    let typed = Typed {
        rectifier: Some("5Y3-GT".into()),
        load: Some("82 mA".into()),
        roles: vec!["square=reservoir".into(), "half-round=smoothing".into()],
        volts: vec!["plain=18.8 V".into()],
        resistors: vec!["plain=250".into()],
        ..Typed::default()
    };
    let can = &stamped.reading.can;
    let facts = typed.read(can).unwrap();
    let list = stock::read("bench.csv", STOCK.as_bytes()).unwrap();
    let case = Case::new(can, &facts);
    let found = search(&case, &list.parts, Wanted { sets: 3 });
    let chosen = found.sets.iter().find(|set| set.kind == recan::set::Kind::CanAndAdded).unwrap();
    let rank = 1 + found.sets.iter().position(|set| set == chosen).unwrap();
    let (source, lines, bad) = ("bench.csv".into(), list.lines, list.bad);
    let answer = Searched {
        stamped: &stamped,
        facts: &facts,
        case: &case,
        parts: &list.parts,
        restuff: false,
        stock: &StockSource { source, lines, bad },
        sets: &found.sets,
        studies: &[],
        readings: None,
        nearest_misses: &found.nearest_misses,
        measure_next: &next::readings(&case, Some(chosen)),
        cautions: &safety::cautions(can, &facts),
        around: &Around::default(),
        chassis: &[],
        search: SearchDoc { complete: true, ended: false, solves: 0, looked_at: 0 },
        alike: &[],
    };
    document(&Decision {
        answer: &answer,
        chosen,
        rank,
        reason: &Reason::new(reason).unwrap(),
        typed: &typed,
        asked: &Asked { stock: Some("bench.csv".into()), show: Some(3), ..Asked::default() },
        job: None,
        own: 0,
        kept: &Kept::new(None, STOCK.as_bytes(), &list.parts, &found.sets),
        made: &Made { number: 7, date: "2026-11-25".into(), version: "0.0.0".into() },
    })
}

/// How a reader would understand [`STAMPING`], built by hand.
fn reading() -> Reading {
    let section = |mark, uf, rated, surge: Option<f64>| Section {
        mark: Some(mark),
        capacitance: microfarads(uf),
        rated: volts(rated),
        surge: surge.map(volts),
    };
    let mut can = Can::new(vec![
        section(Mark::HalfRound, 40.0, 450.0, None),
        section(Mark::Square, 20.0, 500.0, Some(550.0)),
        section(Mark::Triangle, 20.0, 450.0, None),
        section(Mark::Plain, 20.0, 25.0, None),
    ])
    .unwrap();
    can.negative = Some(Negative::Common);
    can.insulated = true;
    let start = STAMPING.find("235-5412").unwrap();
    Reading {
        can,
        questions: Vec::new(),
        assumed: vec![Assumption {
            says: "SURGE 550 belongs to its own line".into(),
            section: Some(1),
        }],
        ignored: vec![Ignored {
            text: "235-5412".into(),
            span: start..start + 8,
            why: "a maker's and date code".into(),
        }],
        notices: vec![Notice {
            says: "MF is microfarad here, never millifarad".into(),
            section: None,
        }],
    }
}
