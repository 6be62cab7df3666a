//! The example jobs: what a good technician fits and what is refused, each refusal
//! with its twin, in which one fact of the job is another and no rule refuses the same
//! parts.
//! Figures of the jobs are composed; see the notes in each.

use std::fmt::Write;

use recan::{
    judge::Judged,
    rules::{Finding, Grade, Rule},
};

use crate::bench::{Bench, NO_STOCK, changed};

const JOB_1: &str = include_str!("../../data/jobs/job1/job.toml");
const JOB_2: &str = include_str!("../../data/jobs/job2/job.toml");
const JOB_3: &str = include_str!("../../data/jobs/job3/job.toml");
const JOB_4: &str = include_str!("../../data/jobs/job4/job.toml");
const JOB_5: &str = include_str!("../../data/jobs/job5/job.toml");

/// Changes of a job's text.
type Changes<'a> = &'a [(&'a str, &'a str)];

/// One answer about a job.
struct Row<'a> {
    job: &'a str,
    /// What it is about.
    what: &'a str,
    changes: Changes<'a>,
    fits: &'a [&'a str],
    stock: &'a str,
    /// The one fact of the job that makes of a refusal none, with the same parts:
    /// its name, then the text that tells it.
    flip: Option<(&'a str, (&'a str, &'a str))>,
}

const PLAIN: Row = Row { job: "", what: "", changes: &[], fits: &[], stock: NO_STOCK, flip: None };

/// The worst counting finding of a section, or of the whole set; of equals the one
/// with least room. Where the supply is solved, what the stamping alone says
/// decides only what does not pass.
fn deciding(judged: &Judged, section: Option<usize>) -> Option<&Finding> {
    let stamped = |f: &Finding| matches!(f.rule, Rule::RatedVolts | Rule::Capacitance);
    let counts = |f: &Finding| f.verdict.counts();
    let found = judged.all_findings().filter(|f| f.section == section && counts(f).is_some());
    let bare = |f: &Finding| stamped(f) && counts(f) == Some(Grade::Pass);
    let room = |f: &Finding| if bare(f) { f64::MAX } else { f.room().unwrap_or(1e9) };
    found.min_by(|f, other| {
        counts(other).cmp(&counts(f)).then_with(|| room(f).total_cmp(&room(other)))
    })
}

/// Each row of `rows` as lines of the table, each flip checked.
fn table(text: &str, rows: &[Row]) -> String {
    let mut table = String::new();
    for row in rows {
        let job = changed(text, row.changes);
        let judged = Bench::new(&job, row.stock).judge(row.fits);
        let name = format!("{} {}", row.job, row.what);
        for (i, fit) in row.fits.iter().enumerate() {
            let of = deciding(&judged, Some(i)).unwrap();
            let (section, part) = fit.split_once('=').unwrap();
            line(&mut table, [&name, section, part, of.verdict.name(), of.rule.id()]);
        }
        let set = deciding(&judged, None).filter(|f| f.verdict.counts() > Some(Grade::Pass));
        if let Some(of) = set {
            line(&mut table, [&name, "set", "", of.verdict.name(), of.rule.id()]);
        }
        if let Some((fact, change)) = row.flip {
            let rule = flips(&job, row, &judged, change);
            writeln!(table, "{:<25} flips {rule}: {fact}", "").unwrap();
        }
    }
    table
}

fn line(table: &mut String, [name, section, part, verdict, rule]: [&str; 5]) {
    writeln!(table, "{name:<25} {section:<10} {part:<22} {verdict:<7} {rule}").unwrap();
}

/// The rules that fail, none of which does with the one fact changed.
#[track_caller]
fn flips(job: &str, row: &Row, judged: &Judged, change: (&str, &str)) -> String {
    let failing = |judged: &Judged| {
        // With the twin's fact other volts would have been read.
        let failing = judged
            .all_findings()
            .filter(|f| f.rule != Rule::Readings && f.verdict.counts() == Some(Grade::Fail));
        let mut rules: Vec<&str> = failing.map(|f| f.rule.id()).collect();
        rules.sort_unstable();
        rules.dedup();
        rules
    };
    let refused = failing(judged);
    assert!(!refused.is_empty(), "{} is not refused", row.what);
    let twin = Bench::new(&changed(job, &[change]), row.stock).judge(row.fits);
    assert_eq!(failing(&twin), [""; 0], "{}: its twin fails too", row.what);
    refused.join(", ")
}

#[track_caller]
fn shows(name: &str, job: &str, rows: &[Row]) {
    let table = table(job, rows);
    insta::with_settings!({ omit_expression => true }, {
        insta::assert_snapshot!(name, table);
    });
}

/// `good_answer` wants 500 V, and 450 V with a word on the 8 V that are left: at
/// high line there are none, so 450 V is a caution.
#[test]
fn job_1() {
    let good = ["half-round=47/450", "square=22/450", "triangle=22/450", "plain=22/50"];
    let at_square = |part| [good[0], part, good[2], good[3]];
    let (large, larger) = (at_square("square=47/450"), at_square("square=100/450"));
    let higher = ["half-round=47/500", "square=22/500", "triangle=22/500", "plain=22/50"];
    let thin = ["half-round=47/500", "square=22/500", "triangle=22/500", "plain=22/25"];
    let row = Row { job: "1", ..PLAIN };
    shows(
        "job_1",
        JOB_1,
        &[
            Row { what: "good", fits: &good, ..row },
            Row { what: "500 V preferred", fits: &higher, ..row },
            Row { what: "25 V bypass is thin", fits: &thin, ..row },
            Row {
                what: "47 µF at the 5Y3-GT",
                fits: &large,
                flip: Some(("a 5AR4, made for 60 µF", ("5Y3-GT", "5AR4"))),
                ..row
            },
            Row {
                what: "100 µF at the 5Y3-GT",
                fits: &larger,
                flip: Some(("a can stamped 90 µF there", ("■ 20 MFD 450 V", "■ 90 MFD 450 V"))),
                ..row
            },
        ],
    );
}

/// `good_answer` says nothing of the 35W4's own ratings: at high line the set gives
/// it 126 V where its sheet has 117 V, and inverse volts above 0.8 of 330 V, with
/// any can. The rules are right to say so, as cautions.
#[test]
fn job_2() {
    let good = ["red=47/250", "blue=33/250", "yellow=22/25"];
    let least = ["red=47/160", "blue=33/160", "yellow=22/25"];
    let row = Row { job: "2", ..PLAIN };
    let silicon = ("35W4", "silicon");
    shows(
        "job_2",
        JOB_2,
        &[
            Row { what: "good", fits: &good, ..row },
            Row { what: "160 V, the least", fits: &least, ..row },
            Row { what: "silicon, 250 V", changes: &[silicon], fits: &good, ..row },
            Row {
                what: "silicon, 160 V",
                changes: &[silicon],
                fits: &least,
                flip: Some(("the 35W4 back", ("silicon", "35W4"))),
                ..row
            },
            Row {
                what: "100 µF at the 35W4",
                fits: &["red=100/250", "blue=33/250", "yellow=22/25"],
                flip: Some(("silicon, which has no such limit", silicon)),
                ..row
            },
        ],
    );
}

#[test]
fn job_3() {
    let pairs = ["1=2x 22/450 in series", "2=2x 22/450 in series"];
    let single = ["1=10/500", "2=10/500"];
    let lower = ("winding = \"350 V\"", "winding = \"280 V\"");
    let ahead = ("in_lead = \"negative\"\n", "");
    let together = ("negative = \"centre tap\"", "negative = \"chassis\"");
    let bucked = ("volts = \"122 V\"", "volts = \"115 V\"\nhigh = \"118.8 V\"");
    let row = Row { job: "3", ..PLAIN };
    let can = "part,style,sections\nCAN,can,10 µF 600 V; 10 µF 600 V\n";
    shows(
        "job_3",
        JOB_3,
        &[
            Row { what: "good: series pairs", fits: &pairs, ..row },
            Row {
                what: "one 500 V part each",
                fits: &single,
                flip: Some(("the line bucked to 115 V", bucked)),
                ..row
            },
            Row {
                what: "one 450 V part each",
                fits: &["1=10/450", "2=10/450"],
                flip: Some(("a winding of 280 V a side", lower)),
                ..row
            },
            Row {
                what: "34 µF at the 80",
                fits: &["1=2x 68/450 in series", "2=2x 22/450 in series"],
                flip: Some(("a can stamped 30 µF there", ("8-8 MFD", "30-8 MFD"))),
                ..row
            },
            Row {
                what: "one can, field ahead",
                changes: &[ahead],
                fits: &["1=CAN:1", "2=CAN:2"],
                stock: can,
                flip: Some(("both negatives on the chassis", together)),
                ..row
            },
        ],
    );
}

/// `good_answer` has 385 V of surge stand the 370 V at 230 V; at 253 V, the high
/// line of the standard, it is 407 V, which the old can did not stand either. That
/// the EZ80 asks for more source resistance than the set has is a caution that no
/// can changes.
#[test]
fn job_4() {
    let good = ["red=47/400", "2=47/400"];
    let low = ["red=47/350", "2=47/350"];
    let row = Row { job: "4", ..PLAIN };
    let tap = ("winding_at = \"220 V\"", "winding_at = \"240 V\"");
    let lower = ("winding = \"250 V\"", "winding = \"230 V\"");
    shows(
        "job_4",
        JOB_4,
        &[
            Row { what: "good", fits: &good, ..row },
            Row { what: "good, 450 V", fits: &["red=47/450", "2=47/450"], ..row },
            Row { what: "68 µF in the second", fits: &["red=47/400", "2=68/400"], ..row },
            Row { what: "100 µF in the second", fits: &["red=47/400", "2=100/400"], ..row },
            Row { what: "350 V", fits: &low, flip: Some(("the tap for 240 V", tap)), ..row },
            Row {
                what: "350 V again",
                fits: &low,
                flip: Some(("a winding of 230 V a side", lower)),
                ..row
            },
            Row {
                what: "68 µF at the EZ80",
                fits: &["red=68/400", "2=47/400"],
                flip: Some(("a 5AR4, made for 60 µF", ("EZ80", "5AR4"))),
                ..row
            },
        ],
    );
}

/// `good_answer` passes with 150 Ω; one 1000 V diode a side has little over for
/// 860 V, which the rules add as a caution.
#[test]
fn job_5() {
    let good = ["half-round=47/500", "square=47/500", "triangle=33/500", "plain=100/35"];
    let low = ["half-round=47/450", "square=47/450", "triangle=33/450", "plain=100/35"];
    let owner = ["half-round=100/500", "square=47/500", "triangle=33/500", "plain=100/35"];
    let resistors = ("winding = ", "plate_resistor = \"150 Ω\"\nwinding = ");
    let tap = ("winding_at = \"117 V\"", "winding_at = \"125 V\"");
    let tube = ("device = \"silicon\"", "device = \"5U4-GB\"");
    let row = Row { job: "5", ..PLAIN };
    shows(
        "job_5",
        JOB_5,
        &[
            Row {
                what: "as it is",
                fits: &good,
                flip: Some(("150 Ω in each plate lead", resistors)),
                ..row
            },
            Row { what: "good, 150 Ω", changes: &[resistors], fits: &good, ..row },
            Row {
                what: "450 V, 150 Ω",
                changes: &[resistors],
                fits: &low,
                flip: Some(("the tap for 125 V", tap)),
                ..row
            },
            Row { what: "owner's 100 µF, 150 Ω", changes: &[resistors], fits: &owner, ..row },
            Row {
                what: "owner's 100 µF, tube",
                changes: &[tube],
                fits: &owner,
                flip: Some(("a can stamped 90 µF there", ("C 40 450", "C 90 450"))),
                ..row
            },
        ],
    );
}
