//! The published schema of the record: JSON Schema, draft 2020-12.

/// The schema as JSON. It says what the structs of
/// [`documents`](super::documents) hold, with their comments.
#[must_use]
pub fn text() -> &'static str {
    include_str!("../../../data/record.schema.json")
}

#[cfg(test)]
mod tests {
    use super::super::documents::RecordDoc;
    use serde_json::{Value, json};

    /// `RECAN_WRITE_SCHEMA=1` writes the file anew, and the test then fails once.
    #[test]
    fn the_file_is_what_the_structs_say() {
        let mut schema = schemars::schema_for!(RecordDoc);
        schema.insert("$id".into(), json!("urn:recan:record:2"));
        schema.insert("title".into(), json!("recan.record/2"));
        let mut schema: Value = schema.to_value();
        schema["properties"]["schema"]["const"] = json!(super::super::SCHEMA);
        let expected = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        if expected != super::text() && std::env::var_os("RECAN_WRITE_SCHEMA").is_some() {
            let path = concat!(env!("CARGO_MANIFEST_DIR"), "/data/record.schema.json");
            std::fs::write(path, &expected).unwrap();
        }
        assert!(expected == super::text(), "data/record.schema.json is out of date");
    }
}
