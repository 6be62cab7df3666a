//! Free text changes nothing but itself.

use proptest::{prelude::*, test_runner::FileFailurePersistence};
use recan::{
    record::{job_file, reason::Reason},
    report::{
        json,
        record::{documents::RecordDoc, html, markdown},
    },
};

use crate::decided::{decided, decided_about};

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 64,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("regressions"))),
        ..ProptestConfig::default()
    }
}

/// Text as free as it comes, markup and terminal escapes among it.
fn text() -> impl Strategy<Value = String> {
    let markup = "([#>|`*_<&~=+-]|\\[x\\]\\(y\\)|1\\. |    |\n|\r|\t|\u{1b}\\[31m|</td>|-->|\u{202e}|µF 450 V| ){0,40}";
    prop_oneof![any::<String>(), markup.prop_map(|s| s), "\\PC*\n\\PC*"]
}

/// The tags of a page for a browser, in order, with their attributes.
fn tags(page: &str) -> Vec<String> {
    let tags =
        page.split('<').skip(1).map(|rest| rest.split('>').next().unwrap_or(rest).to_owned());
    // A quotation has as many lines as the text has, in one tag.
    tags.filter(|tag| !tag.trim_start_matches('/').starts_with("blockquote")).collect()
}

/// The lines of a page that are its frame: headings, list numbers, tables.
fn frame(page: &str) -> Vec<String> {
    let framed = |line: &&str| line.starts_with(['#', '|']) || line.starts_with("- ");
    page.lines().filter(framed).map(Into::into).collect()
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn records_read_back(reason in text()) {
        let record = decided(&reason);
        let read: RecordDoc = serde_json::from_str(&json::to_text(&record)).unwrap();
        prop_assert_eq!(&read, &record);
        prop_assert_eq!(markdown::page(&read), markdown::page(&record));
    }

    #[test]
    fn a_reason_can_t_break_the_page(reason in text()) {
        let page = markdown::page(&decided(&reason));
        prop_assert_eq!(frame(&page), frame(&markdown::page(&decided(""))));
        prop_assert!(page.chars().all(|c| c == '\n' || !c.is_control()));
        let from = page.find("\n> ").map_or(page.len(), |i| i + 1);
        for line in page[from..].lines().take_while(|l| l.starts_with('>')) {
            prop_assert!(!line[1..].trim_start().starts_with(['#', '>', '-', '+', '=', '<', '`']), "{}", line);
        }
    }

    #[test]
    fn a_stamping_can_t_break_the_page(stamping in text()) {
        let page = markdown::page(&decided_about("", &stamping));
        prop_assert_eq!(frame(&page), frame(&markdown::page(&decided(""))));
        prop_assert!(page.chars().all(|c| c == '\n' || !c.is_control()));
    }

    #[test]
    fn no_text_gets_markup_into_a_browser(text in text()) {
        let page = html::page(&decided_about(&text, &text));
        let mut plain = tags(&html::page(&decided_about("why", "text")));
        let mut found = tags(&page);
        if Reason::new(&text).unwrap().text().is_none() {
            // Without a reason there is a sentence in place of two tags and a sentence.
            plain = tags(&html::page(&decided_about("", "text")));
        }
        prop_assert_eq!(&mut found, &mut plain);
        prop_assert!(page.chars().all(|c| c == '\n' || !c.is_control()));
        let lower = page.to_lowercase();
        for word in ["<script", "<img", "src=", "href=", "url(", "@import"] {
            let typed = text.to_lowercase().contains(word);
            prop_assert!(typed || !lower.contains(word), "{}", word);
        }
    }

    #[test]
    fn a_reason_made_harmless_stays_as_it_is(reason in text()) {
        let once = Reason::new(&reason).unwrap();
        let twice = Reason::new(once.text().unwrap_or_default()).unwrap();
        prop_assert_eq!(once, twice);
    }

    #[test]
    fn job_files_give_the_stamping_back(stamping in text()) {
        let read = job_file::read("job.toml", &job_file::new(&stamping)).unwrap();
        prop_assert_eq!(&read.cans[0].stamping, &stamping);
    }

    #[test]
    fn no_job_file_is_a_panic(file in text()) {
        let _ = job_file::read("job.toml", &file);
    }
}
