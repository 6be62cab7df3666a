//! A surge figure below the working volts, whatever its place or word, never lowers
//! them in silence.

use recan::{
    quantity::in_volts,
    stamping::{Answers, Reading, StampingError, read},
};

use crate::expected::notation;

fn plain(text: &str) -> Reading {
    read(text, &Answers::default()).unwrap_or_else(|e| unreachable!("{text}: {e}"))
}

/// Working volts `{W}` and surge volts `{S}` as they are printed with one section or two.
const SPELLINGS: [&str; 24] = [
    "40 MFD {W} WVDC SURGE {S}",
    "40 MFD {W} WVDC SURGE {S} V",
    "40 MFD {W} V SURGE: {S}",
    "40 MFD {W}V {S} SURGE",
    "40 MFD {W}V {S} V SURGE",
    "40 MFD {W} SURGE {S}",
    "40 MFD {S} SURGE {W} WVDC",
    "40 MFD {S} V SURGE {W} WVDC",
    "40 MFD SURGE {S} V WORKING {W} V",
    "SURGE {S} {W} WVDC 40 MFD",
    "40 MFD {W} WV PEAK {S}",
    "40 MFD {W} V {S} V PEAK",
    "40 MFD PEAK {S} V. WKG {W} V.",
    "40 MFD {W} WV S.V. {S}",
    "40 MFD {W} WV {S} SV",
    "40 MFD {W}/{S} WKG/PEAK",
    "40 MFD {W} WVDC\\nSURGE {S}",
    "SURGE {S}\n40 MFD {W} V",
    "40 {W} SURGE {S}",
    "40-20 MFD {W} V SURGE {S}",
    "40-20 MFD {W}/{S} V WKG/PEAK",
    "40 MFD {W} V SURGE {S}; 20 MFD {W} V",
    "20 MFD {W} V; 40 MFD {W} WV SURGE {S} V",
    "◗ 40 {W}\n— 50 {W}\nSURGE {S}",
];

fn printed(spelling: &str, working: &str, surge: &str) -> String {
    spelling.replace("{W}", working).replace("{S}", surge)
}

/// Where the two would fit swapped, it is asked, and the volts as printed are taken.
#[test]
fn a_surge_below_the_working_volts_is_asked_about() {
    for (working, surge) in [("450", "350"), ("450", "400"), ("500", "450"), ("350", "250")] {
        for spelling in SPELLINGS {
            let text = printed(spelling, working, surge);
            let reading = plain(&text);
            let rated = |reading: &Reading| -> Vec<String> {
                reading.can.sections().iter().map(|s| in_volts(s.rated).to_string()).collect()
            };
            assert!(rated(&reading).iter().all(|v| v == working), "{text}: {:?}", reading.can);
            assert_eq!((reading.questions.len(), reading.assumed.len()), (1, 1), "{text}");
            let span = reading.questions[0].span.clone();
            let asked = &text[span];
            assert!(asked.contains(working) && asked.contains(surge), "{text}: {asked}");
            let kept = read(&text, &Answers(vec![1])).expect("the safe reading");
            assert_eq!(kept.can, reading.can, "{text}");
            let swapped = read(&text, &Answers(vec![2])).expect("the other reading");
            assert!(rated(&swapped).iter().any(|v| v == surge), "{text}: {:?}", swapped.can);
            assert!(swapped.assumed.is_empty(), "{text}");
        }
    }
}

/// With a surge figure above the working volts the same texts are read as they stand.
#[test]
fn a_surge_above_the_working_volts_is_no_question() {
    for spelling in SPELLINGS {
        // Above, the word between two plain figures goes with the higher one.
        let text = printed(spelling, "450", "525");
        let reading = plain(&text);
        let fits = |s: &recan::can::Section| {
            (in_volts(s.rated) - 450.0).abs() < 1e-9
                && s.surge.is_none_or(|v| (in_volts(v) - 525.0).abs() < 1e-9)
        };
        assert!(reading.questions.is_empty(), "{text}: {:?}", reading.questions);
        assert!(reading.can.sections().iter().all(fits), "{text}: {:?}", reading.can);
        assert!(reading.can.sections().iter().any(|s| s.surge.is_some()), "{text}");
    }
}

/// Where they fit neither way round, both figures are shown.
#[test]
fn a_surge_far_below_is_refused_with_both_figures() {
    for spelling in SPELLINGS {
        let text = printed(spelling, "450", "250");
        let error = read(&text, &Answers::default()).expect_err(&text);
        let places = error.places();
        let shown: Vec<&str> = places.iter().map(|place| &text[place.clone()]).collect();
        assert!(shown.contains(&"450") && shown.contains(&"250"), "{text}: {shown:?}");
        let StampingError::Refused { help, .. } = error else {
            unreachable!("{text}: asked about")
        };
        assert!(help.contains("both figures"), "{help}");
    }
}

/// A word that says working decides which of the two is meant; a figure that begins
/// the next section, and a surge figure for another section, are not touched.
#[test]
fn other_figures_near_a_surge_word_stay() {
    let rows = [
        ("40 MFD 450 SURGE 350 WVDC", "40uF 350V; surge 450V"),
        ("40 MFD SURGE 450 V WORKING 350 V", "40uF 350V; surge 450V"),
        ("8 MFD 350 V 400 V SURGE 16 450", "8uF 350V surge 400V; 16uF 450V"),
        ("8 MFD 350 V 400 V PEAK, 16 MFD 450 V", "8uF 350V surge 400V; 16uF 450V"),
        ("40-20 MFD 450-25 V SURGE 40", "40uF 450V; 20uF 25V surge 40V"),
        ("40 MFD 450 WVDC TEST 350", "40uF 450V"),
    ];
    for (text, expected) in rows {
        let reading = plain(text);
        assert_eq!(notation(&reading.can), expected, "{text}");
        assert!(reading.questions.is_empty(), "{text}: {:?}", reading.questions);
    }
}
