//! Markup in free text, as far as the pages of a record.

use std::fs;

use super::{files::GOOD, run};

const MARKUP: &str = "<script>alert(1)</script> <img src=x onerror=alert(1)> \
    [click](javascript:alert(1)) ![x](http://example.invalid/x.png) <http://example.invalid> \
    `code` **bold** | pipe & &lt; \"quoted\" 'single' # heading";

/// Everything that a person may type freely, in a job, its stock and a reason.
#[test]
fn markup_stays_text_in_every_form() {
    let folder = tempfile::tempdir().unwrap();
    // A can's name holds no slash.
    let short = "<b onclick=x>S [a](javascript:x) `|` &amp;";
    let text = GOOD
        .replacen("\"Set\"", &format!("'{short}'"), 1)
        .replacen("[[can]]", &format!("[[can]]\nname = '{short}'"), 1)
        .replace("\"B2\"", "'<i>B2</i>'")
        .replace(", B2 = ", ", \"<i>B2</i>\" = ");
    fs::write(folder.path().join("job.toml"), text).unwrap();
    let stock = "part,style,sections,note\n\
        <u>R47</u>,radial,47 uF 450 V,<script>x</script>\n[R22](javascript:x),radial,22 uF 450 V,**n**\n\
        \"=HYPERLINK(1)\",radial,20 uF 450 V,x\n";
    fs::write(folder.path().join("stock.csv"), stock).unwrap();
    let ended = run(
        &["record", "--no-ask", "--choose", "1", "--reason", MARKUP, "--job", "JOB"],
        folder.path(),
    );
    assert_eq!(ended.code, 0, "{}{}", ended.out, ended.err);
    let read =
        |name: &str| fs::read_to_string(folder.path().join("records/0001").join(name)).unwrap();
    let (html, markdown) = (read("record.html"), read("record.md"));
    for element in ["<script", "<img", "<b ", "<i>", "<u>", "<a ", "href", "src="] {
        let escaped = html.replace("&lt;", "");
        // Inside text an attribute is harmless; a tag is what must not be there.
        let is_tag = element.starts_with('<');
        assert!(!is_tag || !escaped.contains(element), "{element} in {html}");
    }
    assert!(html.contains("&lt;script&gt;alert(1)&lt;/script&gt;"), "{html}");
    for live in ["<script", "<img", "[click](", "![x](", "<http", "<i>B2", "](javascript"] {
        let bare = markdown.match_indices(live).filter(|(at, _)| !markdown[..*at].ends_with('\\'));
        assert_eq!(bare.count(), 0, "{live} is live in\n{markdown}");
    }
    let checked = run(&["record", "check", "JOB"], &folder.path().join("records/0001"));
    assert_eq!(checked.code, 0, "{}{}", checked.out, checked.err);
}
