//! The published dictionary of the record files is what the code reads. `UPDATE=1` renews it.
#![expect(clippy::disallowed_methods, reason = "the test compares the schemas folder")]

use std::fs;
use std::path::Path;

use breakcrop::render::record_schemas;
use pretty_assertions::assert_eq;

#[test]
fn schemas_are_those_of_the_code() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("schemas");
    for (name, text) in record_schemas() {
        let path = folder.join(&name);
        if std::env::var_os("UPDATE").is_some() {
            fs::write(&path, &text).expect("writes");
        }
        let written = fs::read_to_string(&path).unwrap_or_default();
        assert_eq!(written, text, "{name}: run with UPDATE=1");
    }
}
