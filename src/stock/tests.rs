use insta::assert_snapshot;

use super::*;
use crate::{
    part::{Price, Style},
    quantity::{
        Tolerance, in_amperes, in_celsius, in_hours, in_microfarads, in_millimetres, in_ohms,
        in_volts,
    },
};

const HEADER: &str = "part,style,sections,tolerance,ripple_current_a,tan_delta,esr_ohm,\
max_temperature_c,life_hours,surge_v,diameter_mm,length_mm,quantity,price,note";

fn stock(bytes: impl AsRef<[u8]>) -> Stock {
    read("list.csv", bytes.as_ref()).expect("a stock list")
}

/// The good lines as `line name µF@V,…`.
fn good(stock: &Stock) -> String {
    let lines: Vec<_> = stock
        .parts
        .iter()
        .map(|p| {
            let sections: Vec<_> = p
                .sections
                .iter()
                .map(|s| format!("{}@{}", in_microfarads(s.capacitance), in_volts(s.rated)))
                .collect();
            format!("{} {} {}", p.line, p.name, sections.join(","))
        })
        .collect();
    lines.join("\n")
}

/// All problems with their help, a line each.
fn said(stock: &Stock) -> String {
    let line = |p: &Problem| {
        let help = p.help().map(|h| format!(" -- {h}")).unwrap_or_default();
        format!("{}{p}{help}", if p.is_bad() { "" } else { "notice: " })
    };
    stock.problems.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// What is said of one line under [`HEADER`]'s first three columns and `rest`.
fn said_of(rest: &[(&str, &str)]) -> String {
    let mut fields: Vec<(&str, &str)> =
        vec![("part", "A"), ("style", "radial"), ("sections", "47 µF 450 V")];
    for &(column, text) in rest {
        fields.retain(|&(c, _)| c != column);
        fields.push((column, text));
    }
    let (names, texts): (Vec<_>, Vec<_>) = fields.into_iter().unzip();
    let stock = stock(format!("{}\n{}\n", names.join(","), texts.join(",")));
    assert_eq!(stock.bad, 1, "{rest:?}");
    assert!(stock.parts.is_empty(), "{rest:?}");
    said(&stock)
}

#[track_caller]
fn check(text: impl AsRef<[u8]>, expected: &str) {
    let stock = stock(text);
    assert_eq!(good(&stock), expected);
    assert_eq!(said(&stock), "");
}

#[test]
fn reads_every_column() {
    let stock = stock(format!(
        "{HEADER}\nC1,can,40 µF 475 V; 20 µF 25 V,-10/+50 %,0.25;0.1,0.2,1.5,85,2000,525,35,76.2,3,24.5,tabs\n"
    ));
    assert_eq!(said(&stock), "");
    let part = &stock.parts[0];
    assert_eq!((part.name.as_str(), part.style, part.line), ("C1", Style::Can, 2));
    assert_eq!(part.sections.len(), 2);
    assert_eq!(part.sections[0].ripple.map(in_amperes), Some(0.25));
    assert_eq!(part.sections[1].ripple.map(in_amperes), Some(0.1));
    assert_eq!(part.tolerance, Tolerance::new(0.1, 0.5));
    assert_eq!(part.tan_delta, Some(0.2));
    assert_eq!(part.esr.map(in_ohms), Some(1.5));
    assert_eq!(part.max_temperature.map(in_celsius), Some(85.0));
    assert_eq!(part.life.map(in_hours), Some(2000.0));
    assert_eq!(part.surge.map(in_volts), Some(525.0));
    assert_eq!(part.diameter.map(in_millimetres), Some(35.0));
    assert_eq!(part.length.map(in_millimetres), Some(76.2));
    assert_eq!((part.quantity, part.price), (Some(3), Some(Price(245_000))));
    assert_eq!(part.note, "tabs");
}

#[test]
fn leaves_blank_columns_open() {
    let stock = stock(format!("{HEADER}\nA,film,0.47 uF 630 V,,,,,,,,,,,,\n"));
    let part = &stock.parts[0];
    assert!(part.tolerance.is_none() && part.tan_delta.is_none() && part.esr.is_none());
    assert!(part.max_temperature.is_none() && part.life.is_none() && part.surge.is_none());
    assert!(part.diameter.is_none() && part.length.is_none());
    assert!(part.quantity.is_none() && part.price.is_none() && part.note.is_empty());
    assert!(part.sections[0].ripple.is_none());
}

#[test]
fn takes_bom_line_ends_and_comments() {
    let rows = "part,style,sections|A,radial,47 uF 450 V|B,axial,22 uF 63 V|";
    for end in ["\n", "\r\n", "\r"] {
        check(rows.replace('|', end), "2 A 47@450\n3 B 22@63");
    }
    check(format!("\u{FEFF}{}", rows.replace('|', "\r\n")), "2 A 47@450\n3 B 22@63");
    check(
        format!("# invented, \"all\" of it\n\n{}", rows.replace('|', "\n\n# more\n")),
        "6 A 47@450\n9 B 22@63",
    );
    // No line break at the end.
    check("part,style,sections\nA,radial,47 uF 450 V", "2 A 47@450");
}

#[test]
fn finds_the_separator_in_the_header() {
    check("part;style;sections\nA;radial;47,5 µF 450 V\n", "2 A 47.5@450");
    check("part\tstyle\tsections\nA\tradial\t47,5 µF 450 V\n", "2 A 47.5@450");
    check("part;style;sections;note\nA;can;\"40 uF 450 V; 20 uF 25 V\";x,y\n", "2 A 40@450,20@25");
    // A comma in a quoted header name does not make it the separator.
    let with_comma = stock("\"x, y, z, w\";part;style;sections\n;A;radial;47 uF 450 V\n");
    assert_eq!(good(&with_comma), "2 A 47@450");
}

#[test]
fn takes_decimal_commas_only_between_semicolons() {
    let semicolons =
        stock("part;style;sections;tan_delta;price\nA;radial;47 uF 450 V;0,17;1,2345\n");
    assert_eq!(semicolons.parts[0].tan_delta, Some(0.17));
    assert_eq!(semicolons.parts[0].price, Some(Price(12_345)));
    assert_snapshot!(
        said_of(&[("tan_delta", "\"0,17\"")]),
        @"list.csv line 2, column tan_delta: found `0,17`, expected a number -- write a decimal point: `0.17`"
    );
}

#[test]
fn takes_columns_in_any_order_and_spelling() {
    check(
        "Note, SECTIONS ,Max Temperature C,\"Style\",Part,\nx,47 uF 450 V,85,Snap in,A,\n",
        "2 A 47@450",
    );
}

#[test]
fn reports_unknown_columns_and_reads_on() {
    let stock = stock("part,style,sections,prise,colour,,price\nA,radial,47 uF 450 V,1,red,x,2\n");
    assert_eq!(good(&stock), "2 A 47@450");
    assert_snapshot!(said(&stock), @"
    notice: list.csv line 1: column `prise` is not known and is not read -- a column `price` is known
    notice: list.csv line 1: column `colour` is not known and is not read
    notice: list.csv line 1: column 6 has no name and is not read -- give the column a name, or take it out
    ");
}

#[test]
fn refuses_what_is_no_list() {
    let refused = |bytes: &[u8]| read("list.csv", bytes).expect_err("no list").to_string();
    assert_snapshot!(refused(b""), @"list.csv is empty: expected a header line that names the columns");
    assert_snapshot!(refused(b"\n# nothing\n ,,\n"), @"list.csv is empty: expected a header line that names the columns");
    assert_snapshot!(refused(b"PK\x03\x04\x14\0"), @"list.csv is not text: byte 2 is a control character");
    assert_snapshot!(refused(b"part,style\nA,radial\n"), @"list.csv line 1: the header does not name `sections`");
    assert_snapshot!(refused(b"A,radial,47 uF 450 V\n"), @"list.csv line 1: the header does not name `part`, `style` and `sections`");
    assert_snapshot!(
        refused(b"#\npart,style,sections,note,Part\n"),
        @"list.csv line 2: the header names the column part twice"
    );
}

#[test]
fn reads_windows_1252_and_says_so() {
    let stock = stock(b"part,style,sections\nA,radial,47 \xB5F 450 V\nB,radial,22 \xB5F 450 V\n");
    assert_eq!(good(&stock), "2 A 47@450\n3 B 22@450");
    assert_snapshot!(said(&stock), @"notice: list.csv line 2: bytes that are not UTF-8 (2) were read as Windows-1252; the first gives `µ` -- save the list as UTF-8");
}

#[test]
fn reads_utf_16_and_says_so() {
    let text = "\u{FEFF}part\tstyle\tsections\r\nA\tradial\t47 µF 450 V\r\n";
    let bytes: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let stock = stock(bytes);
    assert_eq!(good(&stock), "2 A 47@450");
    assert_snapshot!(said(&stock), @"notice: list.csv line 1: the file is UTF-16 and was read as such -- save the list as UTF-8");
}

#[test]
fn counts_lines_through_quoted_breaks() {
    let stock = stock(
        "part,style,sections,note\nA,radial,47 uF 450 V,\"two\nlines\"\n\
         B,radial,x,\"three\r\nmore\rlines\"\nC,radial,22 uF 450 V,\n",
    );
    assert_eq!(good(&stock), "2 A 47@450\n7 C 22@450");
    assert_eq!(stock.parts[0].note, "two\nlines");
    assert_snapshot!(said(&stock), @"list.csv lines 4 to 6, column sections: found `x`, expected capacitance and volts of each section -- write the sections as `40 µF 475 V; 20 µF 475 V`");
}

#[test]
fn a_stray_quote_costs_its_own_line_alone() {
    let stock = stock(
        "part,style,sections\nA,radial,\"47 uF 450 V\nB,radial,\"22 uF 450 V\"\n\
         C,radial,\"10 uF\" 450 V\nD,radial,10 uF 450 V\nE,radial,\"10 uF 450 V\n",
    );
    assert_eq!(good(&stock), "3 B 22@450\n5 D 10@450");
    assert_eq!((stock.lines, stock.bad), (5, 3));
    assert_snapshot!(said(&stock), @"
    list.csv line 2: found text after a closing quote, expected the separator -- write a quote inside a quoted field twice
    list.csv line 4: found text after a closing quote, expected the separator -- write a quote inside a quoted field twice
    list.csv line 6: found a quote that is never closed -- close the quote, or write it twice where it belongs to the text
    ");
}

#[test]
fn takes_short_lines_and_refuses_long_and_cut_ones() {
    let stock = stock(
        "part,style,sections,price,note\nA,radial,47 uF 450 V\nB,radial,47 uF 450 V,1,x,,\n\
         C,radial,47 uF 450 V,1,5,x\nD\nE,radial,47 uF 45",
    );
    assert_eq!(good(&stock), "2 A 47@450\n3 B 47@450");
    assert_snapshot!(said(&stock), @"
    notice: list.csv line 2: found 3 of 5 fields; the rest is taken as blank -- write every separator, also before blank fields
    list.csv line 4: found 6 fields, expected at most 5 -- put quotes round a field that holds the separator
    notice: list.csv line 5: found 1 of 5 fields; the rest is taken as blank -- write every separator, also before blank fields
    list.csv line 5, column style: found nothing, expected a style -- `part`, `style` and `sections` can't be blank
    list.csv line 5, column sections: found nothing, expected capacitance and volts -- `part`, `style` and `sections` can't be blank
    list.csv line 6: found 3 of 5 fields and no line end: the file may be cut off here -- write the line whole, or end it with a line break
    ");
}

#[test]
fn keeps_parts_of_one_name_and_says_so() {
    let stock = stock(
        "part,style,sections\nA,radial,47 uF 450 V\nB,axial,1 uF 50 V\nA,radial,22 uF 450 V\n",
    );
    assert_eq!(stock.parts.len(), 3);
    assert_snapshot!(said(&stock), @"notice: list.csv line 4, column part: part `A` is on line 2 already; both are kept -- give each line a name of its own, so that it can be chosen");
}

#[test]
fn refuses_bad_names() {
    assert_snapshot!(said_of(&[("part", "A:2")]), @"list.csv line 2, column part: found `:` in a part name -- name the part without `:`, `=` and `+`");
    assert_snapshot!(said_of(&[("part", "A=B")]), @"list.csv line 2, column part: found `=` in a part name -- name the part without `:`, `=` and `+`");
    assert_snapshot!(said_of(&[("part", "A+B")]), @"list.csv line 2, column part: found `+` in a part name -- name the part without `:`, `=` and `+`");
    assert_snapshot!(said_of(&[("part", " ")]), @"list.csv line 2, column part: found nothing, expected a part name -- `part`, `style` and `sections` can't be blank");
    assert_snapshot!(said_of(&[("part", &"A".repeat(121))]), @"list.csv line 2, column part: found a name of 121 characters, expected at most 120 -- shorten the name and put the rest in the note");
    assert_snapshot!(said_of(&[("part", "\"A\nB\"")]), @"list.csv lines 2 to 3, column part: found the control character U+000A -- delete the character");
}

#[test]
fn refuses_control_characters() {
    assert_snapshot!(said_of(&[("note", "a\0b")]), @"list.csv line 2, column note: found the control character U+0000 -- delete the character");
    assert_snapshot!(said_of(&[("colour", "\u{1B}[31m")]), @"
    notice: list.csv line 1: column `colour` is not known and is not read
    list.csv line 2: found the control character U+001B -- delete the character
    ");
}

#[test]
fn refuses_unknown_styles() {
    assert_snapshot!(said_of(&[("style", "axail")]), @"list.csv line 2, column style: found `axail`, expected can, axial, radial, snap-in or film -- write `axial`");
    assert_snapshot!(said_of(&[("style", "paper")]), @"list.csv line 2, column style: found `paper`, expected can, axial, radial, snap-in or film");
}

#[test]
fn refuses_absurd_figures() {
    for (column, text) in [
        ("sections", "0 µF 450 V"),
        ("sections", "-40 µF 450 V"),
        ("sections", "1e400 µF 450 V"),
        ("sections", "NaN µF 450 V"),
        ("sections", "47 µF 0 V"),
        ("sections", "1000000 µF 450 V"),
        ("ripple_current_a", "0"),
        ("ripple_current_a", "200"),
        ("tan_delta", "NaN"),
        ("tan_delta", "17"),
        ("esr_ohm", "-1"),
        ("esr_ohm", "1e400"),
        ("esr_ohm", "inf"),
        ("max_temperature_c", "5000"),
        ("life_hours", "2"),
        ("surge_v", "400"),
        ("diameter_mm", "0"),
        ("length_mm", "10000"),
        ("quantity", "1.5"),
        ("quantity", "-1"),
        ("price", "-0.5"),
        ("price", "1.00001"),
        ("tolerance", "-20"),
        ("tolerance", "200 %"),
    ] {
        let said = said_of(&[(column, text)]);
        assert!(said.starts_with(&format!("list.csv line 2, column {column}: found ")), "{said}");
    }
    assert_snapshot!(said_of(&[("quantity", "1.5"), ("max_temperature_c", "5000"), ("surge_v", "400"), ("price", "1.00001")]), @"
    list.csv line 2, column surge_v: found 400 V surge, expected no less than the 450 V rated -- leave `surge_v` blank where the maker prints none
    list.csv line 2, column max_temperature_c: found `5000`, expected 40 to 200 °C -- write the bare number, or leave `max_temperature_c` blank
    list.csv line 2, column quantity: found `1.5`, expected a whole number from 0 to 1000000000 -- leave `quantity` blank where there are plenty
    list.csv line 2, column price: found `1.00001`, expected a price from 0 to 100000000 with at most four decimals -- write the bare number, or leave `price` blank
    ");
}

#[test]
fn wants_one_ripple_current_a_section() {
    let two = ("sections", "40 µF 475 V; 20 µF 475 V");
    assert_snapshot!(said_of(&[two, ("ripple_current_a", "0.2")]), @"list.csv line 2, column ripple_current_a: expected one figure for each of 2 sections, found 1 -- write one figure a section with `;` between, or none");
    let stock =
        stock("part,style,sections,ripple_current_a\nA,can,40 µF 475 V; 20 µF 475 V,0.2;\n");
    assert_eq!(stock.parts[0].sections[0].ripple.map(in_amperes), Some(0.2));
    assert_eq!(stock.parts[0].sections[1].ripple, None);
}

#[test]
fn notes_a_list_without_parts() {
    let stock = stock("# mine\npart,style,sections\n");
    assert_eq!((stock.lines, stock.bad), (0, 0));
    assert_snapshot!(said(&stock), @"notice: list.csv line 2: the list has a header and no parts -- write one line for each part");
}

#[test]
fn underlines_the_field() {
    let text = "part,style,sections,price\nA,radial,47 µF 450 V,cheap\nB,,x,1\n";
    let stock = stock(text);
    let marked: Vec<_> = stock.problems.iter().map(|p| &text[p.span.clone()]).collect();
    assert_eq!(marked, ["cheap", ",", "x"]);
}

#[test]
fn shows_the_place_as_a_report() {
    use miette::{GraphicalReportHandler, GraphicalTheme, NamedSource, Report};
    let text = "part,style,sections,price\nA,radial,47 µF 450 V,cheap\n";
    let report = Report::new(stock(text).problems[0].clone())
        .with_source_code(NamedSource::new("list.csv", text.to_owned()));
    let handler =
        GraphicalReportHandler::new_themed(GraphicalTheme::unicode_nocolor()).with_width(80);
    let mut shown = String::new();
    handler.render_report(&mut shown, report.as_ref()).expect("writes to a string");
    assert_snapshot!(shown, @"
      × list.csv line 2, column price: found `cheap`, expected a number
       ╭─[list.csv:2:23]
     1 │ part,style,sections,price
     2 │ A,radial,47 µF 450 V,cheap
       ·                      ─────
       ╰────
      help: write the bare number, or leave `price` blank
    ");
}

#[test]
fn sums_a_list_up() {
    let stock = stock(
        "part,style,sections,price\nA,radial,47 uF 450 V,1\nB,can,40 uF 475 V; 20 uF 25 V,\nC,radial,x,1\nA,film,0.1 uF 630 V,1\n",
    );
    let summary = stock.summary();
    assert_eq!((summary.lines, summary.good, summary.bad, summary.notices), (4, 3, 1, 1));
    assert_eq!(summary.multi_section, 1);
    assert_eq!(summary.by_style.map(|(_, n)| n), [1, 0, 1, 0, 1]);
    let capacitance = summary.capacitance.expect("parts");
    assert_eq!((in_microfarads(capacitance.least), in_microfarads(capacitance.most)), (0.1, 47.0));
    let rated = summary.rated.expect("parts");
    assert_eq!((in_volts(rated.least), in_volts(rated.most)), (25.0, 630.0));
    assert_eq!(summary.lacking.len(), 12);
    assert!(summary.lacking.contains(&(Column::Price, 1)));
    assert!(summary.lacking.contains(&(Column::Esr, 3)));
}
