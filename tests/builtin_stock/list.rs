//! Which parts the built-in list has, and its text.

use crate::relations::{Make, case, esr, price, ripple, tan_delta};

const COMMENT: &str = "# Generic stock list, invented: no line is any maker's part, and every \
figure follows from the relations in tests/builtin_stock. Put your own list in its place.";
const HEADER: &str = "part,style,sections,tolerance,ripple_current_a,tan_delta,esr_ohm,\
max_temperature_c,life_hours,surge_v,diameter_mm,length_mm,quantity,price,note";

/// IEC 60063 series over the decades used, µF.
const E3: [f64; 3] = [1.0, 2.2, 4.7];
const E6: [f64; 6] = [1.0, 1.5, 2.2, 3.3, 4.7, 6.8];
/// The values of E12 that are not in E6.
const E12_ONLY: [f64; 6] = [1.2, 1.8, 2.7, 3.9, 5.6, 8.2];

/// Make, rated volts, series, least and greatest µF.
#[rustfmt::skip]
const SINGLES: &[(Make, f64, &[f64], f64, f64)] = &[
    (Make::Radial, 16.0, &E3, 22.0, 1000.0),
    (Make::Radial, 25.0, &E3, 10.0, 1000.0),
    (Make::Radial, 35.0, &E3, 10.0, 1000.0),
    (Make::Radial, 50.0, &E3, 1.0, 470.0),
    (Make::Radial, 63.0, &E3, 1.0, 470.0),
    (Make::Radial, 100.0, &E3, 1.0, 220.0),
    (Make::Radial, 160.0, &E6, 1.0, 220.0),
    (Make::Radial, 200.0, &E6, 1.0, 220.0),
    (Make::Radial, 250.0, &E6, 1.0, 150.0),
    (Make::Radial, 350.0, &E6, 1.0, 100.0),
    (Make::Radial, 400.0, &E6, 1.0, 100.0),
    (Make::Radial, 450.0, &E6, 1.0, 100.0),
    (Make::Radial, 500.0, &E6, 4.7, 47.0),
    (Make::RadialLong, 250.0, &E6, 4.7, 100.0),
    (Make::RadialLong, 400.0, &E6, 4.7, 100.0),
    (Make::RadialLong, 450.0, &E6, 4.7, 100.0),
    (Make::Axial, 16.0, &E3, 10.0, 470.0),
    (Make::Axial, 25.0, &E3, 10.0, 470.0),
    (Make::Axial, 50.0, &E3, 10.0, 470.0),
    (Make::Axial, 63.0, &E3, 4.7, 220.0),
    (Make::Axial, 100.0, &E3, 4.7, 220.0),
    (Make::Axial, 160.0, &E6, 10.0, 150.0),
    (Make::Axial, 250.0, &E6, 4.7, 100.0),
    (Make::Axial, 350.0, &E6, 4.7, 68.0),
    (Make::Axial, 450.0, &E6, 1.0, 68.0),
    (Make::Axial, 450.0, &TRADITIONAL, 8.0, 50.0),
    (Make::Axial, 475.0, &TRADITIONAL, 8.0, 50.0),
    (Make::SnapIn, 160.0, &E6, 100.0, 1000.0),
    (Make::SnapIn, 200.0, &E6, 100.0, 1000.0),
    (Make::SnapIn, 250.0, &E6, 68.0, 680.0),
    (Make::SnapIn, 350.0, &E6, 47.0, 470.0),
    (Make::SnapIn, 400.0, &E6, 47.0, 470.0),
    (Make::SnapIn, 400.0, &E12_ONLY, 56.0, 270.0),
    (Make::SnapIn, 450.0, &E6, 33.0, 470.0),
    (Make::SnapIn, 450.0, &E12_ONLY, 39.0, 270.0),
    (Make::SnapIn, 500.0, &E6, 33.0, 220.0),
    (Make::SnapIn85, 400.0, &E6, 47.0, 330.0),
    (Make::SnapIn85, 450.0, &E6, 47.0, 330.0),
    (Make::Film, 250.0, &E3, 0.1, 22.0),
    (Make::Film, 400.0, &E6, 0.01, 10.0),
    (Make::Film, 450.0, &E6, 1.0, 47.0),
    (Make::Film, 630.0, &E6, 0.01, 47.0),
];

/// Values of old (common practice, no source), as written: not a decade's.
const TRADITIONAL: [f64; 8] = [8.0, 10.0, 16.0, 20.0, 30.0, 32.0, 40.0, 50.0];

/// Cans: µF and V of each section.
#[rustfmt::skip]
const CANS: &[&[(f64, f64)]] = &[
    &[(10.0, 450.0)], &[(16.0, 450.0)], &[(20.0, 450.0)], &[(30.0, 450.0)],
    &[(40.0, 450.0)], &[(60.0, 450.0)], &[(80.0, 450.0)], &[(100.0, 450.0)],
    &[(20.0, 475.0)], &[(40.0, 475.0)], &[(80.0, 475.0)],
    &[(20.0, 525.0)], &[(30.0, 525.0)], &[(40.0, 525.0)],
    &[(50.0, 160.0), (30.0, 160.0)], &[(60.0, 160.0), (40.0, 160.0)], &[(40.0, 160.0), (40.0, 160.0)],
    &[(80.0, 160.0), (50.0, 160.0)], &[(100.0, 160.0), (60.0, 160.0)],
    &[(50.0, 350.0), (50.0, 350.0)], &[(100.0, 350.0), (100.0, 350.0)],
    &[(8.0, 450.0), (8.0, 450.0)], &[(16.0, 450.0), (16.0, 450.0)], &[(20.0, 450.0), (20.0, 450.0)],
    &[(30.0, 450.0), (30.0, 450.0)], &[(32.0, 450.0), (32.0, 450.0)], &[(40.0, 450.0), (20.0, 450.0)],
    &[(40.0, 450.0), (40.0, 450.0)], &[(50.0, 450.0), (50.0, 450.0)], &[(80.0, 450.0), (40.0, 450.0)],
    &[(20.0, 475.0), (20.0, 475.0)], &[(40.0, 475.0), (40.0, 475.0)],
    &[(20.0, 525.0), (20.0, 525.0)], &[(50.0, 525.0), (50.0, 525.0)],
    &[(40.0, 450.0), (20.0, 25.0)],
    &[(50.0, 160.0), (30.0, 160.0), (20.0, 25.0)], &[(40.0, 160.0), (30.0, 160.0), (20.0, 25.0)],
    &[(60.0, 160.0), (40.0, 160.0), (20.0, 160.0)], &[(100.0, 160.0), (60.0, 160.0), (40.0, 160.0)],
    &[(80.0, 350.0), (40.0, 350.0), (20.0, 350.0)], &[(60.0, 350.0), (40.0, 350.0), (20.0, 350.0)],
    &[(16.0, 350.0), (32.0, 350.0), (32.0, 350.0)],
    &[(10.0, 450.0), (10.0, 450.0), (10.0, 450.0)], &[(40.0, 450.0), (30.0, 450.0), (20.0, 450.0)],
    &[(30.0, 450.0), (20.0, 450.0), (20.0, 25.0)], &[(40.0, 450.0), (20.0, 450.0), (20.0, 25.0)],
    &[(80.0, 450.0), (40.0, 450.0), (20.0, 450.0)],
    &[(20.0, 475.0), (20.0, 475.0), (20.0, 475.0)], &[(30.0, 475.0), (20.0, 475.0), (20.0, 475.0)],
    &[(40.0, 475.0), (20.0, 475.0), (20.0, 475.0)], &[(40.0, 475.0), (40.0, 475.0), (20.0, 475.0)],
    &[(20.0, 525.0), (20.0, 525.0), (20.0, 525.0)], &[(40.0, 525.0), (20.0, 525.0), (20.0, 525.0)],
    &[(20.0, 475.0), (20.0, 475.0), (20.0, 475.0), (20.0, 475.0)],
    &[(20.0, 525.0), (20.0, 525.0), (20.0, 525.0), (20.0, 525.0)],
    &[(40.0, 475.0), (20.0, 475.0), (20.0, 475.0), (20.0, 475.0)],
    &[(40.0, 500.0), (20.0, 500.0), (20.0, 500.0), (20.0, 500.0)],
    &[(60.0, 350.0), (40.0, 350.0), (30.0, 350.0), (10.0, 350.0)],
    &[(80.0, 450.0), (40.0, 450.0), (30.0, 450.0), (20.0, 50.0)],
    &[(40.0, 450.0), (30.0, 450.0), (10.0, 450.0), (20.0, 25.0)],
    &[(80.0, 350.0), (40.0, 350.0), (20.0, 350.0), (20.0, 25.0)],
    &[(80.0, 160.0), (40.0, 160.0), (40.0, 160.0), (40.0, 25.0)],
];

/// The whole list as text.
pub(crate) fn csv() -> String {
    let mut lines = vec![COMMENT.to_owned(), HEADER.to_owned()];
    for &(make, volts, series, least, most) in SINGLES {
        for c in values(series, least, most) {
            let line = line(make, &[(c, volts)], lines.len());
            lines.extend(line);
        }
    }
    for sections in CANS {
        let line = line(Make::Can, sections, lines.len());
        lines.extend(line);
    }
    lines.join("\n") + "\n"
}

/// The values of a series from `least` to `most`; traditional ones as they are.
fn values(series: &[f64], least: f64, most: f64) -> Vec<f64> {
    let decades: &[f64] =
        if series == TRADITIONAL { &[1.0] } else { &[0.01, 0.1, 1.0, 10.0, 100.0, 1000.0] };
    let all = decades.iter().flat_map(|d| series.iter().map(move |x| significant(d * x)));
    // A value that is in a series of its own as well is listed there.
    let doubled = |c: f64| series == TRADITIONAL && c == 10.0;
    all.filter(|c| (least..=most).contains(c) && !doubled(*c)).collect()
}

/// One line; `None` where no usual case holds the part. `number` decides which
/// fields are left blank, as they are in real lists.
fn line(make: Make, sections: &[(f64, f64)], number: usize) -> Option<String> {
    let case = case(make, sections)?;
    let highest = sections.iter().map(|s| s.1).fold(0.0, f64::max);
    let tan_delta = tan_delta(make, highest);
    let unless = |blank: bool, text: String| if blank { String::new() } else { text };
    let amperes: Vec<_> =
        ripple(make, case, sections, tan_delta).iter().map(|a| three_digits(*a)).collect();
    let stamping: Vec<_> = sections.iter().map(|(c, v)| format!("{c} µF {v} V")).collect();
    let surge = surge(make, sections).map(|v| v.to_string()).unwrap_or_default();
    let esr = matches!(make, Make::SnapIn | Make::SnapIn85)
        .then(|| three_digits(esr(tan_delta, sections[0].0)));
    let fields = [
        name(make, sections),
        make.style().to_owned(),
        stamping.join("; "),
        unless(number % 37 == 36, tolerance(make, sections).to_owned()),
        unless(number % 23 == 22, amperes.join(";")),
        unless(number % 41 == 40, tan_delta.to_string()),
        esr.unwrap_or_default(),
        unless(number % 53 == 52, make.celsius().to_string()),
        unless(number % 53 == 52, make.life_hours().to_string()),
        surge,
        unless(number % 31 == 30, case.0.to_string()),
        unless(number % 31 == 30, case.1.to_string()),
        unless(number % 19 != 18, (1 + number % 7).to_string()),
        unless(number % 29 == 28, format!("{:.2}", price(make, case, sections))),
        note(make, sections).to_owned(),
    ];
    Some(fields.join(","))
}

/// Letter, values and volts, letter: `R47-450T`. Sections of the same volts
/// stand together before them: `C40-30-10-450-20-25`.
fn name(make: Make, sections: &[(f64, f64)]) -> String {
    let (before, after) = make.letters();
    let groups: Vec<_> = sections
        .chunk_by(|a, b| a.1 == b.1)
        .map(|group| {
            let values: Vec<_> = group.iter().map(|s| s.0.to_string()).collect();
            format!("{}-{}", values.join("-"), group[0].1)
        })
        .collect();
    format!("{before}{}{after}", groups.join("-"))
}

fn tolerance(make: Make, sections: &[(f64, f64)]) -> &'static str {
    match make {
        Make::Film => "±10 %",
        Make::Axial if sections[0].1 <= 100.0 => "-10/+50 %",
        Make::Can => "-10/+50 %",
        _ => "±20 %",
    }
}

/// Surge volts as stamped on cans of one voltage: 450/500 and 475/525 (from
/// memory; the figure on the part counts).
fn surge(make: Make, sections: &[(f64, f64)]) -> Option<u32> {
    let volts = sections[0].1;
    let one = make == Make::Can && sections.iter().all(|s| s.1 == volts);
    match volts {
        v if one && v == 450.0 => Some(500),
        v if one && v == 475.0 => Some(525),
        _ => None,
    }
}

fn note(make: Make, sections: &[(f64, f64)]) -> &'static str {
    match make {
        Make::Can if sections.len() > 1 => "twist tabs; the can is the common negative",
        Make::Can => "twist tabs; the can is negative",
        Make::Film => "not polarised",
        Make::RadialLong => "long life",
        _ => "",
    }
}

fn significant(x: f64) -> f64 {
    format!("{x:.2e}").parse().expect("a number")
}

fn three_digits(x: f64) -> String {
    significant(x).to_string()
}
