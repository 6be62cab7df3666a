//! Job files that are too large, too deep, not numbers, or no text.

use super::every_command;

/// A job that can be worked out, invented.
pub(crate) const GOOD: &str = "[chassis]\nname = \"Set\"\nconstruction = \"isolated\"\n\
    [[can]]\nstamping = \"40 MFD 450 V; 20 MFD 450 V\"\n\
    [mains]\nvolts = \"117 V\"\nfrequency = \"60 Hz\"\n\
    [rectifier]\ncircuit = \"full-wave\"\ndevice = \"5Y3-GT\"\nwinding = \"300 V\"\n\
    winding_resistance = \"110 Ω\"\nprimary_resistance = \"6 Ω\"\n\
    [[node]]\nname = \"B1\"\nsection = \"1\"\nload = \"40 mA\"\n\
    [[node]]\nname = \"B2\"\nfrom = \"B1\"\nresistor = \"1 kΩ\"\nsection = \"2\"\nload = \"20 mA\"\n\
    [measured]\nhum = { B1 = \"9 V\", B2 = \"0.4 V\" }\n\
    [after]\ndc = { B1 = \"300 V\" }\n";

/// Each is refused with exit 2 or 3 (`stock --cover` tells it and goes on: 1).
#[track_caller]
fn refused(bytes: &[u8]) {
    every_command(bytes, |arguments, ended| {
        // A record tells that the job of today can't be read, and goes on.
        let goes_on = arguments[0] == "stock" || arguments[1] == "check";
        let expected = if goes_on { 1..=3 } else { 2..=3 };
        let shown: String = String::from_utf8_lossy(bytes).chars().take(80).collect();
        assert!(
            expected.contains(&ended.code),
            "{arguments:?} {}: {shown}\n{}{}",
            ended.code,
            ended.out,
            ended.err
        );
        let said = ended.err.len() + ended.out.len();
        assert!(said > 20, "{arguments:?} says nothing: {shown}");
        // At most a hundred problems are told, a few hundred bytes each.
        assert!(said < 50_000, "{arguments:?} says {said} bytes: {shown}");
    });
}

#[test]
fn what_is_too_large_or_too_deep() {
    refused(format!("{GOOD}# {}\n", "x".repeat(3 << 20)).as_bytes());
    refused(format!("a = {}{}\n", "[".repeat(100_000), "]".repeat(100_000)).as_bytes());
    refused(format!("a = {}1{}\n", "{ b = ".repeat(50_000), " }".repeat(50_000)).as_bytes());
    refused(format!("{} = 1\n", vec!["a"; 50_000].join(".")).as_bytes());
    refused(format!("[{}]\n", vec!["a"; 50_000].join(".")).as_bytes());
    refused("[[can]]\nstamping = \"40 450\"\n".repeat(20_000).as_bytes());
    refused(format!("[[can]]\nstamping = \"{}\"\n", "40 450; ".repeat(20_000)).as_bytes());
    refused(
        format!("{GOOD}{}", "[[node]]\nfrom = \"B1\"\nresistor = \"1k\"\n".repeat(5_000))
            .as_bytes(),
    );
}

#[test]
fn what_is_no_quantity() {
    for value in [
        "nan",
        "inf",
        "-inf",
        "\"NaN\"",
        "\"inf V\"",
        "\"1e400 V\"",
        "\"-117 V\"",
        "\"117 W\"",
        "\"117 Ω\"",
        "117",
        "true",
        "[]",
        "{}",
        "1979-05-27",
        "\"\"",
        "\"9999999 V\"",
        "\"０ V\"",
        "\"0x75 V\"",
        "\"117 V V\"",
    ] {
        refused(GOOD.replacen("\"117 V\"", value, 1).as_bytes());
    }
    for ohms in ["\"0 Ω\"", "\"-1 Ω\"", "\"1e-400 Ω\"", "\"1 kV\""] {
        refused(GOOD.replacen("\"1 kΩ\"", ohms, 1).as_bytes());
    }
}

#[test]
fn what_is_no_text_or_no_job() {
    refused(b"\xff\xfe[\0[\0c\0a\0n\0]\0]\0");
    refused(b"[[can]]\nstamping = \"40 450\xc3\x28\"\n");
    refused(format!("{GOOD}\0").as_bytes());
    refused(GOOD.replacen("Set", "S\0et", 1).as_bytes());
    refused(GOOD.replacen("Set", "S\u{1b}[31met", 1).as_bytes());
    refused(GOOD.replacen("Set", "S\\u001b]0;owned\\u0007et", 1).as_bytes());
    refused(GOOD.replacen("Set", "S\\u202Eet", 1).as_bytes());
    refused(GOOD.replacen("[chassis]", "[chassis.\"\\u001b[2J\"]", 1).as_bytes());
    refused(GOOD.replacen("name = \"B1\"", "\"na\\u001b[1mme\" = \"B1\"", 1).as_bytes());
    refused(b"\x1b[2J = 3\n");
    refused(GOOD.replacen("from = \"B1\"", "from = \"B2\"", 1).as_bytes());
}

/// A byte order mark and carriage returns are what some editors write.
#[test]
fn what_other_editors_write_is_read() {
    let marked = [b"\xef\xbb\xbf".as_slice(), GOOD.as_bytes()].concat();
    for bytes in [GOOD.as_bytes(), &marked, GOOD.replace('\n', "\r\n").as_bytes()] {
        every_command(bytes, |arguments, ended| {
            assert!(ended.code <= 1, "{arguments:?} {}: {}{}", ended.code, ended.out, ended.err);
        });
    }
}

/// Each command ends with an answer or an error, whatever is told.
#[track_caller]
fn harmless(text: &str) {
    every_command(text.as_bytes(), |arguments, ended| {
        assert!(ended.out.len() + ended.err.len() > 20, "{arguments:?} says nothing: {text}");
    });
}

/// Notes of `open` are comments, so anything may stand in them.
#[test]
fn notes_that_lie() {
    harmless(
        "[[can]]\nstamping = \"red 40 450; blue 20 450; green 20 50\"\n\
         # noted: from.red = \"blue\"\n# noted: from.blue = \"red\"\n\
         # noted: wired.red = \"resistor\"\n# noted: wired.blue = \"choke\"\n\
         # noted: wired.green = \"bypass\"\n# noted: first = \"green\"\n\
         # noted: resistor.red = \"1k\"\n# noted: choke.blue = \"1e-30 H\"\n\
         # noted: lugs = \"99999999999999999999\"\n# noted: stamping = \"40 450\"\n\
         # noted: circuit = \"full-wave-doubler\"\n# noted: upper = \"red\"\n\
         # noted: lower = \"red\"\n# noted: dc.\"\\u001b[2J\" = \"5 V\"\n\
         # noted: cathode-resistor.green = \"-5\"\n# not known: stamping\n",
    );
}

/// A can, a node and a section by names that are each other's.
#[test]
fn names_that_look_like_something_else() {
    harmless(
        "[[can]]\nname = \"1\"\nstamping = \"40 450; 20 450\"\n\
         [[can]]\nname = \"2\"\nstamping = \"20 450; 20 25\"\nnegative = \"1/1\"\n\
         [[can]]\nstamping = \"8 450\"\n\
         [[node]]\nname = \"1/1\"\nsection = \"1/2\"\n\
         [[node]]\nname = \"chass\u{456}s\"\nfrom = \"1/1\"\nresistor = \"1 kΩ\"\n\
         section = \"2/1\"\n\
         [[other]]\nsection = \"1/1\"\nuse = \"unused\"\npositive = \"b-\"\n\
         [measured]\ndc = { \"1/1\" = \"300 V\", \"2/2\" = \"3 V\" }\n",
    );
    refused(GOOD.replacen("name = \"B1\"", "name = \"\u{200b}\"", 1).as_bytes());
}

/// Chokes without resistance by dozens, and a source without any.
#[test]
fn a_chain_that_rings() {
    use std::fmt::Write;
    let mut text = GOOD.split("[[node]]").next().unwrap().replace("\"110 Ω\"", "\"0 Ω\"");
    text += "[[node]]\nname = \"N0\"\nsection = \"1\"\nload = \"0 A\"\n";
    for i in 1..24 {
        let (henries, farads) = (if i % 2 == 0 { 1 } else { 9000 }, 1 + 4999 * (i % 2));
        write!(
            text,
            "[[node]]\nname = \"N{i}\"\nfrom = \"N{}\"\nchoke = \"{henries} H\"\n\
             choke_resistance = \"0 Ω\"\ncapacitance = \"{farads} µF\"\nload = \"1 µA\"\n",
            i - 1
        )
        .unwrap();
    }
    harmless(&text);
}

/// The edges of what may be told, all at once.
#[test]
fn edges_of_every_range() {
    harmless(
        "[chassis]\nconstruction = \"line\"\nheaters = \"series\"\nambient = \"-65 °C\"\n\
         [[can]]\nstamping = \"red 0.05 630; blue 10000 4; green 40 450; COMMON NEG\"\n\
         tolerance = \"-99/+900 %\"\ndiameter = \"0.1 mm\"\nheight = \"2 m\"\nbore = \"2 m\"\n\
         negative = \"line\"\n\
         [mains]\nvolts = \"20 V\"\nnominal = \"500 V\"\nfrequency = \"400 Hz\"\n\
         [rectifier]\ncircuit = \"half-wave\"\nlaw = \"straight\"\ndrop = \"0 V\"\n\
         slope_resistance = \"0 Ω\"\nsupply_resistance = \"0 Ω\"\nstandby = \"dc\"\n\
         [[node]]\nname = \"B1\"\nsection = \"red\"\nload = \"5 A\"\n\
         [[node]]\nname = \"B2\"\nfrom = \"B1\"\nresistor = \"0.1 mΩ\"\nsection = \"blue\"\n\
         load_resistance = \"0.1 mΩ\"\ncold = true\nesr = \"10 GΩ\"\n\
         [measured]\ncan = \"faulty\"\nline = \"500 V\"\nhum = { B1 = \"0 V\", B2 = \"9 kV\" }\n\
         cold_ohms = { red = \"0 Ω\", blue = \"open\" }\n\
         [after]\nsupply = \"lamp 1 W\"\ndc = { B1 = \"9 kV\" }\n",
    );
}
