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
